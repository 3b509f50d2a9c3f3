package sim

import (
	"testing"

	"pipelag/internal/check"
	"pipelag/network"
	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/exact"
	"pipelag/sim/pipework"
)

// teeHouse is a trunk that splits in two, with a return line from the tee if asked.
func teeHouse(t *testing.T, back bool) *House {
	t.Helper()
	run := func(kind, size string) network.Run { return network.Run{Tube: mustTube(t, kind, size), Zone: "room"} }
	segments := []network.Segment{
		{From: "heater", To: "tee", Length: 12, Run: run("copper L", "3/4")},
		{From: "tee", To: "left", Length: 5, Run: run("PEX", "1/2")},
		{From: "tee", To: "right", Length: 3, Run: run("copper L", "1/2")},
	}
	if back {
		segments = append(segments, network.Segment{From: "tee", To: "heater", Length: 10, Run: run("PEX", "1/2"), Return: true})
	}
	n, mistakes := network.Listed("tee", []string{"left", "right"}, segments)
	if len(mistakes) > 0 {
		t.Fatal(mistakes)
	}
	h := bench(t, "PEX", "1/2", 1, 18, 55)
	h.Fixtures = []Fixture{{Name: "left", Flow: 2e-4, Usable: 40}, {Name: "right", Flow: 2e-4, Usable: 40}}
	h.Layouts = []Layout{{Network: n}}
	if back {
		h.Layouts[0].Pump = &Pump{Rule: control.Continuous{}, Flow: 0.5e-4, Power: 20, HeatShare: 0.5}
	}
	return h
}

// Draws that overlap behind a common trunk: the trunk carries both, each branch
// its own, and every litre and joule is found again.
func TestTeeSplitsByFlow(t *testing.T) {
	for _, back := range []bool{false, true} {
		h := teeHouse(t, back)
		p := mustPlant(t, h, pipework.Model{})
		y := newYear(p, 1, 0)
		// Two thousand seconds of left, a thousand of right in the middle.
		left := schedules.Wish{Fixture: 0, Kind: schedules.Brief, Start: 0, Flow: 0.6e-4, HotShare: 1, Duration: 2000, Usable: 40}
		right := schedules.Wish{Fixture: 1, Kind: schedules.Brief, Start: 500, Flow: 1e-4, HotShare: 1, Duration: 1000, Usable: 40}
		pump := 0.0
		if back {
			pump = h.Layouts[0].Pump.Flow
		}
		y.open(left)
		y.runTo(500)
		y.open(right)
		y.runTo(1000)
		for i, want := range [3]float64{left.Flow + right.Flow + pump, left.Flow, right.Flow} {
			check.Within(t, want, y.Wanted[i], 1e-15, "flow while both are open")
		}
		y.runTo(1800)
		for i, want := range [3]float64{left.Flow + pump, left.Flow, 0} {
			check.Within(t, want, y.Wanted[i], 1e-15, "flow with one shut again")
		}
		y.runTo(3000)
		if err := y.finish(); err != nil {
			t.Error(err)
		}
		m := &y.ledger.months[0]
		check.Alike(t, left.Flow*left.Duration, m.taps[0].used.water, 1e-9, "water of the left tap")
		check.Alike(t, right.Flow*right.Duration, m.taps[1].used.water, 1e-9, "water of the right tap")
		check.Alike(t, left.Flow*left.Duration+right.Flow*right.Duration, m.taps[0].hot+m.taps[1].hot, 1e-9, "hot water of both")
		check.Within(t, pump*3000, m.pumped, 1e-12, "water sent round")
	}
}

// What leaves the heater and what comes back make up what the heater is asked
// for: the heat given to water is that of bringing both to the set point, as if
// they had met at a tee before it.
func TestReturnMeetsTheMains(t *testing.T) {
	h := teeHouse(t, true)
	p := mustPlant(t, h, pipework.Model{})
	y := newYear(p, 1, 0)
	y.runTo(20000) // the loop is steady
	y.open(schedules.Wish{Fixture: 0, Kind: schedules.Brief, Flow: 0.6e-4, HotShare: 1, Duration: 5000, Usable: 40})
	y.runTo(24000)
	y.endMonth()
	m := &y.ledger.months[0]
	before := m.supplied + m.stirred
	y.runTo(24900)
	y.endMonth()
	back := y.Outlet(y.back)
	if !(back > 40 && back < 55) {
		t.Errorf("water comes back at %g °C", back)
	}
	pump := h.Layouts[0].Pump
	mixed := exact.TeeMixing([]float64{0.6e-4, pump.Flow}, []float64{15, back}).Value
	want := p.volume * (0.6e-4 + pump.Flow) * (55 - mixed) * 900
	check.Alike(t, want, m.supplied+m.stirred-before, 1e-4, "heat given to water")
}
