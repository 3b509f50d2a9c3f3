package heater

import (
	"math"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/require"
)

func tankless() Instantaneous {
	return Instantaneous{
		Setpoint: 50, Power: 40e3, Efficiency: 0.8, Carrier: Gas, LeastFlow: 3e-5, Delay: 4, Exchanger: 8000,
	}
}

// Exact solution: cold water cools the exchanger exponentially until it fires,
// then it goes exponentially towards T_in + P/(ρc q) and stops at the set point.
func TestFiring(t *testing.T) {
	h := built(t, tankless())
	const flow, cold = 1e-4, 10.0
	h.Meet(Inflow{Drawn: flow, Cold: cold, Air: 20})
	rate := water * flow / 8000
	lowest := cold + 10*math.Exp(-rate*4)
	limit := cold + 40e3/(water*flow)
	reached := 4 + math.Log((limit-lowest)/(limit-50))/rate
	live(h, 0, reached, func(now, outlet float64) {
		require.Equal(t, now >= 4, h.(*instant).power > 0, "fires once, at %g s", now)
		exact := func(now float64) float64 {
			if now <= 4 {
				return cold + 10*math.Exp(-rate*now)
			}
			return limit + (lowest-limit)*math.Exp(-rate*(now-4))
		}
		next := min(h.Next(), reached)
		low, high := min(exact(now), exact(next)), max(exact(now), exact(next))
		require.LessOrEqual(t, high-low, warmStep+1e-9)
		check.Within(t, min(max(outlet, low), high), outlet, 1e-9, "between begin and end of the step, at ", now, " s")
	})
	check.Within(t, 50, h.(*instant).temp, 1e-2)
	h.Advance(reached + 1)
	check.Within(t, 50, h.Outlet(), 1e-9)
	require.True(t, math.IsInf(h.Next(), 1))
	before := h.Account()
	h.Advance(reached + 101)
	check.Within(t, water*flow*40*100, h.Account().Heated-before.Heated, 10)
	check.Within(t, water*flow*40*100/0.8, h.Account().Energy[Gas]-before.Energy[Gas], 10)
}

// Exact: at more flow than it can heat the outlet is T_in + P/(ρc q).
func TestCapacityLimit(t *testing.T) {
	h := built(t, tankless())
	h.Meet(Inflow{Drawn: 4e-4, Cold: 10, Air: 20})
	h.Advance(600)
	check.Within(t, 10+40e3/(water*4e-4), h.Outlet(), 0.1)
}

func TestLeastFlow(t *testing.T) {
	h := built(t, tankless())
	h.Meet(Inflow{Drawn: 2.9e-5, Cold: 10, Air: 20})
	h.Advance(3600)
	check.Within(t, 10, h.Outlet(), 0.1)
	require.Zero(t, h.Account().Energy[Gas])
}

// The slug between two draws: the longer the pause, the colder, down to what the
// delay alone makes of a cold exchanger.
func TestColdSlug(t *testing.T) {
	k := tankless()
	k.Loss = 5
	lowest := func(pause float64) float64 {
		h := built(t, k)
		draw := Inflow{Drawn: 1e-4, Cold: 10, Air: 20}
		h.Meet(draw)
		h.Advance(120)
		h.Meet(Inflow{Air: 20})
		h.Advance(120 + pause)
		h.Meet(draw)
		low := math.Inf(1)
		live(h, 120+pause, 240+pause, func(_, outlet float64) { low = min(low, outlet) })
		return low
	}
	const pause = 300
	rate, idle := water*1e-4/8000, 5.0/8000
	exact := func(pause float64) float64 {
		return 10 + (10+30*math.Exp(-idle*pause))*math.Exp(-rate*4)
	}
	for _, p := range []float64{1, pause, 7200} {
		check.Within(t, exact(p), lowest(p), warmStep/2)
	}
	require.Less(t, lowest(7200), lowest(pause)-0.5)
	require.Less(t, lowest(pause), lowest(1)-0.5)
}

// A loop that comes back at the set point needs no fire.
func TestWarmReturn(t *testing.T) {
	h := built(t, tankless())
	h.Meet(Inflow{Looped: 1e-4, Back: 55, Air: 20})
	h.Advance(3600)
	require.Zero(t, h.Account().Heated)
	check.Within(t, 55, h.Outlet(), 0.1)
}
