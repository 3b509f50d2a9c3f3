package sim

import (
	"math"
	"testing"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/exact"
)

// Under a flow that goes on for long the outlet is that of a pipe with a steady
// loss, and so is the heat lost.
func TestSteadyLossOfAnIdealPipe(t *testing.T) {
	const length, section, inner, outer = 25.0, 3.1e-4, 18.0, 2.0
	var off []float64
	for _, cells := range []int{5, 10, 20, 40} {
		q := ideal{length: length, section: section, water: section * rhoC, wall: 260, inner: inner, outer: outer, cells: cells}
		p := idealRow(t, 60, q)
		flow := onRung(70)
		y := newYear(p, 1, 0)
		y.open(schedules.Wish{Kind: schedules.Brief, Flow: flow, HotShare: 1, Duration: 1e5, Usable: 40})
		y.runTo(20000)
		want := exact.SteadyOutlet(60, 0, length, flow, rhoC, inner, outer).Value
		got := y.outlet(0)
		off = append(off, math.Abs(got-want))

		y.endMonth()
		before := y.ledger.months[0].pipeLoss[0]
		y.runTo(40000)
		y.endMonth()
		alike(t, rhoC*flow*20000*(60-got), y.ledger.months[0].pipeLoss[0]-before, 1e-6, "heat lost")
	}
	// Loss is split from exchange, half before and half after.
	t.Logf("outlet off by %.4f K on 5, 10, 20 and 40 cells, order %.2f", off, order(off))
	within(t, 2, order(off), 0.3, "order of convergence")
	within(t, 0, off[3], 2*settledWithin, "outlet on the finest grid")
}

// steadyOutlet marches water along a pipe whose loss follows its temperature.
func steadyOutlet(l *heat.Line, w heat.Water, inlet, ambient, length, flow float64) float64 {
	const steps = 100
	t := inlet
	for range steps {
		// The excess of the last wall node and the heat passing it agree.
		through := 1 / l.Inner(w, flow)
		for _, g := range l.Between() {
			through += 1 / g
		}
		excess := t - ambient
		for range 8 {
			excess = (t - ambient) / (1 + through*l.Outer(excess, ambient))
		}
		t -= l.Outer(excess, ambient) * excess * length / steps / (w.Density * w.SpecificHeat * flow)
	}
	return t
}

// The loss of flowing pipes is that of their temperature as it is, not as it was
// when the tap opened: rows of cold pipes, run until nothing changes.
func TestSteadyLossFollowsTheTemperature(t *testing.T) {
	const room, setpoint = 15.0, 58.0
	for _, c := range []struct {
		kind, size string
		flow       float64
	}{
		{"copper L", "3/4", 0.03e-3},
		{"copper L", "1/2", 0.06e-3},
		{"PEX", "3/4", 0.03e-3},
		{"PEX", "3/8", 0.1e-3},
	} {
		for _, parts := range []int{1, 3} {
			tube := mustTube(t, c.kind, c.size)
			var pieces []piece
			for range parts {
				pieces = append(pieces, piece{tube: tube, length: 24 / float64(parts), zone: "room"})
			}
			h := rowOf(t, pieces, []schedules.Zone{{Name: "room", Temperature: steadily(room)}}, setpoint)
			p := mustPlant(t, h, model{grid: OpeningGrid})
			y := newYear(p, 1, 0)
			y.open(schedules.Wish{Kind: schedules.Brief, Flow: c.flow, HotShare: 1, Duration: 3000, Usable: 40})
			y.runTo(2900)
			l, err := h.Layouts[0].Network.Pipes[0].Line()
			if err != nil {
				t.Fatal(err)
			}
			want := setpoint - steadyOutlet(&l, p.water, setpoint, room, 24, c.flow)
			got := setpoint - y.outlet(parts-1)
			t.Logf("%s %s, %d pipes: water cools by %.3f K for %.3f (%+.1f %%)", c.kind, c.size, parts, got, want, (got/want-1)*100)
			alike(t, want, got, 0.02, c.kind+" "+c.size+": cooling along the pipes")
		}
	}
}

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
		p := mustPlant(t, h, model{})
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
		flows := func() [3]float64 {
			var flows [3]float64
			for i := range flows {
				if k := y.of[i]; k >= 0 {
					flows[i] = y.streams[k].flow
				}
			}
			return flows
		}
		y.runTo(1000)
		for i, want := range [3]float64{left.Flow + right.Flow + pump, left.Flow, right.Flow} {
			within(t, want, flows()[i], 1e-15, "flow while both are open")
		}
		y.runTo(1800)
		for i, want := range [3]float64{left.Flow + pump, left.Flow, 0} {
			within(t, want, flows()[i], 1e-15, "flow with one shut again")
		}
		y.runTo(3000)
		if err := y.finish(); err != nil {
			t.Error(err)
		}
		m := &y.ledger.months[0]
		alike(t, left.Flow*left.Duration, m.taps[0].used.water, 1e-9, "water of the left tap")
		alike(t, right.Flow*right.Duration, m.taps[1].used.water, 1e-9, "water of the right tap")
		alike(t, left.Flow*left.Duration+right.Flow*right.Duration, m.taps[0].hot+m.taps[1].hot, 1e-9, "hot water of both")
		within(t, pump*3000, m.pumped, 1e-12, "water sent round")
	}
}

// What leaves the heater and what comes back make up what the heater is asked
// for: the heat given to water is that of bringing both to the set point, as if
// they had met at a tee before it.
func TestReturnMeetsTheMains(t *testing.T) {
	h := teeHouse(t, true)
	p := mustPlant(t, h, model{})
	y := newYear(p, 1, 0)
	y.runTo(20000) // the loop is steady
	y.open(schedules.Wish{Fixture: 0, Kind: schedules.Brief, Flow: 0.6e-4, HotShare: 1, Duration: 5000, Usable: 40})
	y.runTo(24000)
	y.endMonth()
	m := &y.ledger.months[0]
	before := m.supplied + m.stirred
	y.runTo(24900)
	y.endMonth()
	back := y.outlet(len(y.pipes) - 1)
	if !(back > 40 && back < 55) {
		t.Errorf("water comes back at %g °C", back)
	}
	pump := h.Layouts[0].Pump
	mixed := exact.TeeMixing([]float64{0.6e-4, pump.Flow}, []float64{15, back}).Value
	want := p.volume * (0.6e-4 + pump.Flow) * (55 - mixed) * 900
	alike(t, want, m.supplied+m.stirred-before, 1e-4, "heat given to water")
}
