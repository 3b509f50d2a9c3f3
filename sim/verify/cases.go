package verify

import (
	"context"
	"fmt"
	"math"

	"pipelag/network"
	"pipelag/network/tubes"
	"pipelag/sim"
	"pipelag/sim/pipework"
)

// measured lets pipes cool from a use to the temperature that people know the
// time to.
func measured(context.Context) ([]Line, error) {
	foam, err := tubes.FindSleeve("foam")
	if err != nil {
		return nil, err
	}
	var lines []Line
	for _, r := range records("cooldown.csv") {
		tube, err := tubes.Find(r["kind"], r["size"])
		if err != nil {
			return nil, err
		}
		run := network.Run{Tube: tube}
		how := "bare"
		if t := r.number("foam_in"); t > 0 {
			run.Sleeve = tubes.Sleeve{Material: foam, Thickness: t * inch}
			how = r["foam_in"] + " in foam"
		}
		from, to := celsius(r.number("from_F")), celsius(r.number("to_F"))
		published := r.number("minutes") * 60
		// The pipe is short, so that it is as warm throughout as where water enters.
		b := bench{run: run, length: 2, room: celsius((r.number("air_low_F") + r.number("air_high_F")) / 2), setpoint: from, flow: 0.1 * litre, usable: from - 5}
		got, err := b.coolsTo(to, published)
		if err != nil {
			return nil, err
		}
		lines = append(lines, topic{fmt.Sprintf("time to cool from %s to %s °F", r["from_F"], r["to_F"]), "min"}.relative(
			fmt.Sprintf("%s %s, %s", r["kind"], r["size"], how),
			r.number("minutes"), got/60, r.tolerance(), r.source()))
	}
	return lines, nil
}

// coolsTo is how long water at rest takes to a temperature [s], from rests a
// tenth apart round a guess; the logarithm of the excess is nearly straight.
func (b bench) coolsTo(to, guess float64) (float64, error) {
	var rests []float64
	for factor := 0.5; factor < 2; factor *= 1.1 {
		rests = append(rests, guess*factor)
	}
	t, err := b.trace(sim.TraceOptions{Grid: pipework.OpeningGrid, Run: 1800, Rests: rests})
	if err != nil {
		return 0, err
	}
	excess := func(k int) float64 { return math.Log(t.Openings[k+1].Before.Middle - b.room) }
	goal := math.Log(to - b.room)
	for k := 1; k < len(rests); k++ {
		if excess(k) <= goal && excess(k-1) > goal {
			share := (excess(k-1) - goal) / (excess(k-1) - excess(k))
			return rests[k-1] + share*(rests[k]-rests[k-1]), nil
		}
	}
	return 0, fmt.Errorf("the pipe takes less than half or more than twice %g s to cool", guess)
}

// solvers are volumes that another program found.
func solvers(context.Context) ([]Line, error) {
	var lines []Line
	for _, r := range records("purge_volumes.csv") {
		tube, err := tubes.Find(r["kind"], r["size"])
		if err != nil {
			return nil, err
		}
		b := bench{run: network.Run{Tube: tube}, length: r.number("length_m"), room: r.number("start_C"), setpoint: r.number("hot_C"), flow: r.number("flow_L_per_s") * litre, usable: r.number("until_C")}
		t, err := b.trace(sim.TraceOptions{Grid: pipework.OpeningGrid, NoDispersion: true})
		if err != nil {
			return nil, err
		}
		wait, err := waits(&t.Openings[0])
		if err != nil {
			return nil, err
		}
		lines = append(lines, topic{"pipe volumes drawn from cold", "-"}.relative(
			fmt.Sprintf("%s m of %s %s, until %s °C", r["length_m"], r["kind"], r["size"], r["until_C"]),
			r.number("pipe_volumes"), wait*t.Flow/t.Stored, r.tolerance(), r.source()))
	}
	return lines, nil
}

// practice is what plumbers and those who rate houses know.
func practice(context.Context) ([]Line, error) {
	lines, err := farKitchen()
	if err != nil {
		return nil, err
	}
	more, err := allowance()
	return append(lines, more...), err
}

// farKitchen is the kitchen at the other end of the house: somewhat over two
// and a half minutes and more than three gallons. What is said leaves the flow
// and the temperatures open; those taken here are the note's.
func farKitchen() ([]Line, error) {
	tube, err := tubes.Find("copper L", "3/4")
	if err != nil {
		return nil, err
	}
	b := bench{run: network.Run{Tube: tube}, length: 80 * foot, room: celsius(60), setpoint: celsius(120), flow: 1.25 * gpm, usable: celsius(110)}
	t, err := b.trace(sim.TraceOptions{Grid: pipework.OpeningGrid})
	if err != nil {
		return nil, err
	}
	wait, err := waits(&t.Openings[0])
	if err != nil {
		return nil, err
	}
	s := Source{"common practice, no source: about 80 ft of bare 3/4 in copper to a kitchen tap", "practice", "taken at 1.25 gpm, pipe and air at 60 °F, heater at 120 °F, until 110 °F"}
	return []Line{
		topic{"far kitchen, 80 ft of bare copper L 3/4", "s"}.relative("wait", 150, wait, 0.25, s),
		topic{"far kitchen, 80 ft of bare copper L 3/4", "gal"}.relative("drawn", 3, wait*b.flow/gallon, 0.25, s),
	}, nil
}

// allowance is the water that a specification lets be drawn from a pipe that
// holds half a gallon. It is a limit, not a measurement, and the rise at which
// it counts the water as hot is from memory: it is shown.
func allowance() ([]Line, error) {
	var lines []Line
	for _, c := range []struct{ kind, size string }{{"copper L", "1/2"}, {"CPVC", "1/2"}, {"PEX", "1/2"}} {
		tube, err := tubes.Find(c.kind, c.size)
		if err != nil {
			return nil, err
		}
		const room = 60
		b := bench{run: network.Run{Tube: tube}, length: 0.5 * gallon / tube.Volume(), room: celsius(room), setpoint: celsius(120), flow: 1.5 * gpm}
		for _, until := range []float64{room + 10, 105} {
			b.usable = celsius(until)
			t, err := b.trace(sim.TraceOptions{Grid: pipework.OpeningGrid})
			if err != nil {
				return nil, err
			}
			wait, err := waits(&t.Openings[0])
			if err != nil {
				return nil, err
			}
			lines = append(lines, topic{"half a gallon stored, drawn until hot", "gal"}.relative(
				fmt.Sprintf("%s %s, until %g °F", c.kind, c.size, until),
				0.6, wait*b.flow/gallon, noTolerance,
				Source{"EPA WaterSense New Home Specification 1.2, 3.3: 0.6 gal drawn for 0.5 gal stored", "read", "an allowance, not a measurement; hot there is a rise of 10 °F (from memory); taken at 1.5 gpm, pipe and air at 60 °F, heater at 120 °F"}))
		}
	}
	return lines, nil
}
