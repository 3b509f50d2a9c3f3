package sim

import (
	"fmt"

	"pipelag/network/tubes"
	"pipelag/sim/pipework"
)

// Standing is how the water in one make of pipe cools while it stands.
type Standing struct {
	Tube        tubes.Tube
	Sleeve      tubes.Sleeve
	Zone        string
	Around      float64   // mean temperature of the zone [°C]
	Time        []float64 // [s]
	Temperature []float64 // [°C]
}

// NewStanding lets each make of pipe of a house's layouts stand, at the heater's
// set point at first, in the mean air of its zone: for so long, with a look at
// equal steps [s]. Pipes of one tube, sleeve and zone are shown once, as the
// first of them lies.
func NewStanding(h *House, duration, every float64) ([]Standing, error) {
	if !(every > 0 && duration >= every && duration <= yearEnd) {
		return nil, fmt.Errorf("%g s in steps of %g s; a step must be above 0 s, and the whole at least a step and at most a year", duration, every)
	}
	type fabric struct {
		tube   string
		size   string
		sleeve string
		thick  float64
		zone   string
	}
	var times []float64
	for n := 0; float64(n)*every <= duration; n++ {
		times = append(times, float64(n)*every)
	}
	seen := map[fabric]bool{}
	var all []Standing
	for i := range h.Layouts {
		p, err := newPlant(h, &h.Layouts[i], pipework.Model{Grid: pipework.OpeningGrid})
		if err != nil {
			return nil, err
		}
		for k, pipe := range p.layout.Network.Pipes {
			m := fabric{pipe.Tube.Kind, pipe.Tube.Size, pipe.Sleeve.Material.Name, pipe.Sleeve.Thickness, pipe.Zone}
			if seen[m] {
				continue
			}
			seen[m] = true
			s := Standing{Tube: pipe.Tube, Sleeve: pipe.Sleeve, Zone: pipe.Zone, Time: times}
			s.Around = annualMean(h.Climate.Zones[p.pipes.Zone(k)].Temperature)
			s.Temperature = p.pipes.Stand(k, h.Heater.Setpoint, s.Around, times)
			all = append(all, s)
		}
	}
	return all, nil
}
