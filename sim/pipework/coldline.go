package pipework

import (
	"math"
	"slices"
)

// mains stands for the pipe that feeds a cold line whose water goes outwards.
const mains = math.MinInt

// turnAround lets the water in the cold line, if there is one, begin to go the way that
// is wanted: what flows the other way stops first.
func (w *System) turnAround() {
	turns := func(i int) bool { return w.Wanted[i] != 0 && w.outwards(i) != (w.Wanted[i] < 0) }
	if !slices.ContainsFunc(w.coldLine, turns) {
		return
	}
	wanted := slices.Clone(w.Wanted)
	for _, i := range w.coldLine {
		if turns(i) || w.of[i] < 0 {
			w.Wanted[i] = 0
		}
	}
	w.route()
	copy(w.Wanted, wanted)
	for k, i := range w.coldLine {
		if !turns(i) {
			continue
		}
		switch {
		case w.Wanted[i] > 0:
			w.feed[i] = w.Plan.feed[i]
		case k == len(w.coldLine)-1:
			w.feed[i] = mains
		default:
			w.feed[i] = w.coldLine[k+1]
		}
		w.pipes[i].reverse()
	}
}

// outwards tells whether the water in pipe i of a cold line goes from the mains
// outwards, or did when it last moved.
func (w *System) outwards(i int) bool { return w.feed[i] != w.Plan.feed[i] }

// reverse turns a pipe at rest, all of whose cells are whole, end to end.
func (p *pipe) reverse() {
	for j := range p.nodes {
		slices.Reverse(p.temp[j])
	}
}

// GiveMains lets the mains give water at a temperature [°C] from now on; what they gave
// before must have come in.
func (w *System) GiveMains(t float64) {
	if t == w.mains {
		return
	}
	w.mains = t
	for _, s := range w.streams {
		if w.source(s) == mains {
			w.await(s)
		}
	}
}

// ColdEnd is the temperature at that end of a pipe of the cold line which is farther
// from the heater [°C].
func (w *System) ColdEnd(i int) float64 {
	water := w.Water(i)
	if w.outwards(i) {
		return water[len(water)-1]
	}
	return water[0]
}
