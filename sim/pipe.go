package sim

import "math"

// settledWithin is how near [K] a cell must be to the temperatures it would
// keep for ever before it is set to them and left alone.
const settledWithin = 0.05

// never is a time later than any [s].
var never = math.Inf(1)

// sameInflow is the change of the inflow that is rounding and no change [K].
const sameInflow = 1e-9

// pipe is the state of one pipe: the temperatures of its cells, from the inlet,
// and what it gives to the next.
//
// Water moves by whole cells, so that a front stays as sharp as it is. The last
// cell is a part of one, so what leaves in a shift is that part and the rest from
// the cell before, of which a part stays behind:
//
//	gives = part · T[n−1] + (1 − part) · (T[n−2] + part · slope / 2)
//	T'[n−1] = T[n−2] − (1 − part) · slope / 2
//
// What a pipe gives until the next shift is thus known when the shift is done.
type pipe struct {
	*conduit
	temp  [maxNodes][]float64 // by node, then by cell from the inlet [°C]
	flow  float64             // [m³/s]; 0 at rest
	alone bool                // a stub that is a stream of its own
	step  step                // what a shift does, at this flow
	out   float64             // temperature of the water that leaves until the next shift [°C]
	left  float64             // and of what that shift leaves in the last cell if it is a part of one [°C]
	gave  float64             // and that left until the last [°C]

	// The first settled cells have the temperatures that they keep under
	// inflow at steady, and need no work until either changes.
	settled int
	steady  float64 // [°C]

	unmixed float64 // share of radial mixing still to come since the flow began [-]
	excess  float64 // of the outermost node over its surroundings, for which step holds [K]
	clock   float64 // until when water and wall have exchanged heat [s]
	lost    float64 // heat lost to the surroundings since it was last read [J]
	stopped float64 // when it last came to rest [s]
	stood   float64 // its longest rest so far [s]
}

// move lets it flow from now on.
func (p *pipe) move(flow, now float64) {
	if p.flow == 0 {
		p.stood = max(p.stood, now-p.stopped)
	}
	p.flow = flow
}

// halt lets it rest from now on.
func (p *pipe) halt(now float64) { p.flow, p.unmixed, p.stopped = 0, 1, now }

// longest is its longest rest up to now [s].
func (p *pipe) longest(now float64) float64 {
	if p.flow > 0 {
		return p.stood
	}
	return max(p.stood, now-p.stopped)
}

func newPipe(c *conduit, temperature float64) pipe {
	p := pipe{conduit: c, unmixed: 1}
	for j := range c.nodes {
		p.temp[j] = make([]float64, c.cells)
		for i := range p.temp[j] {
			p.temp[j][i] = temperature
		}
	}
	return p
}

// standing is the temperature of the water at the outlet of a pipe at rest: of
// one cell, or of as much as a stub holds [°C].
func (p *pipe) standing() float64 {
	out, _ := p.parted()
	return out
}

// parted is the temperature of the cell of water that leaves next, or of as much
// as a stub holds, and of what a shift would leave in the last cell [°C].
func (p *pipe) parted() (out, left float64) {
	n, water := p.cells, p.temp[0]
	if n == 1 || p.part == 1 {
		return water[n-1], water[n-1]
	}
	t, rise := water[n-2], 0.0
	if n > 2 {
		rise = slope(t-water[n-3], (water[n-1]-t)*2/(1+p.part)) / 2
	}
	return p.part*water[n-1] + (1-p.part)*(t+p.part*rise), t - (1-p.part)*rise
}

// promise works out what the pipe gives until the next shift, with water at in
// [°C] to follow.
func (p *pipe) promise(in float64) {
	p.out, p.left = p.parted()
	if p.stub() && !p.alone { // the rest of a cell passes it by
		p.out = p.part*p.out + (1-p.part)*in
	}
}

// tip is the temperature right at the outlet of a pipe at rest, beyond the middle
// of the last cell [°C].
func (p *pipe) tip(ambient float64) float64 {
	n, water := p.cells, p.temp[0]
	if n == 1 {
		return water[0]
	}
	tip := water[n-1] + (water[n-1]-water[n-2])*p.part/(1+p.part)
	return max(tip, min(ambient, water[n-1]))
}

// stored is the heat in water and wall above 0 °C [J]. The pipe must be at rest.
func (p *pipe) stored() float64 {
	heat := 0.0
	for j := range p.nodes {
		t := p.temp[j]
		heat += p.capacity[j] * p.cellLength * (sum(t) - (1-p.part)*t[p.cells-1])
	}
	return heat
}

// end stops the flow when a share filled of a shift has passed, with water at in
// [°C] let in. Water that stands between two cells is shared out between them:
// T'_i = T_i + φ (F_i − F_{i+1}), where φ is how far it has moved on and F the
// temperature of the water that crossed a face. Within a cell temperature is
// taken to rise in a straight line, which keeps a front that spans a few cells
// from spreading at every stop.
// Source: B. van Leer, Towards the ultimate conservative difference scheme II,
// J. Comput. Phys. 14 (1974) 361, for the slope (from memory).
func (p *pipe) end(filled, in, now float64) {
	p.settled = 0
	p.clock = max(p.clock, now)
	if filled == 0 {
		return
	}
	water := p.temp[0]
	if p.stub() {
		water[0] += filled * (in - water[0])
		return
	}
	before, entering := in, in // upstream of the cell as it was, and across its face
	for i := range p.whole {
		t := water[i]
		leaving := t
		if i < p.whole-1 {
			leaving += (1 - filled) / 2 * slope(t-before, water[i+1]-t)
		}
		water[i] += filled * (entering - leaving)
		before, entering = t, leaving
	}
	if p.part < 1 {
		water[p.cells-1] += filled * (p.left - water[p.cells-1])
	}
}

