package pipework

import (
	"fmt"
	"math"
	"testing"

	"pipelag/internal/check"
	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
	"pipelag/sim/exact"
)

// The table of a cooling curve against curves known in closed form.
func TestCoolingCurve(t *testing.T) {
	const rate, at = 1 / 3000.0, 30.0
	for _, power := range []float64{0.1, 0.25, 1.0 / 3} {
		c := newCooling(func(excess float64) float64 { return rate * math.Pow(excess/at, power) })
		worst := 0.0
		for _, rest := range []float64{1, 60, 600, 3600, 6 * 3600, 24 * 3600} {
			for _, excess := range []float64{60, 30, -30, 5} {
				want := exact.ConvectiveCooling(rate*math.Pow(math.Abs(excess)/at, power), power, rest).Value
				worst = math.Max(worst, math.Abs(c.remaining(excess, rest)-want))
			}
		}
		t.Logf("power %.2f: largest error %.2g of the excess", power, worst)
		// A straight line between two entries of the curve is off by up to an
		// eighth of the step squared times the curvature, at either end of a rest.
		check.Within(t, 0, worst, 2*excessStep*excessStep/8*power, "share of the excess left")
	}
	c := newCooling(func(float64) float64 { return rate })
	for _, rest := range []float64{0, 60, 3600, 1e5} {
		for _, excess := range []float64{200, 30, 1e-3} {
			check.Alike(t, exact.Cooling(rate, rest).Value, c.remaining(excess, rest), 1e-9, "constant film")
		}
	}
}

// resting integrates one metre of pipe with the film of every moment by the
// classical Runge–Kutta method, in steps of dt [s], in air that is so far from ambient
// at a time [K]; at each time it reports the water's excess over ambient [K].
func resting(l *heat.Line, w heat.Water, ambient, dt float64, air func(t float64) float64, start []float64, times []float64) []float64 {
	capacity := append([]float64{l.WaterCapacity(w)}, l.WallCapacity()...)
	between := append([]float64{l.Inner(w, 0)}, l.Between()...)
	n := len(capacity)
	const fine = 0.05 // [K]
	outer := make([]float64, int(2*start[0]/fine)+2)
	for i := range outer {
		outer[i] = l.Outer(float64(i)*fine, ambient)
	}
	loss := func(excess float64) float64 {
		at := math.Abs(excess) / fine
		i := int(at)
		return excess * (outer[i] + (at-float64(i))*(outer[i+1]-outer[i]))
	}
	type state [maxNodes]float64
	rate := func(x state, t float64) (r state) {
		for j := range n - 1 {
			q := between[j] * (x[j] - x[j+1])
			r[j] -= q / capacity[j]
			r[j+1] += q / capacity[j+1]
		}
		r[n-1] -= loss(x[n-1]-air(t)) / capacity[n-1]
		return r
	}
	plus := func(x, r state, h float64) state {
		for j := range n {
			x[j] += h * r[j]
		}
		return x
	}
	var x state
	copy(x[:], start)
	var out []float64
	now := 0.0
	for _, until := range times {
		for now < until-dt/2 {
			a := rate(x, now)
			b := rate(plus(x, a, dt/2), now+dt/2)
			c := rate(plus(x, b, dt/2), now+dt/2)
			d := rate(plus(x, c, dt), now+dt)
			for j := range n {
				x[j] += dt / 6 * (a[j] + 2*b[j] + 2*c[j] + d[j])
			}
			now += dt
		}
		out = append(out, x[0])
	}
	return out
}

