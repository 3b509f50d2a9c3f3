package sim

import (
	"fmt"
	"math"

	"pipelag/network"
	"pipelag/network/heat"
)

// conduit is the physics of one pipe, worked out once and shared by every
// replicate: how it is cut into cells, what a cell does while water moves
// (by flow) and what it does at rest.
type conduit struct {
	nodes      int
	capacity   [maxNodes]float64 // of water and wall nodes [J/(m K)]
	cells      int
	cellVolume float64 // [m³]
	cellLength float64 // [m]
	zone       int     // index into the climate's zones

	rungs  []rung
	mixing float64 // time in which laminar dispersion builds up [s]

	settling modes // how water and wall even out at rest
	cooling  cooling
	outer    []float64 // gₒ by excess temperature, on the steps of cooling [W/(m K)]
}

// rung is a pipe's behaviour at one flow of the ladder: exchange between water
// and wall while one cell passes, and axial dispersion.
type rung struct {
	exchange matrix  // without loss, so each row sums to one
	early    float64 // K as the flow begins [m²/s]
	late     float64 // K once radial mixing is complete [m²/s]
}

// The ladder of flows: 4 % apart, so that interpolating between two rungs
// errs by less than 0.04²/8 = 0.02 %.
const (
	leastFlow = 2e-6 // [m³/s], 0.12 L/min
	flowStep  = 0.04 // in ln(flow)
	flowRungs = 180  // to 2.7 L/s
)

// The rest that fixes the shape of the settling modes is that of a pipe this
// far above its surroundings [K]; the shape hardly depends on it.
const typicalExcess = 25

// negligible stands for no loss at all, where a rate must not be zero [W/(m K)].
const negligible = 1e-12

// newConduit cuts a pipe into equal cells no longer than the grid.
func newConduit(p network.Pipe, w heat.Water, zone int, ambient float64, m model) (*conduit, error) {
	line, err := p.Line()
	if err != nil {
		return nil, fmt.Errorf("pipe from %s to %s: %w", p.From, p.To, err)
	}
	walls := line.WallCapacity()
	c := &conduit{
		nodes:  1 + len(walls),
		cells:  int(math.Ceil(p.Length / float64(m.grid) * (1 - 1e-9))),
		zone:   zone,
		mixing: line.MixingTime(w),
	}
	c.capacity[0] = line.WaterCapacity(w)
	copy(c.capacity[1:], walls)
	c.cellVolume = p.Volume() / float64(c.cells)
	c.cellLength = p.Length / float64(c.cells)

	flowing := coupling{nodes: c.nodes, capacity: c.capacity}
	copy(flowing.between[1:], line.Between())
	c.rungs = make([]rung, flowRungs)
	for i := range c.rungs {
		flow := leastFlow * math.Exp(float64(i)*flowStep)
		flowing.between[0] = line.Inner(w, flow)
		g := flowing.generator()
		c.rungs[i] = rung{
			exchange: exponential(&g, c.nodes, c.cellVolume/flow),
		}
		if !m.noDispersion {
			c.rungs[i].early = line.Dispersion(w, flow, 0)
			c.rungs[i].late = line.Dispersion(w, flow, math.Inf(1))
		}
	}

	outer := func(excess float64) float64 {
		if m.noLoss {
			return negligible
		}
		return line.Outer(excess, ambient)
	}
	still := flowing
	still.between[0] = line.Inner(w, 0)
	c.outer = make([]float64, coolingSteps+1)
	for i := range c.outer {
		c.outer[i] = outer(leastExcess * math.Exp(float64(i)*excessStep))
	}
	still.outer = outer(typicalExcess)
	c.settling = still.modes()
	c.cooling = newCooling(func(excess float64) float64 {
		still.outer = outer(excess)
		return max(still.modes().rate[0], negligible)
	})
	return c, nil
}

// loss is gₒ at an excess of the outermost node over its surroundings.
func (c *conduit) loss(excess float64) float64 {
	x := math.Log(math.Abs(excess)/leastExcess) / excessStep
	switch {
	case !(x > 0):
		return c.outer[0]
	case x >= coolingSteps:
		return c.outer[coolingSteps]
	}
	i := int(x)
	return c.outer[i] + (x-float64(i))*(c.outer[i+1]-c.outer[i])
}

// rest is the matrix of a rest [s] of a pipe that is excess [K] above its
// surroundings. The settling modes are those of the typical excess; the slow
// mode follows the cooling curve instead of its own rate.
func (c *conduit) rest(excess, duration float64) matrix {
	var decay [maxNodes]float64
	decay[0] = c.cooling.remaining(excess, duration)
	for k := 1; k < c.nodes; k++ {
		decay[k] = math.Exp(-c.settling.rate[k] * duration)
	}
	var m matrix
	for i := range c.nodes {
		for k := range c.nodes {
			r := c.settling.right[i][k] * decay[k]
			for j := range c.nodes {
				m[i][j] += r * c.settling.left[k][j]
			}
		}
	}
	return m
}
