package sim

import "math"

// settledWithin is how near [K] a cell must be to the temperatures it would
// keep for ever before it is set to them and left alone.
const settledWithin = 0.05

// follow takes over the loss at the temperatures that the pipes of a stream have come
// to, closely where they have settled, and looks for cells that have.
func (w *pipework) follow(s *stream) {
	if s.settled == len(s.water) {
		return
	}
	if w.adopt(s, s.settled, len(s.water), 0.1, 0.5) {
		w.unsettle(s)
	}
	before := s.settled
	w.settle(s)
	if w.adopt(s, before, s.settled, 0.01, 0.05) {
		w.unsettle(s)
		w.settle(s)
	}
}

// adopt takes over the loss of pipes at their own temperature if that is off by more
// than a share of their excess and some more [K]; it tells whether any was. It looks
// at pipes that end in the cells from first up to, but not including, end.
func (w *pipework) adopt(s *stream, first, end int, share, slack float64) bool {
	changed := false
	for _, part := range s.sections {
		p := &w.pipes[part.pipe]
		if last := part.first + p.cells - 1; last < first || last >= end {
			continue
		}
		e := p.outside(p.step.ambient)
		if math.Abs(e-p.excess) > share*p.excess+slack {
			p.excess = e
			p.step.lose(p.conduit, e)
			changed = true
		}
	}
	return changed
}

// unsettle looks upon no cell of a stream as settled any more.
func (w *pipework) unsettle(s *stream) {
	if s.settled == 0 {
		return
	}
	s.settled = 0
	for _, part := range s.sections {
		w.pipes[part.pipe].calm = 0
	}
}

// settle extends the run of settled cells of a stream as far as it reaches, and works
// out anew what leaves.
func (w *pipework) settle(s *stream) {
	k, last := 0, len(s.water)-1
	for ; s.settled < last; s.settled++ {
		k = w.sectionAt(s, k)
		if !w.settleCell(s, k) {
			break
		}
	}
	s.promise()
	if s.settled == last && w.settleCell(s, w.sectionAt(s, k)) {
		s.settled++
	}
}

// sectionAt is the first section from k on that reaches to the first cell which has
// not settled.
func (w *pipework) sectionAt(s *stream, k int) int {
	for s.sections[k].first+w.pipes[s.sections[k].pipe].cells <= s.settled {
		k++
	}
	return k
}

// settleCell sets the first cell of a stream that has not settled, and the walls there
// of sections from k on, to the temperatures that they keep for ever, if they have them
// all but.
func (w *pipework) settleCell(s *stream, k int) bool {
	c := s.settled
	through := s.comes(c, s.steady) // in the last cell a part of it does not stay
	in := through
	if c == len(s.water)-1 {
		in = s.stays(s.steady)
	}
	rest := 0.0
	here := s.sections[k:]
	for n, part := range here {
		if part.first > c {
			here = here[:n]
			break
		}
		p := &w.pipes[part.pipe]
		if !p.step.solved {
			p.step.solve(p.nodes)
		}
		i := c - part.first
		for j := 1; j < p.nodes; j++ {
			if math.Abs(p.step.rest(j, in)-p.temp[j][i]) > settledWithin {
				return false
			}
		}
		rest += part.holds(p, i) * p.step.rest(0, in)
	}
	if math.Abs(rest-s.water[c]) > settledWithin {
		return false
	}
	lost := 0.0
	for _, part := range here {
		p := &w.pipes[part.pipe]
		i := c - part.first
		content := p.cellLength * p.size(i)
		p.lost -= p.capacity[0] * content * (rest - s.water[c])
		for j := 1; j < p.nodes; j++ {
			t := p.step.rest(j, in)
			p.lost -= p.capacity[j] * content * (t - p.temp[j][i])
			p.temp[j][i] = t
		}
		calm := p.capacity[0] * content * (through - p.step.rest(0, through))
		p.calm += calm
		lost += calm
	}
	s.water[c] = rest
	if c == len(s.water)-1 {
		s.out = through - lost/(w.volume*s.cell)
	}
	return true
}
