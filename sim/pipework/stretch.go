package pipework

// section is where the water of a pipe is in its stream.
type section struct {
	pipe    int
	first   int // its first cell in the row
	stretch int // that it is part of
	// Of its first cell, as far as the sections so far fill it, this is in it [-].
	water float64 // of what the row has there
	wall  float64 // of what the stretch has
}

// stretch is a run of sections of one fabric in one zone. They act on the water as one
// pipe does; what they lose is booked to the first of them. Its first cell may be one
// with the last of the stretch before, whose wall exchanges heat with the water in it
// too.
type stretch struct {
	column
	pipe       int     // its first
	first      int     // its first cell in the row
	head, tail float64 // share of the water in its first and its last cell that is in it [-]
	step       step    // what a shift does, at this flow
	excess     float64 // of the outermost node over its surroundings, for which step holds [K]
	number     float64 // dispersion number of a shift [-]
	calm       float64 // heat that the cells which have settled lose in a shift [J]
	unmixed    float64 // share of radial mixing still to come since the flow began [-]
}

// holds is the share of the water in its cell i that is in it [-].
func (st *stretch) holds(i int) float64 {
	switch i {
	case st.cells - 1:
		return st.tail
	case 0:
		return st.head
	}
	return 1
}

// dispersion is the dispersion number of this shift.
func (st *stretch) dispersion() float64 {
	x := &st.step
	if x.late == x.early {
		return x.late
	}
	st.unmixed *= x.fade
	return x.late + (x.early-x.late)*st.unmixed
}

// fit lays the sections of a stream out along one row of cells. What a shift moves
// is a whole cell, or as much as the stream holds where that is less.
func (w *System) fit(s *stream) {
	begin, held, cells := w.pipes[s.sections[0].pipe].begin, 0.0, 0
	for k := range s.sections {
		part := &s.sections[k]
		p := &w.pipes[part.pipe]
		if k > 0 && p.begin > 0 {
			cells--
		}
		part.first = cells
		cells += p.cells
		held += p.worth
		st := s.lengthen(part, p)
		part.water, part.wall = p.share(0), p.share(0)
		if part.first == 0 {
			part.water = p.share(begin)
		}
		if part.first == st.first {
			part.wall = p.share(st.begin)
		}
	}
	head, tail := 1-begin, s.stretches[len(s.stretches)-1].end
	s.share = 1
	switch {
	case cells == 1:
		head, tail, s.share = held, held, held
	case cells == 2 && held < 1:
		s.share = max(head, tail)
	}
	s.head, s.tail = head/s.share, tail/s.share
	s.cell = s.share * s.stretches[0].cellVolume
	s.ends = held / max(held-1, 1) // a front crosses a face less than there are cells
	s.water, s.number = make([]float64, cells), make([]float64, cells)
	holds := func(c int) float64 {
		switch c {
		case 0:
			return head
		case cells - 1:
			return tail
		}
		return 1
	}
	for k := range s.stretches {
		st := &s.stretches[k]
		st.head = st.size(0) / holds(st.first)
		st.tail = st.size(st.cells-1) / holds(st.first+st.cells-1)
		st.temp[0] = s.water[st.first:][:st.cells]
		for j := 1; j < st.nodes; j++ {
			st.temp[j] = make([]float64, st.cells)
		}
	}
}

// lengthen adds a section to the last stretch of a stream, or to a new one.
func (s *stream) lengthen(part *section, p *pipe) *stretch {
	n := len(s.stretches)
	part.stretch = n - 1
	if n > 0 {
		if st := &s.stretches[n-1]; st.fabric == p.fabric && st.zone == p.zone {
			st.extend(&p.conduit)
			return st
		}
	}
	part.stretch = n
	s.stretches = append(s.stretches, stretch{column: column{conduit: p.conduit}, pipe: part.pipe, first: part.first})
	return &s.stretches[n]
}

// gather takes the temperatures of a stream over from its pipes.
func (w *System) gather(s *stream) {
	for k := range s.stretches {
		s.stretches[k].unmixed = 0
	}
	for k := range s.sections {
		part := &s.sections[k]
		p, st := &w.pipes[part.pipe], &s.stretches[part.stretch]
		st.unmixed += p.unmixed * p.worth / st.worth
		add(s.water[part.first:], p.temp[0], part.water)
		for j := 1; j < p.nodes; j++ {
			add(st.temp[j][part.first-st.first:], p.temp[j], part.wall)
		}
	}
}

// add puts the temperatures of a pipe in a row, of whose first cell it has a share.
func add(row, temp []float64, share float64) {
	before := row[0]
	copy(row, temp)
	if share < 1 {
		row[0] = before + share*(temp[0]-before)
	}
}

// scatter gives them back.
func (w *System) scatter(s *stream) {
	for k := range s.sections {
		part := &s.sections[k]
		p, st := &w.pipes[part.pipe], &s.stretches[part.stretch]
		copy(p.temp[0], s.water[part.first:])
		for j := 1; j < p.nodes; j++ {
			copy(p.temp[j], st.temp[j][part.first-st.first:])
		}
		p.unmixed = st.unmixed
	}
	w.credit(s)
}

// credit books what the stretches of a stream have lost to their pipes.
func (w *System) credit(s *stream) {
	for k := range s.stretches {
		st := &s.stretches[k]
		w.pipes[st.pipe].lost += st.lost
		st.lost = 0
	}
}

// exchange lets water and walls exchange heat for as long as a shift takes. In a
// cell with walls of several stretches each acts on its share of the water, which is
// mixed again afterwards.
func (s *stream) exchange() {
	joined := false           // the first cell of a stretch is one with the last of that before,
	before, mixed := 0.0, 0.0 // which was this warm, and has this from the stretches so far
	for k := range s.stretches {
		st := &s.stretches[k]
		first, last := st.first, st.first+st.cells-1
		if last < s.settled {
			continue
		}
		if joined {
			s.water[first] = before
		}
		before = s.water[last]
		st.exchange(&st.step.transfer, max(s.settled-first, 0))
		joins := k+1 < len(s.stretches) && s.stretches[k+1].first == last
		if joins || joined {
			s.water[last] *= st.tail
			if joined {
				if first < last {
					s.water[first] *= st.head
				}
				s.water[first] += mixed
			}
		}
		mixed = s.water[last]
		joined = joins
	}
}
