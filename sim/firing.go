package sim

import (
	"fmt"
	"math"

	"pipelag/network/heat"
	"pipelag/schedules"
	"pipelag/sim/heater"
)

// Firing is how a heater without a store begins, and how far it goes.
type Firing struct {
	Delay     float64 // from the flow to the fire [s]
	LeastFlow float64 // below which it does not fire [m³/s]
	MostFlow  float64 // that its power heats from the coldest mains of the year; +Inf where they need none [m³/s]
	Coldest   float64 // temperature of those [°C]
	Mean      float64 // and of the mains on the mean of the year, which traces and cold starts have [°C]
	Setpoint  float64 // [°C]

	heats float64 // flow times rise in temperature that its power gives [K m³/s]
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
	f := &Firing{
		Delay: kind.Delay, LeastFlow: kind.LeastFlow, MostFlow: math.Inf(1),
		Coldest: math.Inf(1), Mean: annualMean(h.Climate.Mains), Setpoint: h.Heater.Setpoint,
	}
	for d := range schedules.DaysPerYear {
		f.Coldest = min(f.Coldest, h.Climate.Mains.At((float64(d)+0.5)*Day))
	}
	water, err := heat.WaterAt((f.Setpoint + f.Coldest) / 2)
	if err != nil {
		return nil, fmt.Errorf("water between the set point and the coldest mains: %w", err)
	}
	f.heats = kind.Power / (water.Density * water.SpecificHeat)
	if rise := f.Setpoint - f.Coldest; rise > 0 {
		f.MostFlow = f.heats / rise
	}
	return f, nil
}

// Gives is the temperature that a flow [m³/s] comes to, in the end, from mains at
// another [°C].
func (f *Firing) Gives(flow, mains float64) float64 {
	if flow < f.LeastFlow || mains >= f.Setpoint {
		return mains
	}
	return min(f.Setpoint, mains+f.heats/flow)
}
