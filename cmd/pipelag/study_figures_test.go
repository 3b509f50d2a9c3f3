package main

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/sim"
	"pipelag/units"
)

// limited is what a limit does at two values, in the units of files; the loosest,
// which saves nothing, is first.
func limited(on, sense string, limits [2]float64) *targetDocument {
	known := func(x float64) sim.Interval { return sim.Interval{Mean: x, Low: x, High: x} }
	saved := func(x float64) map[string]sim.Interval {
		return map[string]sim.Interval{"water_L": known(1000 * x), "energy_kWh": known(2 * x), "cost": known(3 * x), "co2_kg": {Mean: 4 * x, Low: math.NaN(), High: math.NaN()}}
	}
	return &targetDocument{On: on, Sense: sense, Curves: []documentCurve{{
		Points: []documentPoint{{Limit: limits[0], Comply: known(1), Saved: saved(0)}, {Limit: limits[1], Comply: known(0.25), Saved: saved(1)}},
		Knees:  map[string]documentKnee{"water_L": {Limit: known(limits[1])}},
	}}}
}

// TestTargetsTellTheirHomes: how many homes a curve is of, how many of them could comply,
// and which layouts some cannot have.
func TestTargetsTellTheirHomes(t *testing.T) {
	d := limited("length", "most", [2]float64{12, 9})
	d.Layouts = []string{"tree", "home run", "loop"}
	d.LeftOut = []documentOut{{"home run", "serves less", 56}, {"loop", "cold line", 60}}
	d.Curves[0].Homes = 60
	d.Curves[0].Points[1].Able.Mean = 0.75
	all, err := d.targets()
	require.NoError(t, err)
	require.Equal(t, 60, all[0].Count)
	require.Equal(t, 0.75, all[0].Points[0].Able)
	require.Equal(t, []string{
		"Left out of the running, since fixtures get less water at the pressure there is than with another layout: “home run” (in 56 of 60 homes).",
		"Not held against “tree”: “loop”; a cold line with a crossover takes up heat of its surroundings, which is left out where there is no crossover.",
	}, all[0].LeftOut)
	d.LeftOut[0].Why = "dislike"
	_, err = d.targets()
	require.ErrorContains(t, err, `"dislike" is no reason`)
	d.LeftOut[0].Why, d.Layouts = "serves less", nil
	_, err = d.targets()
	require.ErrorContains(t, err, "no layouts")
}

// TestTargets holds that figures have a limit and its savings in SI, by rising
// limit, with the knee where it was.
func TestTargets(t *testing.T) {
	for _, c := range []struct {
		on, sense string
		limits    [2]float64
		of        units.Dimension
		low, high float64 // limits in SI
		knee      int
	}{
		{"stored-volume", "most", [2]float64{2, 1.5}, units.Volume, 0.0015, 0.002, 0},
		{"length", "most", [2]float64{12, 9}, units.Length, 9, 12, 0},
		{"wait", "most", [2]float64{40, 10}, units.Duration, 10, 40, 0},
		{"insulation", "least", [2]float64{0, 20}, units.Thickness, 0, 0.02, 1},
	} {
		t.Run(c.on, func(t *testing.T) {
			all, err := limited(c.on, c.sense, c.limits).targets()
			require.NoError(t, err)
			require.Len(t, all, 4)
			strict, loose := &all[0].Points[c.knee], &all[0].Points[1-c.knee]
			require.Equal(t, c.of, all[0].Of)
			require.Equal(t, c.sense == "least", all[0].AtLeast)
			require.Equal(t, []float64{c.low, c.high}, []float64{all[0].Points[0].Limit, all[0].Points[1].Limit})
			require.Equal(t, []float64{0.25, 1}, []float64{strict.Complying, loose.Complying})
			require.Equal(t, []int{c.knee, -1, -1, -1}, []int{all[0].Knee, all[1].Knee, all[2].Knee, all[3].Knee})
			for i, want := range []float64{1, 7.2e6, 3, 4} { // 1 m³, 2 kWh, 3 of money, 4 kg
				require.Equal(t, want, all[i].Points[c.knee].Saving.Mean, all[i].Key)
				require.Zero(t, all[i].Points[1-c.knee].Saving.Mean, all[i].Key)
			}
			require.Equal(t, "NaN", fmt.Sprint(all[3].Points[0].Saving.Low))
		})
	}
	_, err := limited("control", "least", [2]float64{0, 1}).targets()
	require.ErrorIs(t, err, errNoScale)
}
