// Package pipework carries water and heat through the pipes of one layout: fronts that
// move, spread and warm the walls they pass, and pipes that cool at rest.
//
// A Plan is the pipes cut into cells, a System is a Plan with water in it. A System
// has no clock of its own and knows neither taps nor heater nor pump: its owner says
// what time it is, what flows and how warm the water is that comes in.
//
// Not modelled: water hammer, leaks and buoyancy inside pipes.
package pipework

import (
	"fmt"
	"math"
	"slices"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/schedules"

	"gonum.org/v1/gonum/stat"
)

// Plan is the pipes of one layout cut into cells. It does not change and is shared by
// all that put water into it.
type Plan struct {
	volume   float64 // heat capacity of water by volume [J/(m³ K)]
	conduits []*conduit
	feed     []int       // by pipe: the pipe that feeds it, or one that fromHeater stands for
	heaters  int         // that feed them
	coldLine []int       // a cold line's pipes from the crossover to the heater; nil without one
	air      [][]float64 // by zone, then by hour [°C]
}

// Zone is the air that pipes lie in.
type Zone struct {
	Name string
	Air  []float64 // by hour of the year [°C]
}

// Model is how finely and how fully pipes are simulated.
type Model struct {
	Grid         Grid // 0 for DefaultGrid
	NoDispersion bool // fronts are spread by the wall alone
	NoLoss       bool // pipes lose nothing to their surroundings
}

// NewPlan cuts the pipes of a network, whose loop is pumped in some way, into cells.
func NewPlan(n *network.Network, l Loop, w heat.Water, zones []Zone, m Model) (*Plan, error) {
	if m.Grid == 0 {
		m.Grid = DefaultGrid(n)
	}
	if !(m.Grid > 0) || math.IsInf(float64(m.Grid), 0) {
		return nil, fmt.Errorf("the grid is %g m; it must be a positive length", float64(m.Grid))
	}
	p := &Plan{volume: w.Density * w.SpecificHeat, heaters: n.Heaters()}
	for _, z := range zones {
		p.air = append(p.air, z.Air)
	}
	var loop []int
	if l != Unpumped {
		loop = n.Loop()
	}
	if l == CrossingOver {
		p.coldLine = n.Return
	}
	cell := float64(m.Grid) * meanSection(n)
	inLoop := l.cell(n, cell)
	made := fabrics{}
	for i, pipe := range n.Pipes {
		zone := slices.IndexFunc(zones, func(z Zone) bool { return z.Name == pipe.Zone })
		if zone < 0 {
			return nil, fmt.Errorf("pipe from %s to %s lies in zone %q, which the climate does not have", pipe.From, pipe.To, pipe.Zone)
		}
		volume := cell
		switch {
		case l == Unpumped:
		case !slices.Contains(loop, i):
			volume /= branchesFiner
		default:
			volume = inLoop
		}
		holds := pipe.Volume()
		if slices.Contains(p.coldLine, i) {
			// Water in it goes either way, and what crossed is not to mix with what
			// did not in a cell that the crossover lies in. So it is a stream of its
			// own, into which water flows but does not disperse.
			volume, holds = wholeCells(volume, holds)
		}
		fabric, err := made.of(pipe, w, stat.Mean(zones[zone].Air, nil), volume, m)
		if err != nil {
			return nil, err
		}
		begin := 0.0
		if f := pipe.Feed; f >= 0 && p.conduits[f].cellVolume == volume {
			begin = p.conduits[f].next()
		}
		p.conduits = append(p.conduits, newConduit(fabric, begin, holds, zone))
		feed := pipe.Feed
		if feed < 0 {
			feed = fromHeater(pipe.Heater)
		}
		p.feed = append(p.feed, feed)
	}
	return p, nil
}

// fromHeater stands for the pipe that feeds those right at a heater; it is its own inverse.
func fromHeater(h int) int { return -1 - h }

// Zone is the index of the zone that pipe i lies in.
func (p *Plan) Zone(i int) int { return p.conduits[i].zone }

// Holds is the water in pipe i [m³].
func (p *Plan) Holds(i int) float64 { return p.conduits[i].worth * p.conduits[i].cellVolume }

// Air is the temperature of the air in a zone at a time of the year [°C].
func (p *Plan) Air(zone int, t float64) float64 {
	return p.air[zone][min(max(int(t/hour), 0), schedules.DaysPerYear*24-1)]
}

// Middles are the distances of the cells of a row of pipes from its beginning [m].
func (p *Plan) Middles(row []int) []float64 {
	var all []float64
	x := 0.0
	for _, i := range row {
		c := p.conduits[i]
		for k := range c.cells {
			size := c.size(k) * c.cellLength
			all = append(all, x+size/2)
			x += size
		}
	}
	return all
}

const hour = 3600.0 // [s]
