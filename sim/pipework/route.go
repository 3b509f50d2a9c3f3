package pipework

import "math"

// Route makes the pipes carry the wanted flows from now on.
func (w *System) Route() {
	w.turnAround()
	w.route()
}

func (w *System) route() {
	w.updateAll()
	if !w.routed() {
		w.reroute()
	}
	w.pace()
}

// reroute makes the streams those of the wanted flows.
func (w *System) reroute() {
	before := w.streams
	w.streams, w.spare = w.spare[:0], before
	for i := range w.of {
		w.of[i] = -1
	}
	for i, flow := range w.Wanted {
		if flow > 0 {
			w.join(i, flow)
		}
	}
	for k := len(w.coldLine) - 1; k >= 0; k-- {
		if i := w.coldLine[k]; w.Wanted[i] < 0 {
			w.join(i, -w.Wanted[i])
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
func (w *System) routed() bool {
	for i, flow := range w.Wanted {
		k := w.of[i]
		if (flow != 0) != (k >= 0) {
			return false
		}
		if k >= 0 && flow != w.Wanted[w.streams[k].sections[0].pipe] {
			return false
		}
	}
	return true
}

// pace makes the streams, which are those of the wanted flows, as fast as these.
func (w *System) pace() {
	for k := range w.streams {
		s := &w.streams[k]
		if flow := math.Abs(w.Wanted[s.sections[0].pipe]); flow != s.flow {
			w.speed(s, flow)
		}
		if s.still() {
			w.await(s) // what comes now may not be what it settled at
		}
	}
}

// join adds pipe i, the next outwards of those that flow, to the stream that
// feeds it or to a new one.
func (w *System) join(i int, flow float64) {
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
func (w *System) speed(s *stream, flow float64) {
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
