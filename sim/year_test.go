package sim

import (
	"testing"

	"pipelag/schedules"
	"pipelag/sim/pipework"

	"github.com/stretchr/testify/require"
)

// disordered is a year whose second day has its wishes in the wrong order.
type disordered struct{}

func (disordered) Year(uint64, int) schedules.Year { return disordered{} }

func (disordered) Day(d int, into []schedules.Wish) []schedules.Wish {
	if d == 1 {
		for _, at := range []float64{10, 5} {
			into = append(into, schedules.Wish{Kind: schedules.Appliance, Start: Day + at, Flow: 1e-4, Volume: 1e-3, Usable: 30})
		}
	}
	return into
}

// What goes wrong in a day is told with its number from 1, once, as days are asked for.
func TestDaysAreCountedFromOne(t *testing.T) {
	h := cottage(t)
	y := newYear(mustPlant(t, h, pipework.Model{}), 1, 0)
	require.NoError(t, y.day(0, nil))
	require.EqualError(t, y.day(1, disordered{}.Day(1, nil)), "day 2: a wish at 86405.000 s comes after one at 86410.000 s")

	h.Schedule = disordered{}
	for _, day := range []int{1, 2} { // the day itself, and one on the way to another
		_, err := NewWatch(h, WatchOptions{Seed: 1, Day: day, Every: 60, Grid: pipework.OpeningGrid})
		require.EqualError(t, err, "day 2: a wish at 86405.000 s comes after one at 86410.000 s")
	}
}
