package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/schedules"
	"pipelag/sim/heater"
)

// A heater without a store that holds next to no heat itself and has power to spare gives
// water at the set point once its delay is over: the wait from cold is longer by just
// that. After a rest in which the pipes stay hot, what came before the fire is a slug: it
// reaches the tap once the pipes' water has left, as long after the mains' water began
// to flow, and not before.
func TestTraceFiresTheHeater(t *testing.T) {
	const delay = 10.0
	traced := func(kind heater.Kind) *Trace {
		h := cottage(t)
		h.Heater.Kind = kind
		trace, err := NewTrace(h, TraceOptions{Rests: []float64{30}, Run: 600})
		require.NoError(t, err)
		return trace
	}
	stored := traced(heater.Held{Setpoint: 52, Efficiency: 1})
	fired := traced(heater.Instantaneous{Setpoint: 52, Power: 2e5, Efficiency: 1, Carrier: heater.Gas, Delay: delay, Exchanger: 100})
	cold, after := &fired.Openings[0], &fired.Openings[1]
	check.Within(t, *stored.Openings[0].Wait+delay, *cold.Wait, 0.1, "wait from cold")
	check.Within(t, delay, *cold.Parts.Heater, 0.1, "part of it that is the heater's")
	for i := range stored.Openings {
		check.Within(t, 0, *stored.Openings[i].Parts.Heater, 1e-12, "of one with a store")
		require.Nil(t, stored.Openings[i].Slug(fired.Usable))
	}
	p := cold.Parts
	check.Within(t, *cold.Wait, *p.Plug+*p.Wall+*p.Loss+*p.Dispersion+*p.Heater, 1e-9, "sum of the parts")
	require.Nil(t, cold.Slug(fired.Usable))

	check.Within(t, 0, *after.Wait, 0, "wait after a rest")
	slug := after.Slug(fired.Usable)
	require.NotNil(t, slug)
	through := fired.Stored / fired.Flow
	t.Logf("the pipes' water leaves in %.1f s; the slug is coolest, %.1f °C, at %.1f s, and usable again from %.1f s", through, slug.Coolest, slug.At, *slug.Until)
	require.Less(t, slug.Coolest, fired.Usable)
	require.Greater(t, slug.At, through)
	require.Greater(t, *slug.Until, slug.At)
	require.Less(t, *slug.Until, 2*(through+delay))
}

// Slugs read off by hand: none before the first usable water; the crossing back is on a
// straight line.
func TestSlug(t *testing.T) {
	zero, two := 0.0, 2.0
	series := func(taps ...float64) Series {
		s := Series{Tap: taps}
		for i := range taps {
			s.Time = append(s.Time, float64(i))
		}
		return s
	}
	back := 5.5
	for name, c := range map[string]struct {
		of   Opening
		want *Slug
	}{
		"never usable": {Opening{Series: series(10, 20, 30)}, nil},
		"stays usable": {Opening{Wait: &two, Series: series(10, 30, 40, 45, 44)}, nil},
		"falls back":   {Opening{Wait: &two, Series: series(10, 30, 40, 45, 35, 38, 42, 30)}, &Slug{35, 4, &back}},
		"for good":     {Opening{Wait: &zero, Series: series(45, 41, 30, 20)}, &Slug{20, 3, nil}},
	} {
		require.Equal(t, c.want, c.of.Slug(40), name)
	}
}

// A heater without a store stands as cold as the air around it. By hand: with no delay its
// exchanger, C = 20 kJ/K, goes from T₀ to its set point in C/k · ln((T∞ − T₀)/(T∞ − 52)),
// where k = ρc q and T∞ = T_in + P/k; water of q = 0.13 L/s passes it from mains of 12 °C,
// P = 100 kW. From 5 and from 32 °C the times are 5.6 s apart. Water that comes warm
// meanwhile makes a part of that good.
func TestTraceFiresFromTheAirAroundTheHeater(t *testing.T) {
	waits := func(air float64) float64 {
		h := cottage(t)
		h.Climate.Mains = constant(12)
		h.Climate.Zones = append(h.Climate.Zones, schedules.Zone{Name: "closet", Temperature: constant(air)})
		h.Heater.Zone = "closet"
		h.Heater.Kind = heater.Instantaneous{Setpoint: 52, Power: 1e5, Efficiency: 1, Carrier: heater.Gas, Exchanger: 2e4, Loss: 1}
		starts, err := ColdStarts(h, 0, []float64{1.3e-4, 0, 0})
		require.NoError(t, err)
		trace, err := NewTrace(h, TraceOptions{Flow: 1.3e-4})
		require.NoError(t, err)
		check.Within(t, *trace.Openings[0].Wait, starts[0].Wait, 0.5, "cold start as the trace has it")
		return *trace.Openings[0].Parts.Heater
	}
	const k = 4.13e6 * 1.3e-4 // [W/K], water of 32 °C
	limit := 12 + 1e5/k
	by := 2e4 / k * math.Log((limit-5)/(limit-32))
	got := waits(5) - waits(32)
	t.Logf("%.2f s longer from 5 °C than from 32 °C; %.2f s until the water leaves at the set point", got, by)
	require.Greater(t, got, by/2)
	require.Less(t, got, by)
}
