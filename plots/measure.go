package plots

import (
	"strings"

	"pipelag/sim"
	"pipelag/units"
)

// measure is how a quantity of a result is shown.
type measure struct {
	sim.Quantity
	name  string
	unit  string
	shown func(si float64) float64
}

// measures are the quantities that figures show, by name and dimension.
var measures = map[sim.Quantity]struct {
	name string
	of   units.Dimension
}{
	sim.Purged:      {"Water purged", units.Volume},
	sim.LeftRunning: {"Left running", units.Volume},
	sim.Used:        {"Water used", units.Volume},
	sim.Wait:        {"Waiting", units.Duration},
	sim.PipeLoss:    {"Pipe heat loss", units.Energy},
	sim.Drain:       {"Heat run to waste", units.Energy},
	sim.TankLoss:    {"Standby loss", units.Energy},
	sim.HeaterInput: {"Heater energy", units.Energy},
	sim.PumpInput:   {"Pump energy", units.Energy},
	sim.Cost:        {"Cost", 0},
	sim.Carbon:      {"Carbon dioxide", units.Mass},
	sim.Electricity: {"Electricity into the heater", units.Energy},
	sim.Gas:         {"Gas into the heater", units.Energy},
	sim.Wood:        {"Wood into the heater", units.Energy},
	sim.Sun:         {"Sun into the heater", units.Energy},
}

// measure is a quantity in the set's units; waits of a year are in hours.
func (s Set) measure(q sim.Quantity) measure {
	m := measures[q]
	switch q {
	case sim.Cost:
		return measure{q, m.name, s.Currency, func(v float64) float64 { return v }}
	case sim.Wait:
		return measure{q, m.name, "h", func(v float64) float64 { return v / 3600 }}
	}
	return measure{q, m.name, s.unit(m.of), func(v float64) float64 { return s.System.Convert(v, m.of) }}
}

// opposite is the other system's scale of the measure, if it has one.
func (m measure) opposite(s Set) *opposite {
	if m.Quantity == sim.Cost {
		return nil
	}
	return s.opposite(measures[m.Quantity].of)
}

// column is the measure's name in the data, with its unit.
func (m measure) column() string {
	key := m.Key()
	if i := strings.LastIndexByte(key, '_'); i > 0 {
		key = key[:i]
	}
	return column(key, m.unit)
}

// interval is an estimate in the measure's unit.
func (m measure) interval(i sim.Interval) sim.Interval {
	return sim.Interval{Mean: m.shown(i.Mean), Low: m.shown(i.Low), High: m.shown(i.High)}
}
