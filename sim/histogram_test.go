package sim

import (
	"math"
	"slices"
	"testing"

	"pipelag/internal/check"
	"pipelag/schedules"
	"pipelag/sim/pipework"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Quantiles are those of the sorted waits, the least that a share q of them does
// not exceed; however the waits are split and merged, they are counted alike.
func TestHistogramHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		waits := rapid.SliceOfN(rapid.Float64Range(0, 4000), 1, 60).Draw(t, "waits")
		cut := rapid.IntRange(0, len(waits)).Draw(t, "cut")
		var all, first, second histogram
		for i, w := range waits {
			all.add(w)
			if i < cut {
				first.add(w)
			} else {
				second.add(w)
			}
		}
		first.merge(&second)
		require.Equal(t, all, first)

		slices.Sort(waits)
		for _, q := range []float64{0.1, 0.5, 0.9, 1} {
			check.Within(t, waits[int(math.Ceil(q*float64(len(waits))))-1], all.quantile(q), waitBin, "quantile")
		}
		longest := int(waits[len(waits)-1])
		counted := make([]int, longest+1)
		for _, w := range waits {
			counted[int(w)]++
		}
		require.Equal(t, counted, all.seconds())
	})
}

func TestHistogramOfNone(t *testing.T) {
	var h histogram
	require.Zero(t, h.quantile(0.5))
	require.Equal(t, []int{}, h.seconds())
}

// Whoever waits an hour for water that never comes is told of as that: an hour is
// the longest patience that a record of draws may give.
func TestAnHoursWait(t *testing.T) {
	h := bench(t, "PEX", "1/2", 10, 18, 55)
	h.Fixtures[0].Usable = 60 // the heater gives 55
	w := schedules.Wish{Kind: schedules.Washing, Start: 100, Flow: 1e-4, Duration: 1, Patience: 3600, Mixed: 40, Usable: 60}
	later := w
	later.Start = 10000
	y := newYear(mustPlant(t, h, pipework.Model{Grid: 1}), 1, 0)
	require.NoError(t, y.day(0, []schedules.Wish{w, later}))
	require.NoError(t, y.finish())
	c := newComparison(h, make([][]Shortfall, len(h.Layouts)))
	_, err := c.add([]outcome{{ledger: y.ledger, waits: y.waits}})
	require.NoError(t, err)
	f := c.result().Layouts[0].Fixtures[0]
	check.Within(t, 3600, f.Waits.P50, waitBin, "median")
	check.Within(t, 3600, f.Waits.P90, waitBin, "90th percentile")
	// The clock may leave a wait a hair short of the hour.
	require.Greater(t, len(f.WaitCounts), 3599)
	hour := 0
	for _, draws := range f.WaitCounts[3599:] {
		hour += draws
	}
	require.Equal(t, 2, hour)
}
