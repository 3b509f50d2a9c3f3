package plots

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
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

// TestCarriers: sun and wood are told apart from what is bought, and the caption of
// whatever adds them up says so.
func TestCarriers(t *testing.T) {
	const kWh = 3.6e6 // [J]
	for _, c := range []struct {
		taken []sim.Quantity
		named []string
		said  string
	}{
		{[]sim.Quantity{sim.Gas}, []string{"heater", "pump"}, "The heater takes gas. "},
		{[]sim.Quantity{sim.Electricity, sim.Gas}, []string{"electricity", "gas", "pump"}, "The heater takes electricity and gas. "},
		{[]sim.Quantity{sim.Gas, sim.Sun}, []string{"gas", "sun", "pump"}, "The heater takes gas and sun, and the sum holds all of it, bought or not. "},
		{
			[]sim.Quantity{sim.Electricity, sim.Gas, sim.Wood, sim.Sun},
			[]string{"electricity", "gas", "wood", "sun", "pump"},
			"The heater takes electricity, gas, wood and sun, and the sum holds all of it, bought or not. ",
		},
	} {
		r := courtyard(t)
		for i := range r.Layouts {
			a := &r.Layouts[i].Annual
			a[sim.Electricity], a[sim.HeaterInput], a[sim.PumpInput] = sim.Interval{}, sim.Interval{}, sim.Interval{}
			for k, q := range c.taken {
				x := float64(1000*(k+1)) * kWh
				a[q] = sim.Interval{Mean: x, Low: x, High: x}
				a[sim.HeaterInput] = sum(a[sim.HeaterInput], a[q])
			}
		}
		for _, width := range []Width{OneColumn, TwoColumns} {
			s := NewSet(r, units.SI, width)
			energy, err := NewEnergy(s, r)
			require.NoError(t, err)
			tradeoff, err := NewTradeoff(s, r)
			require.NoError(t, err)
			require.Contains(t, energy.Caption(), c.said)
			require.Contains(t, tradeoff.Caption(), c.said)
			w := &textWatch{}
			energy.draw(newPage(w, energy.width, energy.height))
			var named []string
			for _, text := range w.seen {
				require.LessOrEqual(t, float64(text.Max.X), float64(energy.width), text.text)
				if slices.Contains([]string{"heater", "electricity", "gas", "wood", "sun", "pump"}, text.text) {
					named = append(named, text.text)
				}
			}
			require.Equal(t, c.named, named)
			_, rows := energy.Data()
			added := 0.0 // of the first layout
			for _, row := range rows {
				if row[0] == r.Layouts[0].Name && slices.Contains(c.named, row[1]) {
					x, err := strconv.ParseFloat(row[2], 64)
					require.NoError(t, err)
					added += x
				}
			}
			check.Within(t, r.Layouts[0].Annual[sim.HeaterInput].Mean/kWh, added, 0.01, "energy taken")
		}
	}
}
