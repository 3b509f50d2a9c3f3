package sim

import "math"

// stream is a run of pipes that carry the same water at the same flow, one
// behind the other, as far as the next tee where water parts. All their cells hold
// the same volume, so the water of a stream moves on by one cell everywhere at once.
//
// Water is taken in at what feeds the stream until it makes a cell. A stub, too
// short to hold one, joins the stream that comes from a longer pipe; where it
// would come first it is a stream of its own, and its cell is what it holds.
type stream struct {
	pipes    []int   // from the heater outwards
	cell     float64 // volume that a shift moves [m³]
	flow     float64 // [m³/s]
	paced    float64 // the flow for which its pipes' steps are [m³/s]
	duration float64 // of one shift [s]
	ends     float64 // how much more water disperses at a face, as the ends have none [-]

	filled float64 // share of the next cell that has come in [-]
	inflow float64 // sum of share × temperature that came in [°C]
	since  float64 // until when inflow, or the loss of a still stream, is booked [s]
	due    float64 // when it shifts next, never if it is still [s]
	shifts int     // since its pipes were last looked after
}

// lookEvery is after how many shifts the pipes of a stream are looked after:
// their loss follows their temperature, and cells that have settled are left alone.
const lookEvery = 6

// still tells whether every cell of the stream is settled and what comes in is
// what they settled at.
func (s *stream) still() bool { return s.due == never }

// source is the pipe that feeds a stream, −1 for the heater.
func (w *pipework) source(s *stream) int { return w.feed[s.pipes[0]] }

// supply is the temperature of the water that pipe i takes in [°C].
func (w *pipework) supply(i int) float64 { return w.outlet(w.feed[i]) }

// start lets the water of a stream begin to move.
func (w *pipework) start(s *stream) {
	s.duration = s.cell / s.flow
	s.since = w.now
	length := 0.0 // in cells; a front crosses a face less
	for _, i := range s.pipes {
		length += w.pipes[i].worth()
	}
	s.ends = length / max(length-1, 1)
	for _, i := range s.pipes {
		p := &w.pipes[i]
		// Exchange at each shift stands for half a shift's time before it and half
		// after, so the rest is drawn out by half a shift.
		w.relax(i, w.now+s.duration/2)
		p.move(s.flow, w.now)
		p.alone = s.cell < p.cellVolume
		w.renew(i, s)
	}
	w.promise(s)
	w.await(s)
}

// end stops the water of a stream where it is.
func (w *pipework) end(s *stream) {
	in := 0.0
	if s.filled > 0 {
		in = s.inflow / s.filled
	}
	for k, i := range s.pipes {
		if k > 0 {
			in = w.supply(i)
		}
		w.pipes[i].end(s.filled, in, w.now)
	}
}

// renew takes over the flow and the surroundings of pipe i as they are now, at
// which none of it has settled yet.
func (w *pipework) renew(i int, s *stream) {
	p := &w.pipes[i]
	s.paced = s.flow
	if s.flow != w.flow { // mostly one flow goes all the way from the heater to a tap
		w.flow, w.place = s.flow, placeOf(s.flow)
	}
	p.step.ambient = w.ambientAt(p.zone, w.now)
	p.step.carry(p.conduit, s.duration, w.place, p.alone)
	p.excess = p.outside(p.step.ambient)
	p.step.lose(p.conduit, p.excess)
	p.settled = 0
}

// weatherIn takes over the surroundings of a stream as they are now.
func (w *pipework) weatherIn(s *stream) {
	still := s.still()
	for _, i := range s.pipes {
		w.renew(i, s)
	}
	if still { // it most likely is so again, a trifle warmer or cooler
		for _, i := range s.pipes {
			p := &w.pipes[i]
			p.steady = w.supply(i)
			p.settle()
			p.promise(p.steady)
		}
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
	if s.still() {
		for _, i := range s.pipes {
			p := &w.pipes[i]
			p.lost += w.volume * p.flow * dt * (w.supply(i) - p.out)
		}
		return
	}
	part := dt / s.duration
	s.filled += part
	s.inflow += part * w.outlet(w.source(s))
}

// await works out when a stream will next have a cell's worth of new water. A
// stream that has come to a steady state needs no shifts, once it has done the
// one that it has begun.
func (w *pipework) await(s *stream) {
	s.due = s.since + (1-s.filled)*s.duration
	if s.filled*s.duration > instant {
		return
	}
	for _, i := range s.pipes {
		if p := &w.pipes[i]; p.settled < p.cells || math.Abs(w.supply(i)-p.steady) > sameInflow {
			return
		}
	}
	s.due = never
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
	for n, i := range s.pipes {
		if n > 0 {
			in = w.pipes[w.feed[i]].gave
		}
		w.pipes[i].shift(in)
	}
	w.disperse(s)
	for _, i := range s.pipes {
		w.pipes[i].mix()
	}
	if s.shifts++; s.shifts >= lookEvery {
		s.shifts = 0
		for _, i := range s.pipes {
			w.pipes[i].follow()
		}
	}
	w.promise(s)
	w.await(s)
	for j := k + 1; j < len(w.streams); j++ {
		if o := &w.streams[j]; o.still() && w.feeds(k, o) {
			w.await(o) // what comes now may not be what it settled at
		}
	}
}

// promise works out what every pipe of a stream gives until the next shift.
func (w *pipework) promise(s *stream) {
	for _, i := range s.pipes {
		w.pipes[i].promise(w.supply(i))
	}
}
