package verify

import (
	"context"
	"fmt"
	"math"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/sim/exact"
	"pipelag/sim/pipework"
)

// fine is the grid on which the engine is held against exact solutions.
const fine pipework.Grid = 0.05

// exactly is the source of an exact value. Its formula was worked out, whoever
// had it first, and so can be judged by.
func exactly(p exact.Problem) Source {
	return Source{p.Formula + "; " + p.Source, "derived", ""}
}

func exactSolutions(ctx context.Context) ([]Line, error) {
	var all []Line
	for _, solve := range []func(context.Context) ([]Line, error){front, still, steady, spread, plug, split, merge, frictionFactors} {
		lines, err := solve(ctx)
		if err != nil {
			return nil, err
		}
		all = append(all, lines...)
	}
	return all, nil
}

// frontBench is a copper tube without loss, with a step so large that the
// 0.02 K within which the engine calls a cell steady count for little.
func frontBench(flow float64) (bench, error) {
	tube, err := tubes.Find("copper L", "3/4")
	return bench{run: network.Run{Tube: tube, Sleeve: vacuum}, length: 20, room: 1, setpoint: 95, flow: flow, usable: 90}, err
}

// frontAt is Schumann's solution for the water at a bench's tap, t after it was
// opened, and the engine's, both as a share of the step.
func (b bench) frontAt(t *sim.Trace, eta float64) (exact.Problem, float64) {
	p := t.Pipes[0]
	xi := p.Inner * b.length / (p.Water * b.speed())
	after := b.length/b.speed() + eta*p.Wall/p.Inner
	return exact.SchumannWater(xi, eta), (tapAt(&t.Openings[0].Series, after) - b.room) / (b.setpoint - b.room)
}

func front(context.Context) ([]Line, error) {
	var lines []Line
	for _, c := range []struct {
		name string
		flow float64
	}{{"laminar", 0.015 * litre}, {"turbulent", 0.1 * litre}} {
		b, err := frontBench(c.flow)
		if err != nil {
			return nil, err
		}
		t, err := b.trace(sim.TraceOptions{Grid: fine, NoDispersion: true})
		if err != nil {
			return nil, err
		}
		for _, eta := range []float64{1, 3, 8} {
			want, got := b.frontAt(t, eta)
			lines = append(lines, topic{"front in copper without loss, share of the step at the tap", "-"}.absolute(
				fmt.Sprintf("%s, η = %g", c.name, eta),
				want.Value, got, 0.002, exactly(want)))
		}
	}
	return lines, nil
}

// still lets a pipe in the ground rest, where the conductance is constant.
func still(context.Context) ([]Line, error) {
	tube, err := tubes.Find("copper L", "3/4")
	if err != nil {
		return nil, err
	}
	b := bench{run: network.Run{Tube: tube, Burial: heat.Burial{Depth: 0.5, Conductivity: 1}}, length: 5, room: 12, setpoint: 52, flow: 0.1 * litre, usable: 40}
	line, water, err := b.line()
	if err != nil {
		return nil, err
	}
	rests := []float64{600, 2400, 6000}
	t, err := b.trace(sim.TraceOptions{Grid: pipework.OpeningGrid, Run: 3600, Rests: rests})
	if err != nil {
		return nil, err
	}
	rate := slowest(line.WaterCapacity(water), line.WallCapacity()[0], line.Inner(water, 0), line.Outer(20, 12))
	first := t.Openings[1].Before.Middle - b.room
	var lines []Line
	for k, rest := range rests[1:] {
		want := exact.Cooling(rate, rest-rests[0])
		lines = append(lines, topic{"rest in the ground, share of the excess left", "-"}.relative(
			fmt.Sprintf("copper L 3/4, after %g min", (rest-rests[0])/60),
			want.Value, (t.Openings[k+2].Before.Middle-b.room)/first, 1e-3, exactly(want)))
	}
	return lines, nil
}

// slowest is the rate at which water and one wall node fall together [1/s]: the
// smaller root of
//
//	C_f C_w λ² − (g_i (C_f + C_w) + g_o C_f) λ + g_i g_o = 0
func slowest(water, wall, inner, outer float64) float64 {
	a, b, c := water*wall, inner*(water+wall)+outer*water, inner*outer
	return 2 * c / (b + math.Sqrt(b*b-4*a*c))
}

