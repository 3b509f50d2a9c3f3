package plots

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/sim"
	"pipelag/units"
)

// TestHeatThatComesIn draws a house whose pipes lie where it is hotter than their
// water: nothing leaves the panels, and the sum is that of all accounts.
func TestHeatThatComesIn(t *testing.T) {
	r := courtyard(t)
	l := &r.Layouts[1]
	const kWh = 3.6e6 // [J]
	l.Annual[sim.PipeLoss] = sim.Interval{Mean: -3000 * kWh, Low: -3100 * kWh, High: -2900 * kWh}
	for month := range l.Months {
		l.Months[month][sim.PipeLoss] = -250 * kWh
	}
	s := NewSet(r, units.SI, OneColumn)
	energy, err := NewEnergy(s, r)
	require.NoError(t, err)
	require.Contains(t, energy.Caption(), "What lies to the left of 0 comes in instead.")
	low, high := reach([]sim.Interval{{Mean: -5, Low: -7, High: -3}, {Mean: 2, Low: 1, High: 3}, {Mean: 4, Low: 4, High: 4}})
	require.Equal(t, []float64{-7, 6}, []float64{low, high})
	months, err := NewMonths(s, r)
	require.NoError(t, err)
	for name, f := range map[string]*Figure{"energy": energy, "months": months} {
		w := &textWatch{}
		f.draw(newPage(w, f.width, f.height))
		require.True(t, slices.ContainsFunc(w.seen, func(s standing) bool { return strings.HasPrefix(s.text, "–") }), "%s: no number below 0 on an axis", name)
	}
}
