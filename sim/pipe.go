package sim

import "math"

// settledWithin is how near [K] a cell must be to the temperatures it would
// keep for ever before it is set to them and left alone.
const settledWithin = 0.02

// never is a time later than any [s].
var never = math.Inf(1)

// sameInflow is the change of the inflow that is rounding and no change [K].
const sameInflow = 1e-9

// pipe is the state of one pipe: the temperatures of its cells, and how far
// the water has moved into the next.
//
// Water moves by whole cells, so that a front stays as sharp as it is. A cell
// that is filling at the inlet is as much as has left the last cell at the
// outlet:
//
//	inlet → [filling | 0 | 1 | … | n−1 | draining] → outlet
type pipe struct {
	*conduit
	temp [maxNodes][]float64 // by node, then by cell from the inlet [°C]
	flow float64             // [m³/s]; 0 at rest
	step step                // what a shift does, at this flow

	filled float64 // share of the inlet cell that has come in [-]
	inflow float64 // sum of share × temperature that came in [°C]

	// The first settled cells have the temperatures that they keep under
	// inflow at steady, and need no work until either changes.
	settled int
	steady  float64 // [°C]

	began  float64 // when the flow began [s]
	since  float64 // until when inflow and loss of the flowing pipe are booked [s]
	due    float64 // when it shifts next, never if it is still [s]
	excess float64 // of the outermost node over its surroundings, for which step holds [K]
	clock  float64 // until when water and wall have exchanged heat [s]
	lost   float64 // heat lost to the surroundings since it was last read [J]

	scratch []float64
}

func newPipe(c *conduit, temperature float64) pipe {
	p := pipe{conduit: c, scratch: make([]float64, c.cells)}
	for j := range c.nodes {
		p.temp[j] = make([]float64, c.cells)
		for i := range p.temp[j] {
			p.temp[j][i] = temperature
		}
	}
	return p
}

// outlet is the temperature of the water that leaves, or would [°C].
func (p *pipe) outlet() float64 { return p.temp[0][p.cells-1] }

// tip is the temperature right at the outlet of a pipe at rest, half a cell
// beyond the middle of the last cell [°C].
func (p *pipe) tip(ambient float64) float64 {
	n, water := p.cells, p.temp[0]
	if n == 1 {
		return water[0]
	}
	tip := water[n-1] + (water[n-1]-water[n-2])/2
	return max(tip, min(ambient, water[n-1]))
}

// stored is the heat in water and wall above 0 °C [J]. The pipe must be at rest.
func (p *pipe) stored() float64 {
	heat := 0.0
	for j := range p.nodes {
		heat += p.capacity[j] * p.cellLength * sum(p.temp[j])
	}
	return heat
}

// still tells whether every cell is settled and the inflow is what they settled at.
func (p *pipe) still() bool { return p.due == never }

// end stops the flow. Water that stands between two cells is shared out between
// them: T'_i = T_i + φ (F_i − F_{i+1}), where φ is how far it has moved on and F
// the temperature of the water that crossed a face. Within a cell temperature is
// taken to rise in a straight line, which keeps a front that spans a few cells
// from spreading at every stop.
// Source: B. van Leer, Towards the ultimate conservative difference scheme II,
// J. Comput. Phys. 14 (1974) 361, for the slope (from memory).
func (p *pipe) end(now float64) {
	if p.filled != 0 {
		water, entering := p.temp[0], p.inflow/p.filled
		before := entering // temperature of the cell upstream as it was
		for i, t := range water {
			leaving := t
			if i < p.cells-1 {
				leaving += (1 - p.filled) / 2 * slope(t-before, water[i+1]-t)
			}
			water[i] += p.filled * (entering - leaving)
			before, entering = t, leaving
		}
	}
	p.filled, p.inflow = 0, 0
	p.flow, p.settled = 0, 0
	p.clock = max(p.clock, now)
}

// slope is the harmonic mean of the steps to a cell and from it, or none at a peak.
func slope(to, from float64) float64 {
	if to*from <= 0 {
		return 0
	}
	return 2 * to * from / (to + from)
}

// shift moves all water on by one cell, lets in a cell of water at in [°C],
// and lets water and wall exchange heat for as long as that took.
func (p *pipe) shift(in, now float64) {
	if math.Abs(in-p.steady) > sameInflow {
		p.settled, p.steady = 0, in
	}
	k := p.settled
	entering := in
	if k > 0 {
		// What came into the settled cells and did not leave them was lost.
		entering = p.temp[0][k-1]
		p.lost += p.capacity[0] * p.cellLength * (in - entering)
	}
	water := p.temp[0][k:]
	if len(water) == 0 {
		return
	}
	copy(water[1:], water)
	water[0] = entering
	disperse(water, p.step.dispersion(now-p.began, p.mixing), p.scratch)
	p.lost += p.exchange(k)
	p.settle()
}

// settle extends the run of settled cells as far as it reaches.
func (p *pipe) settle() {
	s := &p.step
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
			p.lost -= p.capacity[j] * p.cellLength * (rest - p.temp[j][i])
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
	m := p.rest(p.outside(ambient), rest)
	before, after := 0.0, 0.0
	for i := range p.cells {
		var x [maxNodes]float64
		for j := range p.nodes {
			x[j] = p.temp[j][i] - ambient
			before += p.capacity[j] * x[j]
		}
		for j := range p.nodes {
			y := 0.0
			for l := range p.nodes {
				y += m[j][l] * x[l]
			}
			after += p.capacity[j] * y
			p.temp[j][i] = ambient + y
		}
	}
	p.lost += (before - after) * p.cellLength
}

// outside is the excess of the outermost node over surroundings at ambient, where
// the heat is: weighted by itself, so that a pipe that is hot for half its length
// loses as hot pipe does [K].
func (p *pipe) outside(ambient float64) float64 {
	first, second := 0.0, 0.0
	for _, t := range p.temp[p.nodes-1] {
		first += math.Abs(t - ambient)
		second += (t - ambient) * (t - ambient)
	}
	if first == 0 {
		return leastExcess
	}
	return second / first
}

func sum(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}