func steady(context.Context) ([]Line, error) {
	var lines []Line
	for _, kind := range []string{"copper L", "PEX"} {
		tube, err := tubes.Find(kind, "3/4")
		if err != nil {
			return nil, err
		}
		b := bench{run: network.Run{Tube: tube, Burial: heat.Burial{Depth: 0.1, Conductivity: 2}}, length: 40, room: 10, setpoint: 60, flow: 0.03 * litre, usable: 35}
		line, water, err := b.line()
		if err != nil {
			return nil, err
		}
		t, err := b.trace(sim.TraceOptions{Grid: 0.2, NoDispersion: true})
		if err != nil {
			return nil, err
		}
		series := t.Openings[0].Series
		conductances := append(line.Between(), line.Inner(water, b.flow), line.Outer(40, 10))
		want := exact.SteadyOutlet(b.setpoint, b.room, b.length, b.flow, water.Density*water.SpecificHeat, conductances...)
		// The engine calls a cell steady within 0.02 K.
		lines = append(lines, topic{"steady flow through 40 m in the ground, outlet", "°C"}.absolute(kind+" 3/4", want.Value, series.Tap[len(series.Tap)-1], 0.02, exactly(want)))
	}
	return lines, nil
}

// spread compares how widely a front's slope, which is a pulse, has spread by
// the time it leaves: σ in time is that in space over u.
func spread(context.Context) ([]Line, error) {
	var lines []Line
	for _, c := range []struct {
		name         string
		flow, length float64
		grid         pipework.Grid
	}{{"turbulent", 0.15 * litre, 20, 0.05}, {"laminar", 0.01 * litre, 150, 0.3}} {
		b := bench{run: network.Run{Tube: thin(0.02), Sleeve: vacuum}, length: c.length, room: 1, setpoint: 95, flow: c.flow, usable: 94.9}
		line, water, err := b.line()
		if err != nil {
			return nil, err
		}
		t, err := b.trace(sim.TraceOptions{Grid: c.grid})
		if err != nil {
			return nil, err
		}
		early, late := line.Dispersion(water, b.flow, 0), line.Dispersion(water, b.flow, math.Inf(1))
		u := b.speed()
		through := b.length / u
		want := exact.DevelopingVariance(early, late-early, line.MixingTime(water), through)
		lines = append(lines, topic{"pulse, standard deviation of its arrival", "s"}.relative(c.name+", Taylor and Aris", math.Sqrt(want.Value)/u, b.deviation(&t.Openings[0].Series), 0.025, exactly(want)))
	}
	return lines, nil
}

// deviation is the standard deviation of the time of arrival, by the moments of
// what is missing from the step at the tap [s].
func (b bench) deviation(s *sim.Series) float64 {
	missing := func(i int) float64 { return (b.setpoint - s.Tap[i]) / (b.setpoint - b.room) }
	mean, second := 0.0, 0.0
	for i := 1; i < len(s.Time); i++ {
		dt := s.Time[i] - s.Time[i-1]
		mean += dt * (missing(i-1) + missing(i)) / 2
		second += dt * (s.Time[i-1]*missing(i-1) + s.Time[i]*missing(i))
	}
	return math.Sqrt(second - mean*mean)
}

func plug(context.Context) ([]Line, error) {
	b := bench{run: network.Run{Tube: thin(0.02), Sleeve: vacuum}, length: 25, room: 15, setpoint: 55, flow: 0.1 * litre, usable: 43}
	t, err := b.trace(sim.TraceOptions{Grid: fine, NoDispersion: true})
	if err != nil {
		return nil, err
	}
	wait, err := waits(&t.Openings[0])
	if err != nil {
		return nil, err
	}
	want := exact.PlugArrival(b.run.Tube.Inside, b.length)
	// To within the cell whose middle is not its end.
	return []Line{topic{"plug without wall, loss or mixing, drawn until hot", "L"}.relative("25 m of 20 mm bore", want.Value/litre, wait*b.flow/litre, float64(fine)/b.length, exactly(want))}, nil
}

// wishes is a schedule of one day.
type wishes []schedules.Wish

