package pipework

import (
	"fmt"
	"math"
	"testing"

	"pipelag/internal/check"
	"pipelag/sim/exact"
)

// rhoC is the heat capacity of the water in ideal pipes [J/(m³ K)].
const rhoC = 4.15e6

// ideal is a pipe with coefficients of its own choosing, the same at any flow.
type ideal struct {
	length, section float64 // [m], [m²]
	water, wall     float64 // capacities [J/(m K)]
	inner, outer    float64 // conductances [W/(m K)]
	early, late     float64 // dispersion as flow begins, and when mixed [m²/s]
	mixing          float64 // [s]
	cells           int
}

// cell is the volume of one of the pipe's cells [m³].
func (q ideal) cell() float64 { return q.length * q.section / float64(q.cells) }

// conduit cuts the pipe into cells of a volume [m³], whatever its own would be.
func (q ideal) conduit(cell float64) *conduit {
	net := coupling{nodes: 2, capacity: [maxNodes]float64{q.water, q.wall}, between: [maxNodes - 1]float64{q.inner}}
	g := net.generator()
	f := &fabric{
		nodes: 2, capacity: net.capacity, cellVolume: cell, cellLength: cell / q.section,
		mixing: math.Max(q.mixing, 1e-9), outer: make([]float64, lossSteps+1), typical: max(q.outer, negligible),
	}
	for i := range f.rungs {
		dt := cell / onRung(i)
		m := exponential(&g, 2, dt)
		f.rungs[i] = rung{exchange: m, early: q.early, late: q.late, own: net.spreading(&m, &g, dt)}
		f.rungs[i].lose(&net, f.typical, dt)
	}
	for i := range f.outer {
		f.outer[i] = q.outer
	}
	net.outer = q.outer
	f.settling = net.modes()
	f.cooling = newCooling(func(float64) float64 { return math.Max(f.settling.rate[0], negligible) })
	return newConduit(f, 0, q.length*q.section, 0)
}

// onRung is a flow at which the engine does not interpolate [m³/s].
func onRung(i int) float64 { return leastFlow * math.Exp(float64(i)*flowStep) }

// flowing is the pipe at 0 °C as a stream of its own, at a flow [m³/s].
func (q ideal) flowing(flow float64) (*stretch, *stream) {
	w := &System{pipes: []pipe{newPipe(q.conduit(q.cell()), 0)}}
	s := &stream{sections: []section{{pipe: 0}}, flow: flow}
	w.fit(s)
	w.gather(s)
	st := &s.stretches[0]
	st.step.carry(st.fabric, s.cell/flow, placeOf(flow), s.share)
	st.step.lose(st.fabric, 1)
	return st, s
}

// order is the order of convergence that a sequence of errors on grids halved
// each time shows last.
func order(errors []float64) float64 {
	n := len(errors)
	return math.Log2(errors[n-2] / errors[n-1])
}

// A step of 1e6 K at the inlet leaves no room for what the engine calls settled.
const hugeStep = 1e6

func TestFrontAgainstSchumann(t *testing.T) {
	t.Parallel()
	const length, section, water, wall, inner = 20.0, 2e-4, 800.0, 300.0, 25.0
	flow := onRung(90)
	speed := flow / section
	grids := []int{10, 20, 40, 80, 160, 320}
	for _, c := range []struct {
		what  string
		inner float64
	}{{"weak film", 5}, {"film", inner}, {"strong film", 200}} {
		var off, offWall []float64
		for _, cells := range grids {
			q := ideal{length: length, section: section, water: water, wall: wall, inner: c.inner, cells: cells}
			st, s := q.flowing(flow)
			worst, worstWall := 0.0, 0.0
			dt := st.step.duration
			for n := 1; n <= 4*cells; n++ {
				s.promise()
				s.shift(hugeStep)
				s.exchange()
				// Exchange after a shift stands for half a shift before and half
				// after; what a cell holds then has its middle at the outlet face.
				at := (float64(n) + 0.5) * dt
				for _, k := range []int{cells/4 - 1, cells/2 - 1, cells - 1} {
					x := float64(k+1) * length / float64(cells)
					want := exact.SchumannWater(c.inner*x/(water*speed), c.inner/wall*(at-x/speed)).Value
					worst = math.Max(worst, math.Abs(s.water[k]/hugeStep-want))
					x -= length / float64(cells) / 2
					want = exact.SchumannWall(c.inner*x/(water*speed), c.inner/wall*(at-x/speed)).Value
					worstWall = math.Max(worstWall, math.Abs(st.temp[1][k]/hugeStep-want))
				}
			}
			off, offWall = append(off, worst), append(offWall, worstWall)
		}
		t.Logf("%s: largest error of the step on %v cells: water %.2g, order %.2f; wall %.2g, order %.2f", c.what, grids, off, order(off), offWall, order(offWall))
		check.Within(t, 2, order(off), 0.2, c.what+": order of the water's convergence")
		check.Within(t, 2, order(offWall), 0.2, c.what+": order of the wall's convergence")
		check.Within(t, 0, off[len(off)-1], 1e-3, c.what+": error on the finest grid")
	}
}

