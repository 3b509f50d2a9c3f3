package pipework

import "math"

// stream is a run of pipes that carry the same water at the same flow, one
// behind the other, as far as the next tee where water parts. All their cells hold
// the same volume, so the water of a stream moves on by one cell everywhere at once.
// While it flows all temperatures are here: those of the water in one row, those of
// the walls stretch by stretch.
//
// Water is taken in at what feeds the stream until it makes a cell.
type stream struct {
	row
	sections  []section // from the heater outwards
	stretches []stretch // that they make together
	flows     bool
	flow      float64 // that, or the last [m³/s]
	paced     float64 // the flow for which the steps of its stretches are [m³/s]
	cell      float64 // volume that a shift moves [m³]
	share     float64 // of a whole cell that this is [-]
	duration  float64 // of one shift [s]
	ends      float64 // how much more water disperses at a face, as the ends have none [-]
	changing  bool    // radial mixing has just begun, so the numbers change

	filled float64 // share of the next cell that has come in [-]
	inflow float64 // sum of share × temperature that came in [°C]
	since  float64 // until when inflow, or the loss of a still stream, is booked [s]
	due    float64 // when it shifts next, never if it is still [s]
	shifts int     // since its pipes were last looked after
}

// lookEvery is after how many shifts the pipes of a stream are looked after:
// their loss follows their temperature, and cells that have settled are left alone.
const lookEvery = 8

// still tells whether every cell of the stream is settled and what comes in is
// what they settled at.
func (s *stream) still() bool { return s.due == never }

// source is the pipe that feeds a stream, or what stands for a heater or the mains.
func (w *System) source(s *stream) int { return w.feed[s.sections[0].pipe] }

// supply is the temperature of the water that a stream takes in [°C].
func (w *System) supply(s *stream) float64 {
	switch i := w.source(s); {
	case i >= 0:
		return w.Outlet(i)
	case i == mains:
		return w.mains
	default:
		return w.given[fromHeater(i)]
	}
}

// start lets the water of a stream begin to move at a flow.
func (w *System) start(s *stream, flow float64) {
	s.flows, s.flow, s.duration = true, flow, s.cell/flow
	s.filled, s.inflow, s.since, s.shifts = 0, 0, w.Now, 0
	w.relaxAll(s)
	for _, part := range s.sections {
		w.pipes[part.pipe].move(w.Now)
	}
	w.gather(s)
	w.expose(s)
	w.renew(s)
	s.promise()
	w.await(s)
}

// end stops the water of a stream where it is. Pipes of no other come to rest. Water and
// wall have exchanged heat up to the last shift; what is left until now is part of the rest.
func (w *System) end(s *stream) {
	clock := w.Now - s.filled*s.duration
	if s.filled > 0 {
		s.stop(s.filled, s.inflow/s.filled)
	}
	w.scatter(s)
	s.flows = false
	for _, part := range s.sections {
		p := &w.pipes[part.pipe]
		p.clock = clock
		if w.of[part.pipe] < 0 {
			p.halt(w.Now)
		}
	}
}

// expose takes over the surroundings of a stream as they are now, and how far it is
// above them.
func (w *System) expose(s *stream) {
	for k := range s.stretches {
		st := &s.stretches[k]
		st.step.ambient = w.Air(st.zone, w.Now)
		st.excess = st.outside(st.step.ambient)
	}
}

// renew makes the steps of a stream those of its flow and of its surroundings, at which
// none of it has settled yet.
func (w *System) renew(s *stream) {
	s.unsettle()
	if s.flow != s.paced {
		w.hasten(s)
	}
	for k := range s.stretches {
		st := &s.stretches[k]
		st.step.lose(st.fabric, st.excess)
	}
}

// hasten makes the steps of a stream those of its flow.
func (w *System) hasten(s *stream) {
	s.paced, s.changing = s.flow, false
	if s.flow != w.flow { // mostly one flow goes all the way from the heater to a tap
		w.flow, w.place = s.flow, placeOf(s.flow)
	}
	for k := range s.stretches {
		st := &s.stretches[k]
		st.step.carry(st.fabric, s.duration, w.place, s.share)
		s.changing = s.changing || st.step.late != st.step.early
	}
	if !s.changing {
		s.disperses()
	}
}

// disperses works out the dispersion number of every face in a stream, in as many steps
// as keep them under a half. Between two stretches it is the mean of theirs.
func (s *stream) disperses() {
	most := 0.0
	for k := range s.stretches {
		st := &s.stretches[k]
		st.number = st.dispersion() * s.ends
		most = max(most, st.number)
	}
	steps := max(1, math.Ceil(most/0.5))
	s.steps = int(steps)
	before := 0.0
	for k := range s.stretches {
		st := &s.stretches[k]
		d := st.number / steps
		if k > 0 && st.begin == 0 {
			s.number[st.first-1] = (before + d) / 2
		}
		faces := s.number[st.first : st.first+st.cells-1]
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
func (w *System) weatherIn(s *stream) {
	still := s.still()
	w.expose(s)
	w.renew(s)
	if still { // it most likely is so again, a trifle warmer or cooler
		s.steady = w.supply(s)
		s.settle(w.volume)
	}
	w.await(s)
}

// update brings a stream up to now.
func (w *System) update(s *stream) {
	dt := w.Now - s.since
	if dt == 0 {
		return
	}
	s.since = w.Now
	part := dt / s.duration
	if s.still() {
		s.calm(part)
		return
	}
	s.filled += part
	s.inflow += part * w.supply(s)
}

// calm books the loss of the cells that have settled, for so many shifts.
func (s *stream) calm(shifts float64) {
	for k := range s.stretches {
		st := &s.stretches[k]
		if st.first >= s.settled {
			return
		}
		st.lost += shifts * st.calm
	}
}

// await works out when a stream will next have a cell's worth of new water. A
// stream that has come to a steady state needs no shifts, once it has done the
// one that it has begun.
func (w *System) await(s *stream) {
	s.due = s.since + (1-s.filled)*s.duration
	if s.filled*s.duration <= Instant && s.settled == len(s.water) && math.Abs(w.supply(s)-s.steady) <= sameInflow {
		s.due = never
	}
}

// feeds tells whether stream k feeds another.
func (w *System) feeds(k int, o *stream) bool {
	i := w.source(o)
	return i >= 0 && w.of[i] == k
}

// Shift moves the water of stream k on by one cell; it must be due now.
func (w *System) Shift(k int) {
	s := w.streams[k]
	w.update(s)
	for _, o := range w.streams[k+1:] {
		if w.feeds(k, o) {
			w.update(o) // with the water that has left until now
		}
	}
	in := s.inflow / s.filled
	s.filled-- // to within the resolution of the clock, the rest of which stays
	s.inflow -= in
	if math.Abs(in-s.steady) > sameInflow {
		s.unsettle()
		s.steady = in
	}
	s.calm(1)
	s.shift(in)
	if s.changing {
		s.disperses()
	}
	s.disperse()
	s.exchange()
	if s.settled < len(s.water) {
		s.promise()
	}
	if s.shifts++; s.shifts >= lookEvery {
		s.shifts = 0
		s.follow(w.volume)
	}
	w.await(s)
	for _, o := range w.streams[k+1:] {
		if o.still() && w.feeds(k, o) {
			w.await(o) // what comes now may not be what it settled at
		}
	}
}

// of is the section of pipe i, which is in the stream: mostly its last.
func (s *stream) of(i int) *section {
	k := len(s.sections) - 1
	for s.sections[k].pipe != i {
		k--
	}
	return &s.sections[k]
}
