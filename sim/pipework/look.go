package pipework

import "slices"

// Outlet is the temperature of the water that leaves pipe i, or would [°C].
func (w *System) Outlet(i int) float64 {
	p := &w.pipes[i]
	if !p.flows {
		return p.standing()
	}
	s, first := w.within(i)
	last := first + p.cells - 1
	if last == len(s.water)-1 {
		return s.out
	}
	return p.end*s.water[last] + (1-p.end)*s.water[max(last-1, 0)]
}

// Following is the temperature of the cell that leaves pipe i after the one that does,
// or would [°C].
func (w *System) Following(i int) float64 {
	p := &w.pipes[i]
	if !p.flows {
		return p.standing()
	}
	s, first := w.within(i)
	last := first + p.cells - 1
	share := p.end
	if last == len(s.water)-1 {
		share = s.tail
	}
	at := func(cell int) float64 {
		if cell < 0 {
			return w.supply(s)
		}
		return s.water[cell]
	}
	return share*at(last-1) + (1-share)*at(last-2)
}

// within is the stream that pipe i is part of, and its first cell there.
func (w *System) within(i int) (s *stream, first int) {
	s = w.streams[w.of[i]]
	return s, s.of(i).first
}

// Water is that in the cells of pipe i as it is now, until the next look [°C]. What
// stands has cooled since it was last brought up to date, and is looked at in a copy.
func (w *System) Water(i int) []float64 {
	p := &w.pipes[i]
	if !p.flows {
		q := w.resting(i, w.Now)
		return q.temp[0]
	}
	s, first := w.within(i)
	return s.water[first:][:p.cells]
}

// resting is pipe i as it would be at a time if it rested until then; to look
// changes nothing. It is good until the next look.
func (w *System) resting(i int, t float64) pipe {
	p := w.pipes[i]
	for j := range p.nodes {
		w.looked[j] = append(w.looked[j][:0], p.temp[j]...)
		p.temp[j] = w.looked[j]
	}
	w.letRest([]*pipe{&p}, t)
	return p
}

// Tip is the temperature right at the outlet of pipe i, which rests, at a time if it
// rests until then; to look changes nothing [°C].
func (w *System) Tip(i int, t float64) float64 {
	p := w.resting(i, t)
	return p.tip(w.Air(p.zone, t))
}

// Standing is the temperature of the water at the end of pipe i, which may have
// cooled since anyone looked: right at the end, and of the next cell to leave [°C].
func (w *System) Standing(i int) (tip, mean float64) {
	p := &w.pipes[i]
	if p.flows {
		return w.Outlet(i), w.Outlet(i)
	}
	w.relax(i, w.Now)
	return p.tip(w.Air(p.zone, w.Now)), p.standing()
}

// Tepid is how much of the water in a row of pipes has to leave before any that is
// warm enough stands at the end of the last [m³].
func (w *System) Tepid(row []int, enough float64) float64 {
	ahead := 0.0
	for _, i := range slices.Backward(row) {
		water, c := w.Water(i), w.conduits[i]
		for k := len(water) - 1; k >= 0; k-- {
			if water[k] >= enough {
				return ahead
			}
			ahead += c.cellVolume * c.size(k)
		}
	}
	return ahead
}

// CopyFrom takes over the temperatures in some pipes of another System of the same
// network, and its time; nothing may flow in either.
func (w *System) CopyFrom(o *System, pipes []int) {
	w.Now = o.Now
	for _, i := range pipes {
		for j := range w.pipes[i].nodes {
			copy(w.pipes[i].temp[j], o.pipes[i].temp[j])
		}
		w.pipes[i].clock = o.pipes[i].clock
	}
}

// Flows tells whether water moves in pipe i.
func (w *System) Flows(i int) bool { return w.of[i] >= 0 }

// Stream is the number of the stream that pipe i is part of, −1 at rest. It is good
// until the next Route.
func (w *System) Stream(i int) int { return w.of[i] }

// Passing is the time in which a cell of the water of stream k passes [s].
func (w *System) Passing(k int) float64 { return w.streams[k].duration }

// LongestRest is that of pipe i up to now [s].
func (w *System) LongestRest(i int) float64 { return w.pipes[i].longest(w.Now) }
