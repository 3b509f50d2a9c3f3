package sim_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/network/heat"
	"pipelag/schedules"
	"pipelag/sim"
)

// A pipe that stands falls by what its surroundings take from water and wall,
// of which the wall is the cooler by what passes between them: with θ the excess
// of the water, dθ/dt = −g θ/(C + C' + C g/g'), where g leads to the surroundings
// and g' from water to wall, and C and C' are those of water and wall.
func TestStanding(t *testing.T) {
	h := courtyard(t)
	all, err := sim.NewStanding(h, 7200, 10)
	require.NoError(t, err)
	require.Greater(t, len(all), 3)
	for _, s := range all {
		require.Equal(t, h.Heater.Setpoint, s.Temperature[0])
		for i := 1; i < len(s.Temperature); i++ {
			require.Less(t, s.Temperature[i], s.Temperature[i-1])
		}
	}
	find := func(ok func(sim.Standing) bool) sim.Standing { return all[slices.IndexFunc(all, ok)] }
	bare := find(func(s sim.Standing) bool { return s.Sleeve.Thickness == 0 && s.Tube.Size == "3/4" })
	sleeved := find(func(s sim.Standing) bool { return s.Sleeve.Thickness > 0 && s.Tube.Size == "3/4" })
	require.Greater(t, sleeved.Temperature[360], bare.Temperature[360]+5)

	pipe := h.Layouts[0].Network.Pipes[0]
	line, err := pipe.Line()
	require.NoError(t, err)
	s := find(func(s sim.Standing) bool {
		return s.Tube == pipe.Tube && s.Sleeve == pipe.Sleeve && s.Zone == pipe.Zone
	})
	zone := h.Climate.Zones[slices.IndexFunc(h.Climate.Zones, func(z schedules.Zone) bool { return z.Name == s.Zone })]
	mean := 0.0
	for k := range 365 * 24 {
		mean += zone.Temperature.At((float64(k)+0.5)*3600) / (365 * 24)
	}
	check.Within(t, mean, s.Around, 1e-3, "around")
	water, err := heat.WaterAt((h.Heater.Setpoint + mean) / 2)
	require.NoError(t, err)
	require.Len(t, line.WallCapacity(), 1)
	capacity, wall, inner := line.WaterCapacity(water), line.WallCapacity()[0], line.Inner(water, 0)
	for _, k := range []int{30, 60, 120, 360} {
		excess := s.Temperature[k] - mean
		outer := line.Outer(excess, mean)
		fall := (s.Temperature[k-1] - s.Temperature[k+1]) / 20 // [K/s]
		require.InEpsilon(t, outer*excess/(capacity+wall+capacity*outer/inner), fall, 0.02, "after %d s", 10*k)
	}

	_, err = sim.NewStanding(h, 10, 0)
	require.ErrorContains(t, err, "a step must be above 0 s")
}
