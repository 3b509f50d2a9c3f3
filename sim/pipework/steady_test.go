package pipework

import (
	"math"
	"testing"

	"pipelag/internal/check"
	"pipelag/network/heat"
	"pipelag/sim/exact"
)

// Under a flow that goes on for long the outlet is that of a pipe with a steady
// loss, and so is the heat lost.
func TestSteadyLossOfAnIdealPipe(t *testing.T) {
	const length, section, inner, outer = 25.0, 3.1e-4, 18.0, 2.0
	var off []float64
	for _, cells := range []int{5, 10, 20, 40} {
		q := ideal{length: length, section: section, water: section * rhoC, wall: 260, inner: inner, outer: outer, cells: cells}
		flow := onRung(70)
		w := NewSystem(idealRow(t, q), 60, 0)
		w.draw(flow)
		w.runTo(20000)
		want := exact.SteadyOutlet(60, 0, length, flow, rhoC, inner, outer).Value
		got := w.Outlet(0)
		off = append(off, math.Abs(got-want))

		w.Losses()
		w.runTo(40000)
		check.Alike(t, rhoC*flow*20000*(60-got), w.Losses()[0], 1e-6, "heat lost")
	}
	// Loss is split from exchange, half before and half after.
	t.Logf("outlet off by %.4f K on 5, 10, 20 and 40 cells, order %.2f", off, order(off))
	check.Within(t, 2, order(off), 0.3, "order of convergence")
	check.Within(t, 0, off[3], 2*settledWithin, "outlet on the finest grid")
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
				pieces = append(pieces, piece{tube: tube, length: 24 / float64(parts)})
			}
			n := rowOf(pieces...)
			s := NewSystem(mustPlan(t, n, room, Model{Grid: OpeningGrid}), setpoint, 15)
			s.draw(c.flow)
			s.runTo(2900)
			l, err := n.Pipes[0].Line()
			if err != nil {
				t.Fatal(err)
			}
			want := setpoint - steadyOutlet(&l, water(t), setpoint, room, 24, c.flow)
			got := setpoint - s.Outlet(parts-1)
			t.Logf("%s %s, %d pipes: water cools by %.3f K for %.3f (%+.1f %%)", c.kind, c.size, parts, got, want, (got/want-1)*100)
			check.Alike(t, want, got, 0.02, c.kind+" "+c.size+": cooling along the pipes")
		}
	}
}

// Where water passes so slowly that a wall left alone would cool meanwhile, what is lost does
// not hang on the size of cells: a bare pipe of 60 m in which they take from three seconds to
// a minute to pass, against the loss marched along it in small steps.
func TestLossOfLargeCells(t *testing.T) {
	const flow, setpoint, room, length = 0.03e-3, 55.0, 15.0, 60.0
	for _, kind := range []string{"copper L", "PEX"} {
		n := rowOf(piece{tube: mustTube(t, kind, "3/4"), length: length})
		l, err := n.Pipes[0].Line()
		if err != nil {
			t.Fatal(err)
		}
		of := water(t)
		want := of.Density * of.SpecificHeat * flow * (setpoint - steadyOutlet(&l, of, setpoint, room, length, flow))
		for _, grid := range []Grid{0.3, 1, 3, 6} {
			w := NewSystem(mustPlan(t, n, room, Model{Grid: grid}), setpoint, 15)
			w.draw(flow)
			w.runTo(20000)
			w.Losses()
			w.runTo(40000)
			got := w.Losses()[0] / 20000
			t.Logf("%s, %g m: %.1f W, %+.3f %% off", kind, float64(grid), got, (got/want-1)*100)
			check.Alike(t, want, got, 0.005, kind)
		}
	}
}