// Year is the year that begins with that day.
func (w wishes) Year(uint64, int) schedules.Year { return w }

// Day is the first day, and nothing on any other.
func (w wishes) Day(d int, into []schedules.Wish) []schedules.Wish {
	if d > 0 {
		return into
	}
	return append(into, w...)
}

// split opens two taps at once: what the trunk carries goes two ways at the tee.
func split(ctx context.Context) ([]Line, error) {
	const setpoint, room = 60, 10
	run := network.Run{Tube: thin(0.02), Sleeve: vacuum, Zone: "room"}
	small := network.Run{Tube: thin(0.013), Sleeve: vacuum, Zone: "room"}
	n, mistakes := network.Listed("tee", []string{"near", "far"}, []network.Segment{
		{From: "heater", To: "tee", Length: 15, Run: run},
		{From: "tee", To: "near", Length: 4, Run: small},
		{From: "tee", To: "far", Length: 9, Run: small},
	})
	if len(mistakes) > 0 {
		return nil, fmt.Errorf("%v", mistakes)
	}
	h, err := bench{run: run, length: 1, room: room, setpoint: setpoint, flow: 0.1 * litre, usable: 43}.house()
	if err != nil {
		return nil, err
	}
	h.Layouts = []sim.Layout{{Network: n}}
	h.Fixtures = []sim.Fixture{{Name: "near", Flow: 0.05 * litre, Usable: 40}, {Name: "far", Flow: 0.1 * litre, Usable: 40}}
	var all wishes
	for i, f := range h.Fixtures {
		all = append(all, schedules.Wish{Fixture: i, Kind: schedules.Washing, Start: 60, Flow: f.Flow, Duration: 120, Mixed: 38, Usable: f.Usable, Patience: 3600})
	}
	h.Schedule = all
	r, err := sim.Run(ctx, h, sim.Options{Years: 1, Grid: fine, NoDispersion: true})
	if err != nil {
		return nil, err
	}
	trunk := exact.PlugArrival(0.02, 15).Value / (h.Fixtures[0].Flow + h.Fixtures[1].Flow)
	near, far := exact.PlugArrival(0.013, 4), exact.PlugArrival(0.013, 9)
	want := 2*trunk + near.Value/h.Fixtures[0].Flow + far.Value/h.Fixtures[1].Flow
	return []Line{topic{"flow that parts at a tee, two taps opened together", "s"}.relative("both waits", want, r.Layouts[0].Annual[sim.Wait].Mean, 0.01,
		Source{"trunk volume over both flows, branch volumes over their own", "derived", ""})}, nil
}

// merge lets hot and cold water meet at a spout that is to give a mixed
// temperature, and asks what share came from the hot side.
func merge(ctx context.Context) ([]Line, error) {
	setpoint, use, mains := celsius(125), celsius(105), celsius(58)
	h, err := bench{run: network.Run{Tube: thin(0.013), Sleeve: vacuum}, length: 5, room: mains, setpoint: setpoint, flow: 0.1 * litre, usable: setpoint - 1e-5}.house()
	if err != nil {
		return nil, err
	}
	h.Schedule = wishes{{Kind: schedules.Washing, Start: 60, Flow: 0.1 * litre, Duration: 36000, Mixed: use, Usable: h.Fixtures[0].Usable, Patience: 3600}}
	r, err := sim.Run(ctx, h, sim.Options{Years: 1, Grid: fine, NoDispersion: true})
	if err != nil {
		return nil, err
	}
	a := r.Layouts[0].Annual
	hot := (a[sim.HotDrawn].Mean - a[sim.Purged].Mean) / a[sim.Used].Mean
	mixed := exact.TeeMixing([]float64{hot, 1 - hot}, []float64{setpoint, mains})
	return []Line{
		topic{"flows that merge at a spout, 125 and 58 to 105 °F", "°C"}.absolute("mixed temperature", use, mixed.Value, 0.05, exactly(mixed)),
		topic{"flows that merge at a spout, 125 and 58 to 105 °F", "-"}.absolute("hot share", 0.701, hot, 0.0005,
			Source{"ANSI/RESNET/ICC 301, Fmix = 1 − (Tset − Tuse)/(Tset − Tmains)", "read", ""}),
	}, nil
}
