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
	whole      int     // how many of them are whole: all, or all but the last
	part       float64 // of a whole cell that the last one is [-]
	cellVolume float64 // of a whole cell [m³]
	cellLength float64 // [m]
	zone       int     // index into the climate's zones

	rungs  []rung  // of a cell
	alone  []rung  // of what a stub holds
	mixing float64 // time in which laminar dispersion builds up [s]

	settling modes // how water and wall even out at rest
	cooling  cooling
	outer    []float64 // gₒ by the root of the excess temperature, in steps of rootStep [W/(m K)]
}

// rung is a pipe's behaviour at one flow of the ladder: exchange between water
// and wall while one cell passes, and axial dispersion.
type rung struct {
	exchange matrix  // without loss, so each row sums to one
	early    float64 // K as the flow begins [m²/s]
	late     float64 // K once radial mixing is complete [m²/s]
	own      float64 // dispersion number of the scheme itself [-]
}

// The ladder of flows: 4 % apart, so that interpolating between two rungs
// errs by less than 0.04²/8 = 0.02 %.
const (
	leastFlow = 2e-6 // [m³/s], 0.12 L/min
	flowStep  = 0.04 // in ln(flow)
	flowRungs = 180  // to 2.7 L/s
)

// The loss is tabulated by the root of the excess, in which it is nearly straight.
const (
	rootStep  = 0.25 // [K^½]
	lossSteps = 50   // to 156 K
)

// The rest that fixes the shape of the settling modes is that of a pipe this
// far above its surroundings [K]; the shape hardly depends on it.
const typicalExcess = 25

// negligible stands for no loss at all, where a rate must not be zero [W/(m K)].
const negligible = 1e-12

// leastPart is the least part of a cell that a pipe is taken to hold [-]: water
// would pass a shorter one in more shifts than anyone could wait for.
const leastPart = 0.05

// cut divides a pipe that holds a volume [m³] into cells.
func (c *conduit) cut(volume float64) {
	share := max(volume/c.cellVolume, leastPart)
	c.cells = int(math.Ceil(share * (1 - 1e-9)))
	c.whole, c.part = c.cells-1, share-float64(c.cells-1)
	if c.part > 1-1e-6 {
		c.whole, c.part = c.cells, 1
	}
}

// stub tells whether a pipe holds less than a cell.
func (c *conduit) stub() bool { return c.whole == 0 }

// length is that of the pipe [m].
func (c *conduit) length() float64 { return (float64(c.cells-1) + c.part) * c.cellLength }

// newConduit cuts a pipe into cells of a volume [m³]; the last is what is left.
func newConduit(p network.Pipe, w heat.Water, zone int, ambient, cell float64, m model) (*conduit, error) {
	line, err := p.Line()
	if err != nil {
		return nil, fmt.Errorf("pipe from %s to %s: %w", p.From, p.To, err)
	}
	walls := line.WallCapacity()
	c := &conduit{
		nodes:      1 + len(walls),
		cellVolume: cell,
		cellLength: cell / p.Volume() * p.Length,
		zone:       zone,
		mixing:     line.MixingTime(w),
	}
	c.cut(p.Volume())
	c.capacity[0] = line.WaterCapacity(w)
	copy(c.capacity[1:], walls)

	flowing := coupling{nodes: c.nodes, capacity: c.capacity}
	copy(flowing.between[1:], line.Between())
	ladder := func(volume float64) []rung {
		rungs := make([]rung, flowRungs)
		for i := range rungs {
			flow := leastFlow * math.Exp(float64(i)*flowStep)
			flowing.between[0] = line.Inner(w, flow)
			g := flowing.generator()
			r := &rungs[i]
			r.exchange = exponential(&g, c.nodes, volume/flow)
			r.own = flowing.spreading(&r.exchange, &g, volume/flow)
			if !m.noDispersion {
				r.early = line.Dispersion(w, flow, 0)
				r.late = line.Dispersion(w, flow, math.Inf(1))
			}
		}
		return rungs
	}
	c.rungs = ladder(c.cellVolume)
	if c.stub() {
		c.alone = ladder(c.part * c.cellVolume)
	}

	outer := func(excess float64) float64 {
		if m.noLoss {
			return negligible
		}
		return line.Outer(excess, ambient)
	}
	still := flowing
	still.between[0] = line.Inner(w, 0)
	c.outer = make([]float64, lossSteps+1)
	for i := range c.outer {
		root := float64(i) * rootStep
		c.outer[i] = outer(max(root*root, leastExcess))
	}
	still.outer = outer(typicalExcess)
	c.settling = still.modes()
	c.cooling = newCooling(func(excess float64) float64 {
		still.outer = outer(excess)
		return max(still.modes().rate[0], negligible)
	})
	return c, nil
}

// place is where a flow lies on the ladder: a share of the way from one rung to
// the next. Beyond the ends of the ladder the last rung holds.
type place struct {
	rung  int
	share float64
}

func placeOf(flow float64) place {
	x := math.Log(flow/leastFlow) / flowStep
	i := min(max(int(x), 0), flowRungs-2)
	return place{i, min(max(x-float64(i), 0), 1)}
}

// loss is gₒ at an excess of the outermost node over its surroundings.
func (c *conduit) loss(excess float64) float64 {
	x := math.Sqrt(math.Abs(excess)) / rootStep
	i := min(int(x), lossSteps-1)
	return c.outer[i] + min(x-float64(i), 1)*(c.outer[i+1]-c.outer[i])
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
