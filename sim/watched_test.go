package sim_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/schedules"
	"pipelag/sim"
)

// A watched day lies between the coldest surroundings and the set point, and
// shows the water hot at the tap while somebody draws there at length.
func TestWatch(t *testing.T) {
	h := courtyard(t)
	fixture := slices.IndexFunc(h.Fixtures, func(f sim.Fixture) bool { return f.Name == "main shower" })
	year := h.Schedule.Year(1, 0)
	day := 0
	for !slices.ContainsFunc(year.Day(day, nil), func(w schedules.Wish) bool { return w.Fixture == fixture && w.Kind == schedules.Washing }) {
		day++
	}
	for layout := range h.Layouts {
		w, err := sim.NewWatch(h, sim.WatchOptions{Layout: layout, Fixture: fixture, Seed: 1, Day: day, Every: 30})
		require.NoError(t, err)
		require.Len(t, w.Time, 24*60*2+1)
		require.NotEmpty(t, w.Draws)
		require.NotEmpty(t, w.Others)
		hottest := 0.0
		for k, row := range w.Temperature {
			require.Len(t, row, len(w.Distance))
			require.Greater(t, slices.Min(row), 0.0)
			require.LessOrEqual(t, slices.Max(row), h.Heater.Setpoint+0.005) // they are rounded to 0.01 °C
			if w.Time[k] > w.Draws[0] && w.Time[k] < w.Draws[0]+300 {
				hottest = max(hottest, row[len(row)-1])
			}
		}
		require.Greater(t, hottest, h.Fixtures[fixture].Usable, w.Layout)
	}
	for want, o := range map[string]sim.WatchOptions{
		"day 366; a year has days 1 to 365":    {Day: 365, Every: 60},
		"must be from 1 s to an hour":          {Every: 0},
		"replicate -1":                         {Every: 60, Replicate: -1},
		"the grid is -1 m; it must be a posit": {Every: 60, Grid: -1},
	} {
		_, err := sim.NewWatch(h, o)
		require.ErrorContains(t, err, want)
	}
}
