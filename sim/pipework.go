package sim

import (
	"math"
	"slices"
)

// pipework is all the pipes of a layout with water in them: what flows where,
// and how warm it is.
//
// Between two shifts of a stream nothing happens to it but that water flows in
// at a constant temperature, so its state is brought up to now only when it
// shifts, when the stream that feeds it shifts, or when flows change.
type pipework struct {
	*plant
	pipes   []pipe
	wanted  []float64 // flow by pipe, as the open taps and the pump ask [m³/s]
	streams []stream  // that flow, from the heater outwards
	spare   []stream  // of earlier, to use again
	of      []int     // by pipe: its stream, −1 at rest
	given   float64   // temperature of the water the heater gives [°C]
	now     float64   // [s]
	flow    float64   // the flow whose place on the ladder was last looked up [m³/s]
	place   place
	blending
}

// newPipework fills the pipes with water at the temperature of their surroundings.
func newPipework(p *plant) *pipework {
	w := &pipework{
		plant:  p,
		wanted: make([]float64, len(p.conduits)),
		of:     make([]int, len(p.conduits)),
		pipes:  make([]pipe, len(p.conduits)),
		given:  p.house.Heater.Setpoint,
	}
	for i, c := range p.conduits {
		w.pipes[i] = newPipe(c, p.ambientAt(c.zone, 0))
		w.of[i] = -1
	}
	return w
}

// outlet is the temperature of the water that leaves pipe i, or would, or that
// of the heater if i is −1 [°C].
func (w *pipework) outlet(i int) float64 {
	if i < 0 {
		return w.given
	}
	if p := &w.pipes[i]; p.flow > 0 {
		return p.out
	}
	return w.pipes[i].standing()
}

// middles are the distances of the cells of a row of pipes from its beginning [m].
func (w *pipework) middles(row []int) []float64 {
	var all []float64
	x := 0.0
	for _, i := range row {
		c := w.conduits[i]
		for k := range c.cells {
			all = append(all, x+(float64(k)+c.size(k)/2)*c.cellLength)
		}
		x += c.length()
	}
	return all
}

// route makes the pipes carry the wanted flows from now on.
func (w *pipework) route() {
	w.updateAll()
	before := w.streams
	w.streams, w.spare = w.spare[:0], before
	for i := range w.of {
		w.of[i] = -1
	}
	for i, flow := range w.wanted {
		if flow > 0 {
			w.join(i, flow)
		}
	}
	// Streams that go on as they were keep their place; the others stop, and
	// those that are new start once all old ones have stopped.
	for b := range before {
		old := &before[b]
		if k := w.of[old.pipes[0]]; k >= 0 && slices.Equal(w.streams[k].pipes, old.pipes) {
			s := &w.streams[k]
			pipes := s.pipes
			flow := s.flow
			*s, old.pipes = *old, pipes
			if s.flow != flow {
				w.speed(s, flow)
			}
			continue
		}
		w.end(old)
	}
	for i := range w.pipes {
		if w.of[i] < 0 && w.pipes[i].flow > 0 {
			w.pipes[i].halt(w.now)
		}
	}
	for k := range w.streams {
		if s := &w.streams[k]; s.duration == 0 {
			w.start(s)
		}
	}
}

// join adds pipe i, the next outwards of those that flow, to the stream that
// feeds it or to a new one.
func (w *pipework) join(i int, flow float64) {
	if f := w.feed[i]; f >= 0 {
		k := w.of[f]
		if s := &w.streams[k]; flow == s.flow && s.cell == w.pipes[i].cellVolume {
			s.pipes = append(s.pipes, i)
			w.of[i] = k
			return
		}
	}
	k := len(w.streams)
	var pipes []int
	if k < cap(w.streams) {
		pipes = w.streams[:k+1][k].pipes[:0]
	}
	s := stream{pipes: append(pipes, i), cell: w.pipes[i].cellVolume, flow: flow}
	if p := &w.pipes[i]; p.stub() {
		s.cell *= p.part
	}
	w.streams = append(w.streams, s)
	w.of[i] = k
}

// speed changes the flow of a stream that goes on. Its steps stay as they are
// until the flow is 2 % off that for which they were made.
func (w *pipework) speed(s *stream, flow float64) {
	still := s.still()
	s.flow = flow
	s.duration = s.cell / flow
	renew := math.Abs(flow-s.paced) > 0.02*s.paced
	for _, i := range s.pipes {
		w.pipes[i].flow = flow
		if renew {
			w.renew(i, s)
		}
	}
	if renew || !still {
		w.await(s)
	}
}

// weather takes over the surroundings of all streams as they are now.
func (w *pipework) weather() {
	w.updateAll()
	for k := range w.streams {
		w.weatherIn(&w.streams[k])
	}
}

// updateAll brings all streams up to now.
func (w *pipework) updateAll() {
	for k := range w.streams {
		w.update(&w.streams[k])
	}
}

// next is the stream that shifts next, and when; −1 and never if none will.
func (w *pipework) next() (k int, due float64) {
	k, due = -1, never
	for j := range w.streams {
		if d := w.streams[j].due; d < due {
			k, due = j, d
		}
	}
	return k, due
}

// rest brings the heat lost by all pipes up to now.
func (w *pipework) rest() {
	w.updateAll()
	for i := range w.pipes {
		if w.of[i] < 0 {
			w.relax(i, w.now)
		}
	}
}

// relax lets pipe i cool until a time.
func (w *pipework) relax(i int, until float64) {
	p := &w.pipes[i]
	p.relax(until, w.ambientAt(p.zone, (p.clock+until)/2))
}

// stored is the heat in all water and walls above 0 °C [J]; nothing may flow.
func (w *pipework) stored() float64 {
	heat := 0.0
	for i := range w.pipes {
		heat += w.pipes[i].stored()
	}
	return heat
}