// A pipe that rests in one leap, against second by second, with the outside film
// following the temperature: first evenly hot as after a long draw, then hot for
// only half of its length.
func TestRestAgainstSmallSteps(t *testing.T) {
	t.Parallel()
	const ambient, hot = 18.0, 55.0
	foam, err := tubes.FindSleeve("foam")
	if err != nil {
		t.Fatal(err)
	}
	w, err := heat.WaterAt(37)
	if err != nil {
		t.Fatal(err)
	}
	times := []float64{60, 300, 1200, 3600, 4 * 3600, 24 * 3600}
	worst, worstHalf := 0.0, 0.0
	for _, c := range []struct {
		kind, size string
		sleeve     tubes.Sleeve
		step       float64 // short enough for the small nodes [s]
	}{
		{"copper L", "1/2", tubes.Sleeve{}, 1},
		{"copper L", "3/4", tubes.Sleeve{Material: foam, Thickness: 0.013}, 1},
		{"PEX", "3/8", tubes.Sleeve{}, 0.1},
		{"PEX", "1", tubes.Sleeve{Material: foam, Thickness: 0.019}, 0.25},
		{"PP-R", "25x4.2", tubes.Sleeve{}, 0.25},
	} {
		pipe := network.Pipe{Feed: -1, Length: 10, Tube: mustTube(t, c.kind, c.size), Sleeve: c.sleeve, Zone: "room"}
		fabric, err := newFabric(pipe, w, ambient, pipe.Volume()/20, Model{})
		if err != nil {
			t.Fatal(err)
		}
		conduit := newConduit(fabric, 0, pipe.Volume(), 0)
		l, err := pipe.Line()
		if err != nil {
			t.Fatal(err)
		}
		start := make([]float64, conduit.nodes)
		for j := range start {
			start[j] = (hot - ambient) * (1 - 0.15*float64(j)/float64(conduit.nodes-1)) // walls cooler
		}
		want := resting(&l, w, ambient, c.step, func(float64) float64 { return 0 }, start, times)
		off, offHalf := make([]float64, len(times)), make([]float64, len(times))
		for k, rest := range times {
			for _, half := range []bool{false, true} {
				p := newPipe(conduit, ambient)
				for i := range p.cells {
					for j := range p.nodes {
						if !half || i < p.cells/2 {
							p.temp[j][i] = ambient + start[j]
						}
					}
				}
				p.relax(rest, ambient)
				d := (p.temp[0][0] - ambient - want[k]) / (hot - ambient)
				if half {
					offHalf[k] = d
				} else {
					off[k] = d
				}
			}
			worst, worstHalf = math.Max(worst, math.Abs(off[k])), math.Max(worstHalf, math.Abs(offHalf[k]))
			what := fmt.Sprintf("%s %s, sleeve %.0f mm, %g s: excess over that at the start", c.kind, c.size, c.sleeve.Thickness*1e3, rest)
			check.Within(t, 0, off[k], 0.01, what)
			check.Within(t, 0, offHalf[k], 0.01, what+", half hot")
		}
		t.Logf("%s %s: off by %.4f, half hot by %.4f of the excess at the start, after %v s", c.kind, c.size, off, offHalf, times)
	}
	t.Logf("largest: %.4f, half hot %.4f", worst, worstHalf)
}

// swings is air that swings by so much about 20 °C every day, warmest at 18:00, at a
// time [s].
func swings(swing, t float64) float64 { return 20 - swing*math.Sin(2*math.Pi*t/(24*hour)) }

// A pipe that rests from midnight in air that swings by 10 K from day to night, looked
// at once after so many hours, against small steps. The engine takes the air by the
// hour, which is off by half of what it changes in one, and takes it as it was while it
// has not gone far.
func TestRestInSwingingAir(t *testing.T) {
	t.Parallel()
	const hot, swing = 55.0, 10.0
	limit := alikeAir + swing*math.Sin(2*math.Pi/24)/2
	for _, c := range []struct {
		kind, size string
		step       float64 // short enough for the small nodes [s]
	}{{"PEX", "1/4", 0.1}, {"copper L", "3/4", 1}} {
		n := rowOf(piece{tube: mustTube(t, c.kind, c.size), length: 10})
		attic := steadily("room", 0)
		for k := range attic.Air {
			attic.Air[k] = swings(swing, (float64(k)+0.5)*hour)
		}
		p, err := NewPlan(n, Unpumped, water(t), []Zone{attic}, Model{})
		if err != nil {
			t.Fatal(err)
		}
		l, err := n.Pipes[0].Line()
		if err != nil {
			t.Fatal(err)
		}
		var times []float64
		for k := range 36 {
			times = append(times, float64(k+1)*hour)
		}
		start := make([]float64, p.conduits[0].nodes)
		for j := range start {
			start[j] = hot - 20
		}
		want := resting(&l, water(t), 20, c.step, func(t float64) float64 { return swings(swing, t) - 20 }, start, times)
		worst := 0.0
		for k, until := range times {
			w := NewSystem(p, hot, 15)
			w.pipes[0] = newPipe(p.conduits[0], hot)
			w.relax(0, until)
			got := w.pipes[0].temp[0][0]
			worst = math.Max(worst, math.Abs(got-20-want[k]))
			check.Within(t, 20+want[k], got, limit, fmt.Sprintf("%s %s after %.0f h", c.kind, c.size, until/hour))
		}
		t.Logf("%s %s: off by up to %.2f K", c.kind, c.size, worst)
	}
}
