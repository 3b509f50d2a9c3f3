package sim

import "math"

// stream is a run of pipes that carry the same water at the same flow, one
// behind the other, as far as the next tee where water parts. All their cells hold
// the same volume, so the water of a stream moves on by one cell everywhere at once.
// While it flows its temperatures are here, in one row; those of the walls stay with
// the pipes.
//
// Water is taken in at what feeds the stream until it makes a cell.
type stream struct {
	row
	sections []section // from the heater outwards
	flow     float64   // [m³/s]
	paced    float64   // the flow for which its pipes' steps are [m³/s]
	cell     float64   // volume that a shift moves [m³]
	share    float64   // of a whole cell that this is [-]
	duration float64   // of one shift [s]
	ends     float64   // how much more water disperses at a face, as the ends have none [-]
	most     float64   // the largest dispersion number [-]
	changing bool      // radial mixing has just begun, so the numbers change

	filled float64 // share of the next cell that has come in [-]
	inflow float64 // sum of share × temperature that came in [°C]
	since  float64 // until when inflow, or the loss of a still stream, is booked [s]
	due    float64 // when it shifts next, never if it is still [s]
	shifts int     // since its pipes were last looked after
}

// section is a pipe's part of a stream. Its first cell may be one with the last of
// the section before, whose walls exchange heat with the water in it too.
type section struct {
	pipe       int
	first      int     // its first cell in the row
	head, tail float64 // share of the water in its first and its last cell that is in it [-]
}

// holds is the share of the water in cell i of its pipe that is in it [-].
func (s *section) holds(p *pipe, i int) float64 {
	switch i {
	case p.cells - 1:
		return s.tail
	case 0:
		return s.head
	}
	return 1
}

// lookEvery is after how many shifts the pipes of a stream are looked after:
// their loss follows their temperature, and cells that have settled are left alone.
const lookEvery = 6

// still tells whether every cell of the stream is settled and what comes in is
// what they settled at.
func (s *stream) still() bool { return s.due == never }

// carries tells whether the stream is one of the same pipes as another.
func (s *stream) carries(o *stream) bool {
	if len(s.sections) != len(o.sections) {
		return false
	}
	for k := range s.sections {
		if s.sections[k].pipe != o.sections[k].pipe {
			return false
		}
	}
	return true
}

// source is the pipe that feeds a stream, −1 for the heater.
func (w *pipework) source(s *stream) int { return w.feed[s.sections[0].pipe] }

// supply is the temperature of the water that a stream takes in [°C].
func (w *pipework) supply(s *stream) float64 { return w.outlet(w.source(s)) }

// start lets the water of a stream begin to move.
func (w *pipework) start(s *stream) {
	w.fit(s)
	s.duration = s.cell / s.flow
	s.since = w.now
	for _, part := range s.sections {
		// Exchange at each shift stands for half a shift's time before it and half
		// after, so the rest is drawn out by half a shift.
		w.relax(part.pipe, w.now+s.duration/2)
		w.pipes[part.pipe].move(s.flow, w.now)
	}
	w.gather(s)
	w.renew(s)
	s.promise()
	w.await(s)
}

// fit lays the sections of a stream out along one row of cells. What a shift moves
// is a whole cell, or as much as the stream holds where that is less.
func (w *pipework) fit(s *stream) {
	held, at := 0.0, 0
	for k := range s.sections {
		part := &s.sections[k]
		p := &w.pipes[part.pipe]
		if k > 0 && p.begin > 0 {
			at--
		}
		part.first = at
		at += p.cells
		held += p.worth
	}
	first, last := &w.pipes[s.sections[0].pipe], &w.pipes[s.sections[len(s.sections)-1].pipe]
	head, tail := 1-first.begin, last.end
	s.share = 1
	switch {
	case at == 1:
		head, tail, s.share = held, held, held
	case at == 2 && held < 1:
		s.share = max(head, tail)
	}
	s.head, s.tail = head/s.share, tail/s.share
	s.cell = s.share * first.cellVolume
	s.ends = held / max(held-1, 1) // a front crosses a face less than there are cells
	s.water = append(s.water[:0], make([]float64, at)...)
	s.number = append(s.number[:0], make([]float64, at)...)
	room := func(c int) float64 {
		switch c {
		case 0:
			return head
		case at - 1:
			return tail
		}
		return 1
	}
	for k := range s.sections {
		part := &s.sections[k]
		p := &w.pipes[part.pipe]
		part.head = p.size(0) / room(part.first)
		part.tail = p.size(p.cells-1) / room(part.first+p.cells-1)
	}
}

// gather takes the water of a stream over from its pipes.
func (w *pipework) gather(s *stream) {
	for _, part := range s.sections {
		p := &w.pipes[part.pipe]
		row := s.water[part.first:]
		for i, t := range p.temp[0] {
			row[i] += part.holds(p, i) * t
		}
	}
}

// scatter gives the water of a stream back to its pipes.
func (w *pipework) scatter(s *stream) {
	for _, part := range s.sections {
		copy(w.pipes[part.pipe].temp[0], s.water[part.first:])
	}
}

// end stops the water of a stream where it is.
func (w *pipework) end(s *stream) {
	if s.filled > 0 {
		s.stop(s.filled, s.inflow/s.filled)
	}
	w.scatter(s)
	for _, part := range s.sections {
		p := &w.pipes[part.pipe]
		p.calm = 0
		p.clock = max(p.clock, w.now)
	}
}

