package sim

import (
	"fmt"
	"math"

	"pipelag/network/heat"
	"pipelag/schedules"
	"pipelag/sim/heater"
)

// Firing is how a heater without a store begins, and how far it goes. Traces and
// cold starts leave it out: to them water is at the set point at once.
type Firing struct {
	Delay     float64 // from the flow to the fire [s]
	LeastFlow float64 // below which it does not fire [m³/s]
	MostFlow  float64 // that its power heats from the coldest mains of the year; +Inf where they need none [m³/s]
	Coldest   float64 // temperature of those [°C]
	Setpoint  float64 // [°C]
}

// NewFiring is nil for a heater that has a store.
//
//	MostFlow = power / (ρc (set point − coldest mains))
//
// The exchanger's loss to the air, which is below a hundredth of that power in any
// heater of a house, is left out.
func NewFiring(h *House) (*Firing, error) {
	kind, ok := h.Heater.Kind.(heater.Instantaneous)
	if !ok {
		return nil, nil
	}
	f := &Firing{Delay: kind.Delay, LeastFlow: kind.LeastFlow, MostFlow: math.Inf(1), Coldest: math.Inf(1), Setpoint: h.Heater.Setpoint}
	for d := range schedules.DaysPerYear {
		f.Coldest = min(f.Coldest, h.Climate.Mains.At((float64(d)+0.5)*Day))
	}
	water, err := heat.WaterAt((f.Setpoint + f.Coldest) / 2)
	if err != nil {
		return nil, fmt.Errorf("water between the set point and the coldest mains: %w", err)
	}
	if rise := f.Setpoint - f.Coldest; rise > 0 {
		f.MostFlow = kind.Power / (water.Density * water.SpecificHeat * rise)
	}
	return f, nil
}

// Gives is the temperature that a flow [m³/s] comes to from the coldest mains [°C].
func (f *Firing) Gives(flow float64) float64 {
	if flow < f.LeastFlow || f.Coldest >= f.Setpoint {
		return f.Coldest
	}
	return f.Coldest + (f.Setpoint-f.Coldest)*min(1, f.MostFlow/flow)
}
