package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"pipelag/network/heat"
	"pipelag/schedules"
	"pipelag/sim/control"
)

// Day and year as they are simulated [s].
const (
	Day     = 86400.0
	yearEnd = Day * schedules.DaysPerYear
)

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
	coldLine []int   // of those, a cold line's from the crossover to the heater; nil without one
	coldTaps []int   // by fixture: behind how many of them it takes its cold water

	pressure *pressure // nil where nothing is limited by it

	mains    []float64   // by day [°C]
	ambient  [][]float64 // by zone, then by hour [°C]
	tankZone int
	intake   int     // zone whose air a heat pump draws on
	legs     [][]int // by fixture: the pipes that lead to it alone and are in no loop that is pumped
}

func newPlant(h *House, l *Layout, m model) (*plant, error) {
	if m.grid == 0 {
		m.grid = DefaultGrid(l.Network)
	}
	if !(m.grid > 0) || math.IsInf(float64(m.grid), 0) {
		return nil, fmt.Errorf("the grid is %g m; it must be a positive length", float64(m.grid))
	}
	p := &plant{house: h, layout: l}
	zones := make(map[string]int, len(h.Climate.Zones))
	mean := make([]float64, len(h.Climate.Zones))
	for i, z := range h.Climate.Zones {
		zones[z.Name] = i
		hours := make([]float64, schedules.DaysPerYear*24)
		for k := range hours {
			hours[k] = z.Temperature.At((float64(k) + 0.5) * 3600)
		}
		p.ambient = append(p.ambient, hours)
		mean[i] = sum(hours) / float64(len(hours))
	}
	for d := range schedules.DaysPerYear {
		p.mains = append(p.mains, h.Climate.Mains.At((float64(d)+0.5)*Day))
	}
	var ok bool
	if p.tankZone, ok = zones[h.Heater.Zone]; !ok {
		return nil, fmt.Errorf("the heater stands in zone %q, which the climate does not have", h.Heater.Zone)
	}
	p.intake = p.tankZone
	if z := h.Heater.Intake; z != "" {
		if p.intake, ok = zones[z]; !ok {
			return nil, fmt.Errorf("the heater draws air from zone %q, which the climate does not have", z)
		}
	}

	// Water has one density and heat capacity throughout, those midway between
	// the set point and the rooms: they vary by 1.5 % from 10 to 60 °C.
	var err error
	if p.water, err = heat.WaterAt((h.Heater.Setpoint + mean[p.tankZone]) / 2); err != nil {
		return nil, fmt.Errorf("water between the set point and the air at the heater: %w", err)
	}
	p.volume = p.water.Density * p.water.SpecificHeat

	if h.Heater.Kind == nil {
		return nil, errors.New("the house has no heater")
	}
	if _, err := h.Heater.Kind.New(p.volume); err != nil {
		return nil, err
	}
	n := l.Network
	if l.Pump != nil {
		if l.Pump.Rule == nil {
			return nil, errors.New("the pump has no control")
		}
		if _, err := control.New(l.Pump.Rule); err != nil {
			return nil, err
		}
		if len(n.Return) == 0 {
			return nil, fmt.Errorf("layout %q has a pump but no return line", n.Name)
		}
		p.loop = n.Loop()
		if err := p.crossOver(n, l.Pump); err != nil {
			return nil, err
		}
	}
	cell := float64(m.grid) * meanSection(n)
	inLoop := p.loopCell(cell)
	made := fabrics{}
	p.children = make([][]int, len(n.Pipes))
	for i, pipe := range n.Pipes {
		zone, ok := zones[pipe.Zone]
		if !ok {
			return nil, fmt.Errorf("pipe from %s to %s lies in zone %q, which the climate does not have", pipe.From, pipe.To, pipe.Zone)
		}
		volume := cell
		switch {
		case len(p.loop) == 0:
		case !slices.Contains(p.loop, i):
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
		fabric, err := made.of(pipe, p.water, mean[zone], volume, m)
		if err != nil {
			return nil, err
		}
		begin := 0.0
		if f := pipe.Feed; f >= 0 && p.conduits[f].cellVolume == volume {
			begin = p.conduits[f].next()
		}
		p.conduits = append(p.conduits, newConduit(fabric, begin, holds, zone))
		p.feed = append(p.feed, pipe.Feed)
		if pipe.Feed >= 0 {
			p.children[pipe.Feed] = append(p.children[pipe.Feed], i)
		}
	}
	for i := range n.Taps {
		p.paths = append(p.paths, n.Path(i))
	}
	p.legs = p.ownPipes()
	var failure error
	if p.pressure, failure = newPressure(h, l); failure != nil {
		return nil, failure
	}
	return p, nil
}

// loopCell is the volume of the cells of a loop, where others have one [m³]. Where water
// flows on from its far end, a cell ends right there: what is sensed would else be
// half a cell away from the sensor, the one way or the other.
func (p *plant) loopCell(others float64) float64 {
	pump := p.layout.Pump
	switch {
	case len(p.loop) == 0:
		return others
	case p.coldLine != nil:
		return others / crossoverFiner
	case pump.staysHot():
		others *= loopCoarser
	case pump.Motion != nil:
		others /= motionFiner
	default:
		others /= calledFiner
	}
	n := p.layout.Network
	supply := 0.0
	for _, i := range p.loop[:len(p.loop)-len(n.Return)] {
		supply += n.Pipes[i].Volume()
	}
	cell, _ := wholeCells(others, supply)
	return cell
}

// ownPipes are, by fixture, the pipes that no other fixture and no pump shares.
func (p *plant) ownPipes() [][]int {
	users := users(p.layout.Network)
	for _, i := range p.loop {
		users[i]++
	}
	legs := make([][]int, len(p.paths))
	for f, path := range p.paths {
		for _, i := range path {
			if users[i] == 1 {
				legs[f] = append(legs[f], i)
			}
		}
	}
	return legs
}

// alikeAir is how far the air of a zone may go from what it was when a rest began
// before the rest goes on as another [K].
const alikeAir = 1

// letRest lets pipes of one fabric and zone that rest since one time cool, or warm,
// until a time [s] in the air of their zone: in one step for as long as that is alike.
func (p *plant) letRest(pipes []*pipe, until float64) {
	for first := pipes[0]; first.clock < until; {
		end := p.alikeUntil(first.zone, first.clock, until)
		relax(pipes, end, p.ambientAt(first.zone, (first.clock+end)/2))
	}
}

// alikeUntil is until when, but not beyond a time, the air of a zone stays as it is.
func (p *plant) alikeUntil(zone int, from, until float64) float64 {
	air := p.ambientAt(zone, from)
	for t := (math.Floor(from/hour) + 1) * hour; t < until; t += hour {
		if math.Abs(p.ambientAt(zone, t)-air) > alikeAir {
			return t
		}
	}
	return until
}

func (p *plant) ambientAt(zone int, t float64) float64 {
	return p.ambient[zone][min(max(int(t/3600), 0), schedules.DaysPerYear*24-1)]
}

func (p *plant) mainsAt(t float64) float64 {
	return p.mains[min(max(int(t/Day), 0), schedules.DaysPerYear-1)]
}