// renew takes over the flow and the surroundings of a stream as they are now, at
// which none of it has settled yet.
func (w *pipework) renew(s *stream) {
	w.unsettle(s)
	s.paced, s.changing = s.flow, false
	if s.flow != w.flow { // mostly one flow goes all the way from the heater to a tap
		w.flow, w.place = s.flow, placeOf(s.flow)
	}
	for _, part := range s.sections {
		p := &w.pipes[part.pipe]
		p.step.ambient = w.ambientAt(p.zone, w.now)
		p.step.carry(p.conduit, s.duration, w.place, s.share)
		p.excess = p.outside(p.step.ambient)
		p.step.lose(p.conduit, p.excess)
		s.changing = s.changing || p.step.late != p.step.early
	}
	if !s.changing {
		w.disperses(s)
	}
}

// disperses works out the dispersion number of every face in a stream. Between two
// pipes it is the mean of theirs.
func (w *pipework) disperses(s *stream) {
	s.most = 0
	before := 0.0
	for k, part := range s.sections {
		p := &w.pipes[part.pipe]
		d := p.dispersion() * s.ends
		s.most = max(s.most, d)
		if k > 0 && p.begin == 0 {
			s.number[part.first-1] = (before + d) / 2
		}
		faces := s.number[part.first : part.first+p.cells-1]
		for i := range faces {
			faces[i] = d
		}
		before = d
	}
	if n := len(s.water); n > 1 {
		if s.head < 1 {
			s.number[0] = 0
		}
		if s.tail < 1 {
			s.number[n-2] = 0
		}
	}
}

// weatherIn takes over the surroundings of a stream as they are now.
func (w *pipework) weatherIn(s *stream) {
	still := s.still()
	w.renew(s)
	if still { // it most likely is so again, a trifle warmer or cooler
		s.steady = w.supply(s)
		w.settle(s)
	}
	w.await(s)
}

// update brings a stream up to now.
func (w *pipework) update(s *stream) {
	dt := w.now - s.since
	if dt == 0 {
		return
	}
	s.since = w.now
	part := dt / s.duration
	if s.still() {
		w.calm(s, part)
		return
	}
	s.filled += part
	s.inflow += part * w.supply(s)
}

// calm books the loss of the cells that have settled, for so many shifts.
func (w *pipework) calm(s *stream, shifts float64) {
	for _, part := range s.sections {
		if part.first >= s.settled {
			return
		}
		p := &w.pipes[part.pipe]
		p.lost += shifts * p.calm
	}
}

// await works out when a stream will next have a cell's worth of new water. A
// stream that has come to a steady state needs no shifts, once it has done the
// one that it has begun.
func (w *pipework) await(s *stream) {
	s.due = s.since + (1-s.filled)*s.duration
	if s.filled*s.duration <= instant && s.settled == len(s.water) && math.Abs(w.supply(s)-s.steady) <= sameInflow {
		s.due = never
	}
}

// feeds tells whether stream k feeds another.
func (w *pipework) feeds(k int, o *stream) bool {
	i := w.source(o)
	return i >= 0 && w.of[i] == k
}

// shift moves the water of stream k on by one cell; it must be due now.
func (w *pipework) shift(k int) {
	s := &w.streams[k]
	w.update(s)
	for j := k + 1; j < len(w.streams); j++ {
		if o := &w.streams[j]; w.feeds(k, o) {
			w.update(o) // with the water that has left until now
		}
	}
	in := s.inflow / s.filled
	s.filled-- // to within the resolution of the clock, the rest of which stays
	s.inflow -= in
	if math.Abs(in-s.steady) > sameInflow {
		w.unsettle(s)
		s.steady = in
	}
	w.calm(s, 1)
	s.shift(in)
	if s.changing {
		w.disperses(s)
	}
	s.disperse(s.most)
	w.exchange(s)
	if s.settled < len(s.water) {
		s.promise()
	}
	if s.shifts++; s.shifts >= lookEvery {
		s.shifts = 0
		w.follow(s)
	}
	w.await(s)
	for j := k + 1; j < len(w.streams); j++ {
		if o := &w.streams[j]; o.still() && w.feeds(k, o) {
			w.await(o) // what comes now may not be what it settled at
		}
	}
}

// exchange lets water and walls exchange heat for as long as a shift takes. In a
// cell with walls of several pipes each acts on its share of the water, which is
// mixed again afterwards.
func (w *pipework) exchange(s *stream) {
	joined := false           // the first cell of a section is one with the last of that before,
	before, mixed := 0.0, 0.0 // which was this warm, and has this from the sections so far
	for j := range s.sections {
		part := &s.sections[j]
		p := &w.pipes[part.pipe]
		first, last := part.first, part.first+p.cells-1
		if last < s.settled {
			continue
		}
		if joined {
			s.water[first] = before
		}
		before = s.water[last]
		from := max(s.settled-first, 0)
		p.exchange(&p.step.transfer, s.water[first+from:last+1], from)
		joins := j+1 < len(s.sections) && s.sections[j+1].first == last
		if joins || joined {
			s.water[last] *= part.tail
			if joined {
				if first < last {
					s.water[first] *= part.head
				}
				s.water[first] += mixed
			}
		}
		mixed = s.water[last]
		joined = joins
	}
}

// of is the section of pipe i, which is in the stream.
func (s *stream) of(i int) *section {
	k := 0
	for s.sections[k].pipe != i {
		k++
	}
	return &s.sections[k]
}
