package sim

import (
	"fmt"
	"math"

	"pipelag/network/heat"
)

// The year that is simulated: 365 days, without a leap day or a change of clocks.
const (
	Day         = 86400.0 // [s]
	DaysPerYear = 365
	yearEnd     = Day * DaysPerYear
)

var monthDays = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// Grid is the length of the cells that pipes are cut into [m]. Cells are never
// longer, and a pipe has at least one.
type Grid float64

// DefaultGrid keeps every annual total within 1 % of a grid ten times finer;
// a test holds it to that.
const DefaultGrid Grid = 0.3

// model is how finely and how fully pipes are simulated.
type model struct {
	grid         Grid
	noDispersion bool // fronts are spread by the wall alone
	noLoss       bool // pipes lose nothing to their surroundings
}

// plant is one layout of a house made ready to simulate. It does not change
// and is shared by all replicates.
type plant struct {
	house  *House
	layout *Layout
	water  heat.Water
	volume float64 // heat capacity of water by volume [J/(m³ K)]

	conduits []*conduit
	feed     []int   // by pipe: the pipe that feeds it, −1 for the heater
	children [][]int // by pipe: the pipes it feeds
	paths    [][]int // by fixture: the pipes from the heater to it
	loop     []int   // the pipes the pump moves water through; nil without one

	mains    []float64   // by day [°C]
	ambient  [][]float64 // by zone, then by hour [°C]
	tankZone int
}

func newPlant(h *House, l *Layout, m model) (*plant, error) {
	if !(m.grid > 0) || math.IsInf(float64(m.grid), 0) {
		return nil, fmt.Errorf("the grid is %g m; it must be a positive length", float64(m.grid))
	}
	p := &plant{house: h, layout: l}
	zones := make(map[string]int, len(h.Climate.Zones))
	mean := make([]float64, len(h.Climate.Zones))
	for i, z := range h.Climate.Zones {
		zones[z.Name] = i
		hours := make([]float64, DaysPerYear*24)
		for k := range hours {
			hours[k] = z.Temperature.At((float64(k) + 0.5) * 3600)
		}
		p.ambient = append(p.ambient, hours)
		mean[i] = sum(hours) / float64(len(hours))
	}
	for d := range DaysPerYear {
		p.mains = append(p.mains, h.Climate.Mains.At((float64(d)+0.5)*Day))
	}
	var ok bool
	if p.tankZone, ok = zones[h.Heater.Zone]; !ok {
		return nil, fmt.Errorf("the heater stands in zone %q, which the climate does not have", h.Heater.Zone)
	}

	// Water has one density and heat capacity throughout, those midway between
	// the set point and the rooms: they vary by 1.5 % from 10 to 60 °C.
	var err error
	if p.water, err = heat.WaterAt((h.Heater.Setpoint + mean[p.tankZone]) / 2); err != nil {
		return nil, fmt.Errorf("water between the set point and the air at the heater: %w", err)
	}
	p.volume = p.water.Density * p.water.SpecificHeat

	n := l.Network
	p.children = make([][]int, len(n.Pipes))
	for i, pipe := range n.Pipes {
		zone, ok := zones[pipe.Zone]
		if !ok {
			return nil, fmt.Errorf("pipe from %s to %s lies in zone %q, which the climate does not have", pipe.From, pipe.To, pipe.Zone)
		}
		c, err := newConduit(pipe, p.water, zone, mean[zone], m)
		if err != nil {
			return nil, err
		}
		p.conduits = append(p.conduits, c)
		p.feed = append(p.feed, pipe.Feed)
		if pipe.Feed >= 0 {
			p.children[pipe.Feed] = append(p.children[pipe.Feed], i)
		}
	}
	for i := range n.Taps {
		p.paths = append(p.paths, n.Path(i))
	}
	if l.Pump != nil {
		if len(n.Return) == 0 {
			return nil, fmt.Errorf("layout %q has a pump but no return line", n.Name)
		}
		p.loop = n.Loop()
	}
	return p, nil
}

func (p *plant) ambientAt(zone int, t float64) float64 {
	return p.ambient[zone][min(max(int(t/3600), 0), DaysPerYear*24-1)]
}

func (p *plant) mainsAt(t float64) float64 {
	return p.mains[min(max(int(t/Day), 0), DaysPerYear-1)]
}
