package sim

import (
	"math"
	"slices"
)

// mains stands for the pipe that feeds a cold line whose water goes outwards.
const mains = -2

// wholeCells are cells of about a volume that fill some pipe, and what they hold
// together [m³].
func wholeCells(about, pipe float64) (cell, holds float64) {
	holds = max(pipe, leastWorth*about)
	return holds / max(1, math.Round(holds/about)), holds
}

// turnAround lets the water in the cold line begin to go the way that is wanted: what
// flows the other way stops first.
func (w *pipework) turnAround() {
	turns := func(i int) bool {
		outwards := w.feed[i] != w.plant.feed[i]
		return w.wanted[i] != 0 && outwards != (w.wanted[i] < 0)
	}
	if !slices.ContainsFunc(w.coldLine, turns) {
		return
	}
	wanted := slices.Clone(w.wanted)
	for _, i := range w.coldLine {
		if turns(i) || w.of[i] < 0 {
			w.wanted[i] = 0
		}
	}
	w.route()
	copy(w.wanted, wanted)
	for k, i := range w.coldLine {
		if !turns(i) {
			continue
		}
		switch {
		case w.wanted[i] > 0:
			w.feed[i] = w.plant.feed[i]
		case k == len(w.coldLine)-1:
			w.feed[i] = mains
		default:
			w.feed[i] = w.coldLine[k+1]
		}
		w.pipes[i].reverse()
	}
}

// reverse turns a pipe at rest, all of whose cells are whole, end to end.
func (p *pipe) reverse() {
	for j := range p.nodes {
		slices.Reverse(p.temp[j])
	}
}

// mainsAre takes over the temperature of the mains, up to which all is up to date.
func (w *pipework) mainsAre(t float64) {
	if t == w.mains {
		return
	}
	w.mains = t
	for k := range w.streams {
		if s := &w.streams[k]; w.source(s) == mains {
			w.await(s)
		}
	}
}

// sendBack shares what the pump sends between the cold line's pipes and the cold
// sides of the taps on it, and leaves the heater the rest.
func (y *year) sendBack() {
	flow := y.looped
	left := flow
	for k, i := range y.coldLine {
		for j := range y.draws {
			if d := &y.draws[j]; y.coldTaps[d.Fixture] == k {
				left -= d.coldFlow()
			}
		}
		if math.Abs(left) < rounding*flow {
			left = 0
		}
		y.wanted[i] = left
	}
	y.looped = max(0, left)
	y.drawn += flow - y.looped // what taps took of it, the heater takes from the mains
	y.turnAround()
}

// rounding is a share of a flow that is as good as none [-].
const rounding = 1e-12

// coldSide is the temperature on the cold side of a fixture's tap [°C].
func (y *year) coldSide(fixture int) float64 {
	if y.cross == nil || y.coldTaps[fixture] == len(y.coldLine) {
		return y.cold
	}
	k := y.coldTaps[fixture]
	near := y.coldLine[k]
	in, from, out := 0.0, y.layout.Network.LoopEnd, max(0, -y.wanted[near])
	if k > 0 {
		from = y.coldLine[k-1]
		in = max(0, y.wanted[from])
	} else if y.pump.on {
		in = y.layout.Pump.Flow
	}
	switch {
	case in == 0 && out == 0:
		return y.coldEnd(near)
	case out == 0:
		return y.outlet(from)
	case in == 0:
		return y.outlet(near)
	}
	return (in*y.outlet(from) + out*y.outlet(near)) / (in + out)
}

// coldEnd is the temperature at that end of a pipe of the cold line which is
// farther from the heater [°C].
func (y *year) coldEnd(i int) float64 {
	water := y.waterIn(i)
	if y.feed[i] == y.plant.feed[i] {
		return water[0]
	}
	return water[len(water)-1]
}

// bookCold accounts for what a draw had from the cold line until now, which is to
// be booked as a draw afterwards.
func (y *year) bookCold(d *draw) {
	if y.coldTaps[d.Fixture] == len(y.coldLine) {
		return
	}
	m := &y.ledger.months[y.month]
	water := d.coldFlow() * (y.now - d.since)
	m.coldHeat += y.volume * water * (d.cold - y.cold)
	if d.cold > y.layout.Pump.Crossover.Lukewarm {
		m.coldWarm += water
	}
}
