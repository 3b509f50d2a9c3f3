package pipework

import (
	"math"
	"slices"
)

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
	w.streams, w.before = w.before[:0], w.streams
	for i := range w.of {
		w.of[i] = -1
	}
	w.runs = w.runs[:0]
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
	for _, r := range w.runs {
		w.streams = append(w.streams, w.stream(r.first, r.last))
	}
	// Streams that go on as they were do so; the others stop, and those that are
	// new start once all old ones have stopped.
	for _, old := range w.before {
		if k := w.of[old.sections[0].pipe]; k < 0 || w.streams[k] != old {
			w.end(old)
		}
	}
	for k, s := range w.streams {
		if !s.flows {
			w.start(s, w.runs[k].flow)
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
	for _, s := range w.streams {
		if flow := math.Abs(w.Wanted[s.sections[0].pipe]); flow != s.flow {
			w.speed(s, flow)
		}
		if s.still() {
			w.await(s) // what comes now may not be what it settled at
		}
	}
}

// run is pipes one behind the other that are to carry one flow.
type run struct {
	first, last int
	flow        float64 // [m³/s]
}

// join adds pipe i, the next outwards of those that flow, to the run that feeds it or
// to a new one.
func (w *System) join(i int, flow float64) {
	if f := w.feed[i]; f >= 0 && w.pipes[f].cellVolume == w.pipes[i].cellVolume {
		if r := &w.runs[w.of[f]]; flow == r.flow {
			r.last, w.of[i] = i, w.of[f]
			return
		}
	}
	w.of[i] = len(w.runs)
	w.runs = append(w.runs, run{i, i, flow})
}

// stream is that from one pipe to another. It is laid out once and kept.
func (w *System) stream(first, last int) *stream {
	for _, s := range w.laidOut[last] {
		if s.sections[0].pipe == first {
			return s
		}
	}
	s := &stream{sections: []section{{pipe: last}}}
	for i := last; i != first; {
		i = w.feed[i]
		s.sections = append(s.sections, section{pipe: i})
	}
	slices.Reverse(s.sections)
	w.fit(s)
	w.laidOut[last] = append(w.laidOut[last], s)
	return s
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