// slope is the harmonic mean of the steps to a cell and from it, or none at a peak.
func slope(to, from float64) float64 {
	if to*from <= 0 {
		return 0
	}
	return 2 * to * from / (to + from)
}

// shift moves all water on by one cell and lets in water at in [°C].
func (p *pipe) shift(in float64) {
	if math.Abs(in-p.steady) > sameInflow {
		p.settled, p.steady = 0, in
	}
	p.gave = p.out
	k := p.settled
	entering := in
	switch {
	case k == p.cells:
		// What came in and did not leave was lost.
		moved := p.capacity[0] * p.cellLength
		if p.alone {
			moved *= p.part
		}
		p.lost += moved * (in - p.out)
		return
	case k > 0:
		entering = p.temp[0][k-1]
		p.lost += p.capacity[0] * p.cellLength * (in - entering)
	}
	water := p.temp[0][k:]
	copy(water[1:], water)
	water[0] = entering
	if p.part < 1 && !p.stub() {
		water[len(water)-1] = p.left
	}
}

// mix lets water and wall exchange heat for as long as a shift took.
func (p *pipe) mix() {
	k := p.settled
	if k == p.cells {
		return
	}
	over := 0.0
	if p.part < 1 { // the kernels count the last cell as a whole one
		last, s := p.cells-1, &p.step
		for j := range p.nodes {
			over += s.lost[j] * (p.temp[j][last] - s.ambient)
		}
	}
	p.lost += p.exchange(k) - (1-p.part)*over
}

// dispersion is the dispersion number of this shift.
func (p *pipe) dispersion() float64 {
	s := &p.step
	if s.late == s.early {
		return s.late
	}
	p.unmixed *= s.fade
	return s.late + (s.early-s.late)*p.unmixed
}

// follow takes over the loss at the temperature that the pipe has come to, closely
// once it has settled, and looks for cells that have.
func (p *pipe) follow() {
	p.adopt(0.1*p.excess + 0.5)
	p.settle()
	if p.settled == p.cells && p.adopt(0.01*p.excess+0.05) {
		p.settle()
	}
}

// adopt takes over the loss at the pipe's own temperature if that is off by more
// than a slack [K], and tells whether it was.
func (p *pipe) adopt(slack float64) bool {
	e := p.outside(p.step.ambient)
	if math.Abs(e-p.excess) <= slack {
		return false
	}
	p.excess = e
	p.step.lose(p.conduit, e)
	p.settled = 0
	return true
}

// settle extends the run of settled cells as far as it reaches.
func (p *pipe) settle() {
	s := &p.step
	if !s.solved {
		s.settle(p.nodes)
	}
	for ; p.settled < p.cells; p.settled++ {
		i, t := p.settled, p.steady
		if i > 0 {
			t = p.temp[0][i-1]
		}
		for j := range p.nodes {
			if math.Abs(s.follow[j]*t+s.still[j]-p.temp[j][i]) > settledWithin {
				return
			}
		}
		for j := range p.nodes {
			rest := s.follow[j]*t + s.still[j]
			p.lost -= p.capacity[j] * p.cellLength * p.size(i) * (rest - p.temp[j][i])
			p.temp[j][i] = rest
		}
	}
}

// relax lets a pipe at rest cool, or warm, until a time [s] in surroundings at
// ambient [°C]: one matrix for the whole rest, the same for every cell.
func (p *pipe) relax(until, ambient float64) {
	rest := until - p.clock
	if rest <= 0 {
		return
	}
	p.clock = until
	m := p.rest(p.lasting(ambient), rest)
	before, after := 0.0, 0.0
	for i := range p.cells {
		size := p.size(i)
		var x [maxNodes]float64
		for j := range p.nodes {
			x[j] = p.temp[j][i] - ambient
			before += size * p.capacity[j] * x[j]
		}
		for j := range p.nodes {
			y := 0.0
			for l := range p.nodes {
				y += m[j][l] * x[l]
			}
			after += size * p.capacity[j] * y
			p.temp[j][i] = ambient + y
		}
	}
	p.lost += (before - after) * p.cellLength
}

// lasting is what outside will be once water and wall have evened out: the excess
// that belongs to the slowest of the settling modes [K].
func (p *pipe) lasting(ambient float64) float64 {
	var e excess
	to := p.settling.right[p.nodes-1][0]
	for i := range p.cells {
		x := 0.0
		for j := range p.nodes {
			x += p.settling.left[0][j] * (p.temp[j][i] - ambient)
		}
		e.add(x * to)
	}
	return e.mean()
}

// outside is the excess of the outermost node over surroundings at ambient [K].
func (p *pipe) outside(ambient float64) float64 {
	var e excess
	for _, t := range p.temp[p.nodes-1] {
		e.add(t - ambient)
	}
	return e.mean()
}

// excess is the mean of the cells' excess over the surroundings where the heat is:
// weighted by itself, so that a pipe that is hot for half its length loses as hot
// pipe does.
type excess struct{ first, second float64 }

func (e *excess) add(x float64) {
	e.first += math.Abs(x)
	e.second += x * x
}

func (e *excess) mean() float64 {
	if e.first == 0 {
		return leastExcess
	}
	return e.second / e.first
}

func sum(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}
