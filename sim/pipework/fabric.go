package pipework

import (
	"fmt"
	"math"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
)

// fabric is the physics of a kind of pipe, cut into cells of one volume: what a
// cell does while water moves (by flow) and what it does at rest.
type fabric struct {
	nodes      int
	capacity   [maxNodes]float64 // of water and wall nodes [J/(m K)]
	cellVolume float64           // of a whole cell [m³]
	cellLength float64           // [m]

	rungs  [flowRungs]rung
	mixing float64 // time in which laminar dispersion builds up [s]

	settling modes // how water and wall even out at rest
	cooling  cooling
	outer    []float64 // gₒ by the root of the excess temperature, in steps of rootStep [W/(m K)]
	typical  float64   // that at the typical excess [W/(m K)]
}

// rung is a pipe's behaviour at one flow of the ladder: exchange between water
// and wall while one cell passes, and axial dispersion.
type rung struct {
	exchange matrix            // without loss, so each row sums to one
	loss     matrix            // what the typical loss changes of it
	pull     [maxNodes]float64 // what that adds for each kelvin of the surroundings [-]
	leak     [maxNodes]float64 // and takes from a metre for each of a node [J/(m K)]
	cools    float64           // −ln of what that leaves of the excess of a cell that is of one temperature [-]
	early    float64           // K as the flow begins [m²/s]
	late     float64           // K once radial mixing is complete [m²/s]
	own      float64           // dispersion number of the scheme itself [-]
}

// lose works out what loss by a conductance to the surroundings [W/(m K)] changes of the
// exchange of c, which has none, in a time [s].
func (r *rung) lose(c *coupling, outer, dt float64) {
	lossy := *c
	lossy.outer = outer
	g := lossy.generator()
	r.loss = exponential(&g, c.nodes, dt)
	for i := range c.nodes {
		for j := range c.nodes {
			r.loss[i][j] -= r.exchange[i][j]
			r.pull[i] -= r.loss[i][j]
			r.leak[j] -= c.capacity[i] * r.loss[i][j]
		}
	}
	r.cools = -math.Log1p(-sum(r.leak[:]) / sum(c.capacity[:c.nodes]))
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
// far above its surroundings [K]; the shape hardly depends on it. What loss changes of
// an exchange is known for it, too.
const typicalExcess = 25

// negligible stands for no loss at all, where a rate must not be zero [W/(m K)].
const negligible = 1e-12

// fabrics are those of a layout, by what makes them differ: its pipes share a few.
type fabrics map[kindOfPipe]*fabric

type kindOfPipe struct {
	tube     tubes.Tube
	sleeve   tubes.Sleeve
	bare     float64
	burial   heat.Burial
	vertical bool
	ambient  float64 // mean of the surroundings [°C]
	cell     float64 // [m³]
}

// of finds the fabric of a pipe, and works it out the first time.
func (all fabrics) of(p network.Pipe, w heat.Water, ambient, cell float64, m Model) (*fabric, error) {
	key := kindOfPipe{p.Tube, p.Sleeve, p.BareShare, p.Burial, p.Vertical(), ambient, cell}
	if f, ok := all[key]; ok {
		return f, nil
	}
	f, err := newFabric(p, w, ambient, cell, m)
	if err != nil {
		return nil, fmt.Errorf("pipe from %s to %s: %w", p.From, p.To, err)
	}
	all[key] = f
	return f, nil
}

// newFabric works out cells of a volume [m³] of a pipe in surroundings of ambient [°C].
func newFabric(p network.Pipe, w heat.Water, ambient, cell float64, m Model) (*fabric, error) {
	line, err := p.Line()
	if err != nil {
		return nil, err
	}
	walls := line.WallCapacity()
	f := &fabric{
		nodes:      1 + len(walls),
		cellVolume: cell,
		cellLength: cell / p.Tube.Volume(),
		mixing:     line.MixingTime(w),
	}
	f.capacity[0] = line.WaterCapacity(w)
	copy(f.capacity[1:], walls)

	outer := func(excess float64) float64 {
		if m.NoLoss {
			return negligible
		}
		return line.Outer(excess, ambient)
	}
	f.typical = outer(typicalExcess)
	flowing := coupling{nodes: f.nodes, capacity: f.capacity}
	copy(flowing.between[1:], line.Between())
	for i := range f.rungs {
		flow := leastFlow * math.Exp(float64(i)*flowStep)
		flowing.between[0] = line.Inner(w, flow)
		g := flowing.generator()
		r := &f.rungs[i]
		r.exchange = exponential(&g, f.nodes, cell/flow)
		r.own = flowing.spreading(&r.exchange, &g, cell/flow)
		r.lose(&flowing, f.typical, cell/flow)
		if !m.NoDispersion {
			r.early = line.Dispersion(w, flow, 0)
			r.late = line.Dispersion(w, flow, math.Inf(1))
		}
	}

	still := flowing
	still.between[0] = line.Inner(w, 0)
	for i := range lossSteps + 1 {
		root := float64(i) * rootStep
		f.outer = append(f.outer, outer(max(root*root, leastExcess)))
	}
	still.outer = f.typical
	f.settling = still.modes()
	f.cooling = newCooling(func(excess float64) float64 {
		still.outer = outer(excess)
		return max(still.modes().rate[0], negligible)
	})
	return f, nil
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
func (f *fabric) loss(excess float64) float64 {
	x := math.Sqrt(math.Abs(excess)) / rootStep
	i := min(int(x), lossSteps-1)
	return f.outer[i] + min(x-float64(i), 1)*(f.outer[i+1]-f.outer[i])
}

// evened is how many times the time of a mode it takes until nothing is left of it
// that a float64 could show.
const evened = 40

// rest is what a rest [s] does to a pipe that is excess [K] above surroundings at
// ambient [°C]. The settling modes are those of the typical excess; the slow mode
// follows the cooling curve instead of its own rate.
func (f *fabric) rest(excess, duration, ambient float64) transfer {
	x := transfer{ambient: ambient}
	n := f.nodes
	for k := range n {
		left := 0.0
		if k == 0 {
			left = f.cooling.remaining(excess, duration)
		} else if times := f.settling.rate[k] * duration; times < evened {
			left = decay(times)
		} else {
			break // and so are the faster ones
		}
		part := &f.settling.part[k]
		for i := range n {
			for j := range n {
				x.m[i][j] += left * part[i][j]
			}
		}
	}
	for j := range n {
		kept := 0.0
		for i := range n {
			kept += f.capacity[i] * x.m[i][j]
		}
		x.lost[j] = (f.capacity[j] - kept) * f.cellLength
	}
	x.level(n)
	return x
}
