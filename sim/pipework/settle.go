package pipework

import "math"

// settledWithin is how near [K] a cell must be to the temperatures it would
// keep for ever before it is set to them and left alone.
const settledWithin = 0.05

// follow takes over the loss at the temperatures that a stream has come to, and looks for
// cells that have settled; volume is the heat capacity of water by volume [J/(m³ K)].
func (s *stream) follow(volume float64) {
	if s.settled == len(s.water) {
		return
	}
	if s.adopt(s.settled, len(s.water)) {
		s.unsettle()
	}
	before := s.settled
	s.settle(volume)
	if s.adopt(before, s.settled) {
		s.unsettle()
		s.settle(volume)
	}
}

// adopt takes over the loss of stretches at their own temperature if that is off by
// more than a hundredth of their excess and a little more, which is less than half of
// that in loss; it tells whether any was. It looks at stretches that end in the cells from
// first up to, but not including, end.
func (s *stream) adopt(first, end int) bool {
	changed := false
	for k := range s.stretches {
		st := &s.stretches[k]
		if last := st.first + st.cells - 1; last < first || last >= end {
			continue
		}
		e := st.outside(st.step.ambient)
		if math.Abs(e-st.excess) > 0.01*st.excess+0.05 {
			st.excess = e
			st.step.lose(st.fabric, e)
			changed = true
		}
	}
	return changed
}

// unsettle looks upon no cell of a stream as settled any more.
func (s *stream) unsettle() {
	if s.settled == 0 {
		return
	}
	s.settled = 0
	for k := range s.stretches {
		s.stretches[k].calm = 0
	}
}

// settle extends the run of settled cells of a stream as far as it reaches, and works
// out anew what leaves.
func (s *stream) settle(volume float64) {
	k, last := 0, len(s.water)-1
	for ; s.settled < last; s.settled++ {
		k = s.stretchAt(k)
		if !s.settleCell(k, volume) {
			break
		}
	}
	s.promise()
	if s.settled == last && s.settleCell(s.stretchAt(k), volume) {
		s.settled++
	}
}

// stretchAt is the first stretch from k on that reaches to the first cell which has
// not settled.
func (s *stream) stretchAt(k int) int {
	for s.stretches[k].first+s.stretches[k].cells <= s.settled {
		k++
	}
	return k
}

// settleCell sets the first cell of a stream that has not settled, and the walls there
// of stretches from k on, to the temperatures that they keep for ever, if they have
// them all but.
func (s *stream) settleCell(k int, volume float64) bool {
	c := s.settled
	through := s.comes(c, s.steady) // in the last cell a part of it does not stay
	in := through
	if c == len(s.water)-1 {
		in = s.stays(s.steady)
	}
	rest := 0.0
	end := k
	for ; end < len(s.stretches) && s.stretches[end].first <= c; end++ {
		st := &s.stretches[end]
		if !st.step.solved {
			st.step.solve(st.nodes)
		}
		i := c - st.first
		for j := 1; j < st.nodes; j++ {
			if math.Abs(st.step.rest(j, in)-st.temp[j][i]) > settledWithin {
				return false
			}
		}
		rest += st.holds(i) * st.step.rest(0, in)
	}
	if math.Abs(rest-s.water[c]) > settledWithin {
		return false
	}
	lost := 0.0
	for ; k < end; k++ {
		st := &s.stretches[k]
		i := c - st.first
		content := st.cellLength * st.size(i)
		st.lost -= st.capacity[0] * content * (rest - s.water[c])
		for j := 1; j < st.nodes; j++ {
			t := st.step.rest(j, in)
			st.lost -= st.capacity[j] * content * (t - st.temp[j][i])
			st.temp[j][i] = t
		}
		calm := st.capacity[0] * content * (through - st.step.rest(0, through))
		st.calm += calm
		lost += calm
	}
	s.water[c] = rest
	if c == len(s.water)-1 {
		s.out = through - lost/(volume*s.cell)
	}
	return true
}
