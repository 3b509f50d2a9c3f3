package sim

import (
	"errors"
	"fmt"
	"slices"

	"pipelag/network/heat"
	"pipelag/schedules"
	"pipelag/sim/pipework"

	"gonum.org/v1/gonum/stat"
)

// Day and year as they are simulated [s].
const (
	Day     = 86400.0
	yearEnd = Day * schedules.DaysPerYear
)

// plant is one layout of a house made ready to simulate. It does not change
// and is shared by all replicates.
type plant struct {
	house  *House
	layout *Layout
	water  heat.Water
	volume float64 // heat capacity of water by volume [J/(m³ K)]

	pipes    *pipework.Plan
	paths    [][]int // by fixture: the pipes from the heater to it
	loop     []int   // the pipes the pump moves water through; nil without one
	coldLine []int   // of those, a cold line's from the crossover to the heater; nil without one
	coldTaps []int   // by fixture: behind how many of them it takes its cold water

	pressure *pressure // nil where nothing is limited by it

	mains    []float64 // by day [°C]
	heaters  int       // alike, all in one zone
	serves   []int     // by fixture: the heater its hot water comes from
	tankZone int
	intake   int     // zone whose air a heat pump draws on
	legs     [][]int // by fixture: the pipes that lead to it alone and are in no loop that is pumped
}

func newPlant(h *House, l *Layout, m pipework.Model) (*plant, error) {
	p := &plant{house: h, layout: l, heaters: l.Network.Heaters()}
	zones := make([]pipework.Zone, len(h.Climate.Zones))
	for i, z := range h.Climate.Zones {
		air := make([]float64, schedules.DaysPerYear*24)
		for k := range air {
			air[k] = z.Temperature.At((float64(k) + 0.5) * hour)
		}
		zones[i] = pipework.Zone{Name: z.Name, Air: air}
	}
	zone := func(name string) int {
		return slices.IndexFunc(zones, func(z pipework.Zone) bool { return z.Name == name })
	}
	for d := range schedules.DaysPerYear {
		p.mains = append(p.mains, h.Climate.Mains.At((float64(d)+0.5)*Day))
	}
	if p.tankZone = zone(h.Heater.Zone); p.tankZone < 0 {
		return nil, fmt.Errorf("the heater stands in zone %q, which the climate does not have", h.Heater.Zone)
	}
	p.intake = p.tankZone
	if z := h.Heater.Intake; z != "" {
		if p.intake = zone(z); p.intake < 0 {
			return nil, fmt.Errorf("the heater draws air from zone %q, which the climate does not have", z)
		}
	}

	// Water has one density and heat capacity throughout, those midway between
	// the set point and the rooms: they vary by 1.5 % from 10 to 60 °C.
	var err error
	if p.water, err = heat.WaterAt((h.Heater.Setpoint + stat.Mean(zones[p.tankZone].Air, nil)) / 2); err != nil {
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
		if err := l.Pump.check(); err != nil {
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
	if p.pipes, err = pipework.NewPlan(n, l.loop(), p.water, zones, m); err != nil {
		return nil, err
	}
	for i := range n.Taps {
		p.paths = append(p.paths, n.Path(i))
		p.serves = append(p.serves, n.Pipes[n.Taps[i]].Heater)
	}
	p.legs = p.ownPipes()
	if p.pressure, err = newPressure(h, l); err != nil {
		return nil, err
	}
	return p, nil
}

// ownPipes are, by fixture, the pipes that no other fixture and no pump shares.
func (p *plant) ownPipes() [][]int {
	users := p.layout.Network.Users()
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

// filled is the pipes with water in them at the temperature of their surroundings, as a
// year begins.
func (p *plant) filled() *pipework.System {
	return pipework.NewSystem(p.pipes, p.house.Heater.Setpoint, p.mainsAt(0))
}

func (p *plant) mainsAt(t float64) float64 {
	return p.mains[min(max(int(t/Day), 0), schedules.DaysPerYear-1)]
}