// idealRow is the plan of a row of ideal pipes in a room at 0 °C, cut into cells as
// large as those of the first.
func idealRow(t failer, pipes ...ideal) *Plan {
	t.Helper()
	pieces := make([]piece, len(pipes))
	for i := range pieces {
		pieces[i] = piece{tube: mustTube(t, "copper L", "3/4"), length: 1}
	}
	p := mustPlan(t, rowOf(pieces...), 0, Model{Grid: 1})
	for i, q := range pipes {
		p.conduits[i] = q.conduit(pipes[0].cell())
	}
	p.volume = rhoC
	return p
}

// Nothing mixes, nothing is exchanged: hot water arrives when what the pipes hold
// has been drawn, to within half a cell, by which a cell's middle is before its
// end, and one of the last pipe's, which fills with water of both kinds.
func TestPlugArrival(t *testing.T) {
	for _, cells := range []int{2, 3, 10, 100} {
		for _, usable := range []float64{20, 45, 59} {
			q := ideal{length: 14, section: 3.1e-4, water: 3.1e-4 * rhoC, wall: 100, inner: negligible, cells: cells}
			short := ideal{length: 3, section: 0.7e-4, water: 0.7e-4 * rhoC, wall: 100, inner: negligible, cells: 2}
			got := purge(t, idealRow(t, q, short), 60, 0.8e-4, usable)
			bore := func(q ideal) float64 { return 2 * math.Sqrt(q.section/math.Pi) }
			want := exact.PlugArrival(bore(q), q.length).Value + exact.PlugArrival(bore(short), short.length).Value
			check.Within(t, want, got, 1.5*q.cell()+1e-12, fmt.Sprintf("purged with %d cells, usable %g", cells, usable))
		}
	}
}

// arrival is the mean time at which a hot front leaves a row, and the variance
// of that time, by the moments of what is still to come.
func arrival(p *Plan, flow, step, until float64) (mean, variance float64) {
	w := NewSystem(p, hugeStep, 0)
	w.draw(flow)
	last := len(w.pipes) - 1
	for now := step / 2; now < until; now += step {
		w.runTo(now)
		missing := 1 - w.Outlet(last)/hugeStep
		mean += missing * step
		variance += 2 * now * missing * step
	}
	return mean, variance - mean*mean
}

// A tenth of the variance is a twentieth of the width of a front, which in
// turbulent flow takes up a tenth of a pipe or so.
func TestSpreadAgainstTaylorAndAris(t *testing.T) {
	const section = 3.1e-4
	flow := onRung(90)
	speed := flow / section
	pipe := func(length, dispersion float64, cells int) ideal {
		return ideal{length: length, section: section, water: section * rhoC, wall: 100, inner: negligible, early: dispersion, late: dispersion, mixing: 1, cells: cells}
	}
	wide := pipe(9, 2e-3, 30)
	wide.section, wide.water = 2*section, 2*section*rhoC
	for _, c := range []struct {
		what  string
		pipes []ideal
	}{
		{"one pipe, turbulent", []ideal{pipe(12, 3e-3, 40)}},
		{"one pipe, large cells", []ideal{pipe(12, 3e-3, 12)}},
		{"two cells", []ideal{pipe(12, 3e-3, 2)}},
		{"four pipes in series", []ideal{pipe(6, 3e-3, 20), pipe(0.6, 3e-3, 2), pipe(3, 3e-3, 10), pipe(2.4, 3e-3, 8)}},
		{"other bore", []ideal{pipe(6, 3e-3, 20), wide}},
		{"twenty short pipes", func() []ideal {
			var list []ideal
			for range 20 {
				list = append(list, pipe(0.6, 3e-3, 2))
			}
			return list
		}()},
	} {
		want, through := 0.0, 0.0
		for _, q := range c.pipes {
			u := flow / q.section
			// In time at a fixed place, a pulse is as wide as in space over speed.
			want += exact.PulseVariance(q.late, q.length/u).Value / (u * u)
			through += q.length / u
		}
		mean, variance := arrival(idealRow(t, c.pipes...), flow, 0.6/speed/20, 4*through)
		t.Logf("%s: mean %.3f s for %.3f, variance %.4f s² for %.4f (%+.1f %%)", c.what, mean, through, variance, want, (variance/want-1)*100)
		check.Alike(t, through, mean, 0.001, c.what+": mean arrival")
		check.Alike(t, want, variance, 0.10, c.what+": variance of the arrival")
	}
}

