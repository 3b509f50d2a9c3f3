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
	wanted  []float64 // flow by pipe, as the open taps and the pump ask; below 0 from the mains outwards in a cold line [m³/s]
	streams []stream  // that flow, from the heater outwards
	spare   []stream  // of earlier, to use again
	of      []int     // by pipe: its stream, −1 at rest
	feed    []int     // by pipe, as the plant's, but for a cold line whose water goes the other way
	given   float64   // temperature of the water the heater gives [°C]
	mains   float64   // and of that which comes in where a cold line begins [°C]
	now     float64   // [s]
	flow    float64   // the flow whose place on the ladder was last looked up [m³/s]
	place   place
	group   []*pipe // room for those that cool as one
}

// newPipework fills the pipes with water at the temperature of their surroundings.
func newPipework(p *plant) *pipework {
	w := &pipework{
		plant:  p,
		wanted: make([]float64, len(p.conduits)),
		of:     make([]int, len(p.conduits)),
		feed:   p.feed,
		pipes:  make([]pipe, len(p.conduits)),
		given:  p.house.Heater.Setpoint,
	}
	for i, c := range p.conduits {
		w.pipes[i] = newPipe(c, p.ambientAt(c.zone, 0))
		w.of[i] = -1
	}
	if p.coldLine != nil {
		w.feed, w.mains = slices.Clone(p.feed), p.mainsAt(0)
	}
	return w
}

// outlet is the temperature of the water that leaves pipe i, or would, or that
// of the heater if i is −1, or of the mains if it is theirs [°C].
func (w *pipework) outlet(i int) float64 {
	if i < 0 {
		if i == mains {
			return w.mains
		}
		return w.given
	}
	p := &w.pipes[i]
	if !p.flows {
		return p.standing()
	}
	s := &w.streams[w.of[i]]
	last := s.of(i).first + p.cells - 1
	if last == len(s.water)-1 {
		return s.out
	}
	return p.end*s.water[last] + (1-p.end)*s.water[max(last-1, 0)]
}

// following is the temperature of the cell that leaves pipe i after the one that does,
// or would [°C].
func (w *pipework) following(i int) float64 {
	p := &w.pipes[i]
	if !p.flows {
		return p.standing()
	}
	s := &w.streams[w.of[i]]
	last := s.of(i).first + p.cells - 1
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

// cellsOf is the water in the cells of pipe i, flowing or not [°C].
func (w *pipework) cellsOf(i int) []float64 {
	p := &w.pipes[i]
	if !p.flows {
		return p.temp[0]
	}
	s := &w.streams[w.of[i]]
	return s.water[s.of(i).first:][:p.cells]
}

// middles are the distances of the cells of a row of pipes from its beginning [m].
func (w *pipework) middles(row []int) []float64 {
	var all []float64
	x := 0.0
	for _, i := range row {
		c := w.conduits[i]
		for k := range c.cells {
			size := c.size(k) * c.cellLength
			all = append(all, x+size/2)
			x += size
		}
	}
	return all
}

// route makes the pipes carry the wanted flows from now on.
func (w *pipework) route() {
	w.updateAll()
	if !w.routed() {
		w.reroute()
	}
	w.pace()
}

// reroute makes the streams those of the wanted flows.
func (w *pipework) reroute() {
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
	for k := len(w.coldLine) - 1; k >= 0; k-- {
		if i := w.coldLine[k]; w.wanted[i] < 0 {
			w.join(i, -w.wanted[i])
		}
	}
	// Streams that go on as they were keep their place; the others stop, and
	// those that are new start once all old ones have stopped.
	for b := range before {
		old := &before[b]
		if k := w.of[old.sections[0].pipe]; k >= 0 && w.streams[k].carries(old) {
			s := &w.streams[k]
			*s, *old = *old, *s
			continue
		}
		w.end(old)
	}
	for k := range w.streams {
		if s := &w.streams[k]; s.duration == 0 {
			w.start(s)
		}
	}
}

// routed tells whether the streams can go on as those of the wanted flows, but for how
// fast they flow. Two that have come to flow alike stay two.
func (w *pipework) routed() bool {
	for i, flow := range w.wanted {
		k := w.of[i]
		if (flow != 0) != (k >= 0) {
			return false
		}
		if k >= 0 && flow != w.wanted[w.streams[k].sections[0].pipe] {
			return false
		}
	}
	return true
}

// pace makes the streams, which are those of the wanted flows, as fast as these.
func (w *pipework) pace() {
	for k := range w.streams {
		s := &w.streams[k]
		if flow := math.Abs(w.wanted[s.sections[0].pipe]); flow != s.flow {
			w.speed(s, flow)
		}
		if s.still() {
			w.await(s) // what comes now may not be what it settled at
		}
	}
}

// join adds pipe i, the next outwards of those that flow, to the stream that
// feeds it or to a new one.
func (w *pipework) join(i int, flow float64) {
	if f := w.feed[i]; f >= 0 {
		k := w.of[f]
		if s := &w.streams[k]; flow == s.flow && w.pipes[f].cellVolume == w.pipes[i].cellVolume {
			s.sections = append(s.sections, section{pipe: i})
			w.of[i] = k
			return
		}
	}
	k := len(w.streams)
	if k == cap(w.streams) {
		w.streams = append(w.streams, stream{})
	}
	w.streams = w.streams[:k+1]
	s := &w.streams[k]
	*s = stream{
		// Their room is used again.
		row:       row{water: s.water, number: s.number},
		stretches: s.stretches, walls: s.walls,
		sections: append(s.sections[:0], section{pipe: i}), flow: flow,
	}
	w.of[i] = k
}

// speed changes the flow of a stream that goes on. Its steps stay as they are
// until the flow is 2 % off that for which they were made.
func (w *pipework) speed(s *stream, flow float64) {
	still := s.still()
	s.flow = flow
	s.duration = s.cell / flow
	renew := math.Abs(flow-s.paced) > 0.02*s.paced
	if renew {
		w.renew(s)
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

// give lets the heater give water at a temperature [°C] from now on; what has left was
// that of before.
func (w *pipework) give(given float64) {
	if given == w.given {
		return
	}
	for k := range w.streams {
		if s := &w.streams[k]; w.source(s) < 0 {
			w.update(s)
		}
	}
	w.given = given
	for k := range w.streams {
		if s := &w.streams[k]; w.source(s) < 0 {
			w.await(s)
		}
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
	for k := range w.streams {
		w.credit(&w.streams[k])
	}
	for i := range w.pipes {
		if w.of[i] < 0 {
			w.relax(i, w.now)
		}
	}
}

// relax lets pipe i cool until a time.
func (w *pipework) relax(i int, until float64) { w.letRest([]*pipe{&w.pipes[i]}, until) }

// relaxAll lets the pipes of a stream that is to begin cool until a time. Those of one
// fabric and zone that follow each other and came to rest together cool as one.
func (w *pipework) relaxAll(s *stream, until float64) {
	for k := 0; k < len(s.sections); {
		first := &w.pipes[s.sections[k].pipe]
		w.group = w.group[:0]
		for ; k < len(s.sections); k++ {
			p := &w.pipes[s.sections[k].pipe]
			if p.fabric != first.fabric || p.zone != first.zone || p.clock != first.clock {
				break
			}
			w.group = append(w.group, p)
		}
		w.letRest(w.group, until)
	}
}

// stored is the heat in all water and walls above 0 °C [J]; nothing may flow.
func (w *pipework) stored() float64 {
	heat := 0.0
	for i := range w.pipes {
		heat += w.pipes[i].stored()
	}
	return heat
}
