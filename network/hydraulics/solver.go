package hydraulics

import (
	"fmt"
	"math"
)

// Solver finds the flows of one circuit. It keeps its working memory between
// calls and serves one goroutine.
type Solver struct {
	*Circuit
	flow     []float64 // by pipe [m³/s]
	pressure []float64 // at the end of each pipe [Pa]
	passes   []float64 // slope of a pipe's loss [Pa/(m³/s)]
	source   []float64 // Newton's step: flow into a pipe's end at no change of pressure upstream [m³/s]
	yields   []float64 // and how much less for each pascal lost upstream [m³/(s Pa)]
	change   []float64 // of pressure lost up to a pipe's end [Pa]
	step     []float64 // of flow by pipe [m³/s]
	active   []int     // pipes on the way to an open tap, from the heater outwards
	marked   []bool
	open     []outlet
}

// outlet is an open tap while its flow is sought.
type outlet struct {
	fixture int
	pipe    int
	limit   float64 // the flow wanted [m³/s]
	flow    float64
	needs   float64 // [Pa/(m³/s)²]
	lack    float64 // pressure needed less pressure there [Pa]
	step    float64 // of flow
	bound   bound
}

// bound is what holds an outlet's flow.
type bound uint8

const (
	none  bound = iota // the pressure: lack is 0
	above              // it has all that is wanted
	below              // it has nothing
)

const (
	balanced  = 1e-3 // lack taken for none [Pa]
	mostSteps = 500  // of 4000 houses drawn far beyond any real one none took more than 69
)

// NewSolver makes a solver of the circuit.
func (c *Circuit) NewSolver() *Solver {
	n := len(c.conduits)
	block := make([]float64, 7*n)
	part := func(i int) []float64 { return block[i*n : (i+1)*n : (i+1)*n] }
	return &Solver{
		Circuit: c,
		flow:    part(0), pressure: part(1), passes: part(2), source: part(3), yields: part(4), change: part(5), step: part(6),
		active: make([]int, 0, n), marked: make([]bool, n), open: make([]outlet, 0, len(c.needs)),
	}
}

// Flow finds what each fixture gets [m³/s] of what is wanted of it, with all of
// them open at once, while cold taps take cold [m³/s] before the heater.
//
//	0 ≤ q ≤ wanted,  needs q² = pressure at the tap, unless q = wanted
//
// The flows are the one minimum of the convex content function
//
//	E(q) = Σ ∫ loss dQ + Σ needs q³/3 + Σ ρ g z q − ∫ supply dQ
//
// (Cherry and Millar) in the box, since every loss rises with flow. A primal
// active-set Newton method finds it: each step solves the tree by elimination
// from the taps to the heater, and is shortened so that E falls. wanted and got
// are by fixture and may be one slice; nothing is allocated.
//
// Source: Cherry and Millar, Some general theorems for non-linear systems
// possessing resistance, Phil. Mag. 42, 1951; Nocedal and Wright, Numerical
// Optimization, 2006, section 16.5, for the active set; from memory.
func (s *Solver) Flow(wanted []float64, cold float64, got []float64) error {
	if len(wanted) != len(s.needs) || len(got) != len(s.needs) {
		return fmt.Errorf("%d flows wanted and %d to give for %d fixtures", len(wanted), len(got), len(s.needs))
	}
	if !finite(cold) {
		return fmt.Errorf("a cold flow of %g m³/s", cold)
	}
	for f, w := range wanted {
		if !finite(w) {
			return fmt.Errorf("fixture %d: a flow of %g m³/s is wanted", f, w)
		}
	}
	s.begin(wanted)
	s.balance(cold)
	steps := 0
	for ; s.release(); steps++ {
		for s.unbalanced() {
			if steps++; steps > mostSteps {
				return fmt.Errorf("no balance of flows after %d steps", steps)
			}
			s.direct(cold)
			s.advance(cold)
		}
		if steps > mostSteps {
			return fmt.Errorf("no balance of flows after %d steps", steps)
		}
	}
	clear(got)
	for i := range s.open {
		got[s.open[i].fixture] = s.open[i].flow
	}
	return nil
}

// PressureAt is the pressure at a fixture that was open in the last Flow [Pa].
func (s *Solver) PressureAt(fixture int) float64 { return s.pressure[s.network.Taps[fixture]] }

// PipeFlow is the flow through a pipe in the last Flow [m³/s].
func (s *Solver) PipeFlow(pipe int) float64 {
	if !s.marked[pipe] {
		return 0
	}
	return s.flow[pipe]
}

// begin opens the taps, each as far as is wanted.
func (s *Solver) begin(wanted []float64) {
	for _, i := range s.active {
		s.marked[i] = false
	}
	s.open, s.active = s.open[:0], s.active[:0]
	for f, w := range wanted {
		if w == 0 {
			continue
		}
		pipe := s.network.Taps[f]
		s.open = append(s.open, outlet{fixture: f, pipe: pipe, limit: w, flow: w, needs: s.needs[f], bound: above})
		for i := pipe; i >= 0 && !s.marked[i]; i = s.network.Pipes[i].Feed {
			s.marked[i] = true
		}
	}
	for i, m := range s.marked {
		if m {
			s.active = append(s.active, i)
		}
	}
}