// A pulse inside one pipe while laminar dispersion builds up, from still water's
// to Taylor's and Aris's, and in steps on both sides of where the engine's
// scheme for it changes.
func TestSpreadBuildsUp(t *testing.T) {
	const section, still, mixed, mixing = 3.1e-4, 1.5e-7, 0.02, 30.0
	flow := onRung(70)
	for _, cells := range []int{200, 800} {
		q := ideal{length: 60, section: section, water: section * rhoC, wall: 100, inner: negligible, early: still, late: mixed, mixing: mixing, cells: cells}
		st, s := q.flowing(flow)
		s.ends = 1
		s.water[cells/4] = hugeStep
		dx := q.length / float64(cells)
		now, checked := 0.0, 0
		for now < 0.5*q.length*section/flow {
			now += st.step.duration
			s.promise()
			s.shift(0)
			s.disperses()
			s.disperse()
			s.exchange()
			if k := int(now / 10); k <= checked {
				continue
			} else {
				checked = k
			}
			var total, first, second float64
			for i, v := range s.water {
				x := (float64(i) + 0.5) * dx
				total += v
				first += v * x
				second += v * x * x
			}
			mean := first / total
			want := exact.DevelopingVariance(still, mixed-still, mixing, now).Value
			check.Within(t, hugeStep, total, settledWithin*float64(cells), "heat in the pulse")
			check.Within(t, q.length*(0.25+0.5/float64(cells))+now*flow/section, mean, 0.01*dx+1e-6, "middle of the pulse")
			// The dispersion of a step is that of its end, half a step ahead, and
			// stands for the time in cells rather than faces.
			check.Within(t, want, second/total-mean*mean, 0.01*want+2*mixed*st.step.duration, fmt.Sprintf("variance after %.0f s on %d cells", now, cells))
		}
		if checked < 5 {
			t.Errorf("looked %d times only", checked)
		}
	}
}

// A pipe is as one pipe or as many short ones: joints do not hold dispersion up.
func TestJointsDoNotMatter(t *testing.T) {
	for _, c := range []struct {
		kind, size string
		length     float64
		flow       float64
	}{
		{"copper L", "3/4", 14, 0.022e-3}, // laminar
		{"copper L", "3/4", 14, 0.1e-3},
		{"PEX", "1/2", 14, 0.06e-3},
		{"PEX", "1", 14, 0.04e-3}, // transition
	} {
		tube := mustTube(t, c.kind, c.size)
		var drawn []float64
		for _, parts := range []int{1, 2, 7} {
			var pieces []piece
			for range parts {
				pieces = append(pieces, piece{tube: tube, length: c.length / float64(parts)})
			}
			n := rowOf(pieces...)
			drawn = append(drawn, purge(t, mustPlan(t, n, 18, Model{}), 55, c.flow, 43)/n.Volume())
		}
		what := fmt.Sprintf("%s %s, %.0f mL/s: pipe volumes in 1, 2, 7 pieces", c.kind, c.size, c.flow*1e6)
		t.Logf("%s: %.3f", what, drawn)
		check.Alike(t, drawn[0], drawn[1], 0.02, what)
		check.Alike(t, drawn[0], drawn[2], 0.02, what)
	}
}

// A pipe of a micrometre in front of another, as a slip of units makes it, does
// not hold up the year, nor change what is purged.
func TestMicroscopicPipe(t *testing.T) {
	tube := mustTube(t, "copper L", "1/2")
	long, speck := piece{tube: tube, length: 10}, piece{tube: tube, length: 1e-6}
	want := purge(t, mustPlan(t, rowOf(long), 18, Model{}), 52, 1e-4, 43)
	p := mustPlan(t, rowOf(speck, long), 18, Model{})
	check.Alike(t, want, purge(t, p, 52, 1e-4, 43), 0.005, "purged behind a speck of pipe")
	// It would flow by itself with a tee behind it.
	w := System{pipes: []pipe{newPipe(p.conduits[0], 18)}}
	s := stream{sections: []section{{pipe: 0}}}
	if w.fit(&s); !(s.cell >= leastWorth*p.conduits[0].cellVolume*(1-1e-9)) {
		t.Errorf("the speck shifts every %g mL", s.cell*1e6)
	}
}

// A site may put a millimetre of riser between two long pipes; it takes no longer.
func TestPipeOfAMillimetre(t *testing.T) {
	tube := mustTube(t, "copper L", "3/4")
	drawn := func(lengths ...float64) float64 {
		var pieces []piece
		for _, l := range lengths {
			pieces = append(pieces, piece{tube: tube, length: l})
		}
		return purge(t, mustPlan(t, rowOf(pieces...), 18, Model{}), 55, 1e-4, 43)
	}
	check.Alike(t, drawn(15.001), drawn(10, 0.001, 5), 0.01, "purged")
}
