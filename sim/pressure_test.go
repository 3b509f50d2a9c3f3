package sim

import (
	"testing"

	"pipelag/internal/check"
	"pipelag/network/hydraulics"
	"pipelag/schedules"
	"pipelag/sim/pipework"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// throttled is the cottage with a supply of a pressure [Pa], and taps that need
// one for their rated flow [Pa].
func throttled(t *testing.T, supply, needs float64) *House {
	t.Helper()
	h := cottage(t)
	h.Supply = &hydraulics.Service{Static: supply, Cold: 15}
	for f := range h.Fixtures {
		h.Fixtures[f].Needs = needs
	}
	return h
}

// A tap that is an orifice passes Rated √(p/Needs), and a vessel of V fills in
// V over that: the pipes lose next to nothing of a trickle, so a quarter of the
// needed pressure passes half of the flow.
func TestVesselFillsAsFastAsThePressurePasses(t *testing.T) {
	const basin, height, trickle = 2, 3.5, 1e-6 // the basin is 3.5 m above the heater
	h := throttled(t, 100e3, 20e3)
	there := 100e3 - height*9.80665*mustPlant(t, h, pipework.Model{}).water.Density
	for f := range h.Fixtures {
		h.Fixtures[f].Flow = trickle
	}
	h.Fixtures[basin].Needs = 4 * there
	y := newYear(mustPlant(t, h, pipework.Model{}), 1, 0)
	y.open(schedules.Wish{Kind: schedules.Appliance, Fixture: basin, Flow: trickle, Volume: 1e-3, Usable: 30})
	check.Within(t, 0.5, y.draws[0].passed, 0.005, "share that a quarter of the pressure passes")
	end := 1e-3 / (trickle * y.draws[0].passed)
	y.runTo(end - 1)
	require.Len(t, y.draws, 1)
	y.runTo(end + 1)
	require.Empty(t, y.draws)
	require.NoError(t, y.finish())
}

// What the taps get is what the hydraulic solver says for all that are open, and
// changes when another opens and shuts.
func TestOpenTapsShareThePressure(t *testing.T) {
	h := throttled(t, 90e3, 60e3)
	p := mustPlant(t, h, pipework.Model{})
	require.NotNil(t, p.pressure)
	wash := func(f int, start, duration float64) schedules.Wish {
		return schedules.Wish{Kind: schedules.Brief, Fixture: f, Start: start, Flow: h.Fixtures[f].Flow, HotShare: 1, Duration: duration, Usable: 40}
	}
	y := newYear(p, 1, 0)
	solver, got := p.pressure.circuit.NewSolver(), make([]float64, 3)
	flows := func(wanted ...float64) []float64 {
		require.NoError(t, solver.Flow(wanted, 0, got))
		return got
	}
	y.open(wash(0, 0, 100))
	alone := y.draws[0].hot
	check.Alike(t, flows(h.Fixtures[0].Flow, 0, 0)[0], alone, 1e-9, "one tap")
	y.runTo(20)
	y.open(wash(1, 20, 30))
	both := flows(h.Fixtures[0].Flow, h.Fixtures[1].Flow, 0)
	check.Alike(t, both[0], y.draws[0].hot, 1e-9, "the first of two")
	check.Alike(t, both[1], y.draws[1].hot, 1e-9, "the second of two")
	if !(y.draws[0].hot < 0.99*alone) {
		t.Errorf("the first tap gets %g m³/s while another is open, %g alone", y.draws[0].hot, alone)
	}
	y.runTo(60)
	check.Alike(t, alone, y.draws[0].hot, 1e-9, "one tap again")
	y.runTo(200)
	require.NoError(t, y.finish())
	want := 70*alone + 30*both[0]
	check.Alike(t, want, y.ledger.months[0].taps[0].hot, 1e-9, "water through the first tap")
}

// A pressure that always suffices changes nothing at all.
func TestEnoughPressureIsNoPressure(t *testing.T) {
	week := func(h *House) Values {
		p := mustPlant(t, h, pipework.Model{})
		require.Nil(t, p.pressure)
		y := newYear(p, 1, 0)
		for d, wishes := range randomWeek(h) {
			require.NoError(t, y.day(d, wishes))
		}
		require.NoError(t, y.finish())
		return y.ledger.months[0].values(h, 0)
	}
	require.Equal(t, week(cottage(t)), week(throttled(t, 600e3, 50e3)))
}

// Less pressure makes people wait longer, not draw more.
func TestLittlePressureIsSlow(t *testing.T) {
	week := func(supply float64) Values {
		h := throttled(t, supply, 100e3)
		y := newYear(mustPlant(t, h, pipework.Model{}), 1, 0)
		for d, wishes := range randomWeek(h) {
			require.NoError(t, y.day(d, wishes))
		}
		require.NoError(t, y.finish())
		return y.ledger.months[0].values(h, 0)
	}
	enough, little := week(400e3), week(65e3)
	if !(little[Wait] > 1.2*enough[Wait]) || !(little[Used] < enough[Used]) {
		t.Errorf("waiting %g s and using %g m³ for %g and %g at full pressure", little[Wait], little[Used], enough[Wait], enough[Used])
	}
	h := throttled(t, 35e3, 100e3) // less than 4.5 m of water
	_, err := newPlant(h, &h.Layouts[0], pipework.Model{})
	require.ErrorContains(t, err, "hardly any water reaches shower")
	require.ErrorIs(t, err, ErrNoWater)
}

// A result and its cautions tell of one and the same shortfalls, those that the run
// found as it began: here one that the house has not.
func TestResultTellsShortfallsOnce(t *testing.T) {
	h := throttled(t, 600e3, 50e3)
	given := []Shortfall{{h.Fixtures[0].Name, 0.1, 0.025}}
	c := newComparison(h, [][]Shortfall{given})
	y := newYear(mustPlant(t, h, pipework.Model{}), 1, 0)
	_, err := c.add([]outcome{{ledger: y.ledger, waits: y.waits}})
	require.NoError(t, err)
	r := c.result()
	require.Equal(t, given, r.Layouts[0].Shortfalls)
	require.Contains(t, r.Cautions, Caution{r.Layouts[0].Name, cautionOfFlow(given)})
}

// A quarter of the pressure that an orifice needs passes half of its flow where the
// pipes lose next to nothing; the tap that gets the smallest share comes first, and
// one that gets all of it is none.
func TestShortfalls(t *testing.T) {
	const height, trickle = 3.5, 1e-6 // the basin is 3.5 m above the heater
	h := throttled(t, 100e3, 20e3)
	for f := range h.Fixtures {
		h.Fixtures[f].Flow = trickle
	}
	there := 100e3 - height*9.80665*mustPlant(t, h, pipework.Model{}).water.Density
	h.Fixtures[1].Needs = 9 * 100e3 // as high as the heater or above it: a third of its flow or less
	h.Fixtures[2].Needs = 4 * there
	short, err := Shortfalls(h, &h.Layouts[0])
	require.NoError(t, err)
	require.Len(t, short, 2)
	require.Equal(t, h.Fixtures[1].Name, short[0].Fixture)
	require.Equal(t, h.Fixtures[2].Name, short[1].Fixture)
	check.Within(t, 0.5*trickle*1e3, short[1].Passed, 0.005*trickle*1e3, "half of its flow")
	check.Within(t, trickle*1e3, short[1].Rated, 1e-12, "its rated flow")
}

// A tap that is open on the hot side alone takes nothing from the cold one, whatever
// shares of its flow the pressure has passed meanwhile.
func TestThrottledTapTakesNothingCold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := draw{Wish: schedules.Wish{Kind: schedules.Washing, Flow: rapid.Float64Range(1e-5, 3e-4).Draw(t, "flow")}, passed: 1}
		d.mix()
		for range rapid.IntRange(1, 9).Draw(t, "changes") {
			d.pass(rapid.Float64Range(leastPassed, 1).Draw(t, "share"))
			require.Zero(t, d.coldFlow())
		}
	})
}