// balance works out flows by pipe, pressures and what each outlet lacks.
func (s *Solver) balance(cold float64) {
	pipes := s.network.Pipes
	for _, i := range s.active {
		s.flow[i] = 0
	}
	for i := range s.open {
		s.flow[s.open[i].pipe] += s.open[i].flow
	}
	hot := 0.0
	for k := len(s.active) - 1; k >= 0; k-- {
		i := s.active[k]
		if f := pipes[i].Feed; f >= 0 {
			s.flow[f] += s.flow[i]
		} else {
			hot += s.flow[i]
		}
	}
	start, _ := s.supply.at(hot, cold)
	for _, i := range s.active {
		from := start
		if f := pipes[i].Feed; f >= 0 {
			from = s.pressure[f]
		}
		var loss float64
		loss, s.passes[i] = s.conduits[i].loss(s.flow[i])
		s.pressure[i] = from - loss - s.lift[i]
	}
	for i := range s.open {
		o := &s.open[i]
		o.lack = o.needs*o.flow*o.flow - s.pressure[o.pipe]
	}
}

// release frees the outlets that their bound holds against the pressure, and
// tells whether there are any.
func (s *Solver) release() bool {
	freed := false
	for i := range s.open {
		o := &s.open[i]
		if o.bound == above && o.lack > balanced || o.bound == below && o.lack < -balanced {
			o.bound = none
			freed = true
		}
	}
	return freed
}

// unbalanced tells whether a free outlet's flow is not what its pressure passes.
func (s *Solver) unbalanced() bool {
	for i := range s.open {
		if o := &s.open[i]; o.bound == none && math.Abs(o.lack) > balanced {
			return true
		}
	}
	return false
}

// direct finds Newton's step for the free outlets. With π the change of
// pressure lost on the way to a node, an outlet takes −(lack + π)/(2 needs q),
// and a pipe of slope R behind which the outlets take a − b π takes
// (a − b π)/(1 + b R) of what is lost before it.
func (s *Solver) direct(cold float64) {
	pipes := s.network.Pipes
	for _, i := range s.active {
		s.source[i], s.yields[i] = 0, 0
	}
	for i := range s.open {
		if o := &s.open[i]; o.bound == none {
			stiffness := o.stiffness()
			s.source[o.pipe] -= o.lack / stiffness
			s.yields[o.pipe] += 1 / stiffness
		}
	}
	var source, yields, hot float64
	for k := len(s.active) - 1; k >= 0; k-- {
		i := s.active[k]
		share := 1 / (1 + s.yields[i]*s.passes[i])
		a, b := s.source[i]*share, s.yields[i]*share
		if f := pipes[i].Feed; f >= 0 {
			s.source[f] += a
			s.yields[f] += b
		} else {
			source += a
			yields += b
			hot += s.flow[i]
		}
	}
	_, fall := s.supply.at(hot, cold)
	start := fall * source / (1 + fall*yields)
	for _, i := range s.active {
		lost := start
		if f := pipes[i].Feed; f >= 0 {
			lost = s.change[f]
		}
		s.step[i] = (s.source[i] - s.yields[i]*lost) / (1 + s.yields[i]*s.passes[i])
		s.change[i] = lost + s.passes[i]*s.step[i]
	}
	for i := range s.open {
		o := &s.open[i]
		o.step = 0
		if o.bound == none {
			o.step = -(o.lack + s.change[o.pipe]) / o.stiffness()
		}
	}
}

// stiffness is how fast an outlet's need rises with its flow: by the tangent, or
// where that is flatter by the chord to what it lacks, so that an outlet all but
// shut opens in one step instead of overshooting.
func (o *outlet) stiffness() float64 {
	return max(2*o.needs*o.flow, math.Sqrt(o.needs*math.Abs(o.lack)), 1e-12*o.needs*o.limit)
}

// advance goes along the step as far as the bounds allow and E falls, and
// holds the outlets that came to a bound.
func (s *Solver) advance(cold float64) {
	before := 0.0 // slope of E along the step, below 0
	share := 1.0
	for i := range s.open {
		o := &s.open[i]
		before += o.lack * o.step
		switch {
		case o.step > 0:
			share = min(share, (o.limit-o.flow)/o.step)
		case o.step < 0:
			share = min(share, -o.flow/o.step)
		}
	}
	share = max(share, 0)
	full := share
	low, at := 0.0, 0.0 // E falls at low; the flows are those at at
	high := share
	for {
		for i := range s.open {
			o := &s.open[i]
			o.flow = min(max(o.flow+(share-at)*o.step, 0), o.limit)
		}
		at = share
		s.balance(cold)
		slope := 0.0
		for i := range s.open {
			slope += s.open[i].lack * s.open[i].step
		}
		if slope <= -0.5*before || high-low <= 1e-12 {
			break // the slope is below 0, or no longer far above it
		}
		high = share
		share = (low + high) / 2
	}
	if share < full {
		return
	}
	for i := range s.open {
		o := &s.open[i]
		const close = 1e-12
		switch {
		case o.bound != none:
		case o.step > 0 && o.flow >= o.limit*(1-close):
			o.flow, o.bound = o.limit, above
		case o.step < 0 && o.flow <= o.limit*close:
			o.flow, o.bound = 0, below
		}
	}
	s.balance(cold)
}
