package pipework

import "math"

// never is a time later than any [s].
var never = math.Inf(1)

// Instant is a time that is as good as none [s]; the clock of a year has a
// resolution of 4e-9 s by its end.
const Instant = 1e-6

// sameInflow is the change of the inflow that is rounding and no change [K].
const sameInflow = 1e-9

// pipe is the state of one pipe. While water flows in it, that of its column is with
// its stream.
type pipe struct {
	column
	flows   bool
	unmixed float64 // share of radial mixing still to come since the flow began [-]
	clock   float64 // until when water and wall have exchanged heat [s]
	stopped float64 // when it last came to rest [s]
	stood   float64 // its longest rest so far [s]
}

// move lets it flow from now on.
func (p *pipe) move(now float64) {
	if !p.flows {
		p.stood = max(p.stood, now-p.stopped)
	}
	p.flows = true
}

// halt lets it rest from now on.
func (p *pipe) halt(now float64) { p.flows, p.unmixed, p.stopped = false, 1, now }

// longest is its longest rest up to now [s].
func (p *pipe) longest(now float64) float64 {
	if p.flows {
		return p.stood
	}
	return max(p.stood, now-p.stopped)
}

func newPipe(c *conduit, temperature float64) pipe {
	p := pipe{column: column{conduit: *c}, unmixed: 1}
	for j := range c.nodes {
		p.temp[j] = make([]float64, c.cells)
		for i := range p.temp[j] {
			p.temp[j][i] = temperature
		}
	}
	return p
}

// standing is the temperature of the cell of water at the outlet of a pipe at rest, or
// of as much as the pipe holds [°C].
func (p *pipe) standing() float64 {
	n, water := p.cells, p.temp[0]
	if n == 1 || p.end == 1 {
		return water[n-1]
	}
	t, rise := water[n-2], 0.0
	if n > 2 {
		rise = slope(t-water[n-3], (water[n-1]-t)*2/(1+p.end)) / 2
	}
	return p.end*water[n-1] + (1-p.end)*(t+p.end*rise)
}

// tip is the temperature right at the outlet of a pipe at rest, beyond the middle
// of the last cell [°C].
func (p *pipe) tip(ambient float64) float64 {
	n, water := p.cells, p.temp[0]
	if n == 1 {
		return water[0]
	}
	tip := water[n-1] + (water[n-1]-water[n-2])*p.end/(1+p.end)
	return max(tip, min(ambient, water[n-1]))
}

// stored is the heat in water and wall above 0 °C [J]. The pipe must be at rest.
func (p *pipe) stored() float64 {
	heat := 0.0
	for j := range p.nodes {
		for i, t := range p.temp[j] {
			heat += p.capacity[j] * p.cellLength * p.size(i) * t
		}
	}
	return heat
}

// sum adds up a few numbers; a library's would have what they are part of on the heap.
func sum(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s
}
