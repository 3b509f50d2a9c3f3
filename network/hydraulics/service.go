package hydraulics

import (
	"errors"
	"fmt"
	"math"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
)

// Service is the water that comes to the heater: the street, and what stands
// between the street and the heater's outlet.
type Service struct {
	Static       float64 // gauge pressure in the street with nothing drawn [Pa]
	Residual     float64 // the same while ResidualFlow is drawn [Pa]
	ResidualFlow float64 // [m³/s]; 0 where the street keeps its static pressure
	Rise         float64 // height of the heater's outlet above the street's gauge [m]
	Cold         float64 // temperature of the cold water [°C]
	Lines        []Line
	Devices      []Device
}

// Line is a stretch of cold-water pipe on the way to the heater.
type Line struct {
	Tube     tubes.Tube
	Length   float64 // [m]
	Fittings network.Fittings
}

// Device is a meter, valve, filter, softener or heater by the loss its maker
// states.
type Device struct {
	Name    string
	Loss    float64 // [Pa]
	Flow    float64 // at which the loss is stated [m³/s]; the loss goes with the square of the flow. 0: the same loss at any flow
	HotOnly bool    // stands where the cold taps' water does not pass, such as the heater
}

// fireFlow is the exponent by which the street's pressure falls with flow.
//
// Source: NFPA 291, Recommended Practice for Fire Flow Testing, exponent 0.54
// of flow on pressure drop; from memory. It is that of Hazen and Williams.
const fireFlow = 1 / 0.54

// check finds all that is wrong with a service.
func (s Service) check() error {
	var wrong []error
	within := func(what string, x, low, high float64) {
		if !(x >= low && x <= high) {
			wrong = append(wrong, fmt.Errorf("service: %s of %g; it lies from %g to %g", what, x, low, high))
		}
	}
	const most = 2e6 // [Pa]; no house is fed with more
	within("static pressure [Pa]", s.Static, 1, most)
	within("flow at which the residual pressure is stated [m³/s]", s.ResidualFlow, 0, 1)
	if s.ResidualFlow > 0 {
		within("residual pressure [Pa], at or below the static,", s.Residual, 0, s.Static)
	}
	within("rise to the heater [m]", s.Rise, -200, 200)
	for _, d := range s.Devices {
		within(fmt.Sprintf("loss of %q [Pa]", d.Name), d.Loss, 0, most)
		within(fmt.Sprintf("flow at which the loss of %q is stated [m³/s]", d.Name), d.Flow, 0, 1)
	}
	for i, l := range s.Lines {
		within(fmt.Sprintf("length of line %d [m]", i+1), l.Length, 0, 1e4)
		within(fmt.Sprintf("bore of line %d [m]", i+1), l.Tube.Inside, 1e-4, 1)
	}
	return errors.Join(wrong...)
}

// supply is a service made ready: the pressure at the heater's outlet against flow.
type supply struct {
	still    float64 // with nothing drawn [Pa]
	fall     float64 // [Pa/(m³/s)^fireFlow]
	square   float64 // of devices that all water passes [Pa/(m³/s)²]
	hotOnly  float64 // of devices that the hot water passes [Pa/(m³/s)²]
	conduits []conduit
}

func newSupply(s Service) (supply, error) {
	if err := s.check(); err != nil {
		return supply{}, err
	}
	water, err := heat.WaterAt(s.Cold)
	if err != nil {
		return supply{}, fmt.Errorf("service: %w", err)
	}
	u := supply{still: s.Static - water.Density*gravity*s.Rise}
	if s.ResidualFlow > 0 {
		u.fall = (s.Static - s.Residual) / math.Pow(s.ResidualFlow, fireFlow)
	}
	for _, d := range s.Devices {
		switch {
		case d.Flow == 0:
			u.still -= d.Loss
		case d.HotOnly:
			u.hotOnly += d.Loss / (d.Flow * d.Flow)
		default:
			u.square += d.Loss / (d.Flow * d.Flow)
		}
	}
	for _, l := range s.Lines {
		u.conduits = append(u.conduits, newConduit(water, l.Tube, l.Length, l.Fittings))
	}
	return u, nil
}

// at is the pressure at the heater's outlet while hot passes it and cold
// leaves before it [m³/s], and how fast it falls with hot [Pa/(m³/s)].
func (u *supply) at(hot, cold float64) (pressure, fall float64) {
	all := hot + cold
	pressure = u.still - u.square*all*all - u.hotOnly*hot*hot
	fall = 2 * (u.square*all + u.hotOnly*hot)
	if u.fall > 0 && all > 0 {
		street := u.fall * math.Pow(all, fireFlow)
		pressure -= street
		fall += fireFlow * street / all
	}
	for i := range u.conduits {
		loss, slope := u.conduits[i].loss(all)
		pressure -= loss
		fall += slope
	}
	return pressure, fall
}
