package sim

import (
	"errors"
	"fmt"
	"slices"

	"pipelag/network/hydraulics"

	"gonum.org/v1/gonum/floats"
)

// ErrNoWater refuses a house whose pressure brings no water where it is wanted: the house
// is to be mended. An error that is it says where.
var ErrNoWater = errors.New("hardly any water")

// pressure is what the supply passes through a layout. It does not change and is
// shared by all replicates.
type pressure struct {
	circuit *hydraulics.Circuit
	alone   []bool // by fixture: it gets its rated flow while no other is open
}

// newCircuit makes a layout ready for the flows of a house that has a supply.
func newCircuit(h *House, l *Layout) (*hydraulics.Circuit, error) {
	taps := make([]hydraulics.Tap, len(h.Fixtures))
	for f := range h.Fixtures {
		taps[f] = hydraulics.Tap{Rated: h.Fixtures[f].Flow, Needs: h.Fixtures[f].Needs}
	}
	return hydraulics.NewCircuit(l.Network, *h.Supply, taps, h.Heater.Setpoint)
}

// ratedFlows are those of a house's fixtures [m³/s].
func ratedFlows(h *House) []float64 {
	rated := make([]float64, len(h.Fixtures))
	for f := range h.Fixtures {
		rated[f] = h.Fixtures[f].Flow
	}
	return rated
}

// newPressure is nil where every fixture gets its rated flow whatever else is open,
// or where there is no supply to limit it.
func newPressure(h *House, l *Layout) (*pressure, error) {
	if h.Supply == nil {
		return nil, nil
	}
	circuit, err := newCircuit(h, l)
	if err != nil {
		return nil, err
	}
	rated := ratedFlows(h)
	p := &pressure{circuit, make([]bool, len(rated))}
	solver, got := circuit.NewSolver(), make([]float64, len(rated))
	passes := func(wanted []float64) (bool, error) {
		err := solver.Flow(wanted, floats.Sum(wanted), got) // all of it hot, and as much cold: more than ever happens
		return slices.Equal(got, wanted), err
	}
	all, err := passes(rated)
	if err != nil {
		return nil, err
	}
	if all {
		return nil, nil
	}
	one := make([]float64, len(rated))
	for f := range rated {
		one[f] = rated[f]
		if p.alone[f], err = passes(one); err != nil {
			return nil, err
		}
		if got[f] < leastPassed*rated[f] {
			return nil, fmt.Errorf("%w reaches %s: the pressure at the heater is used up on the way; see what is left by taking off the layout, and raise the pressure or choose wider tubes", ErrNoWater, h.Fixtures[f].Name)
		}
		one[f] = 0
	}
	return p, nil
}

// leastPassed is the share of a wanted flow that is taken to trickle from a tap to
// which the others leave no pressure [-].
const leastPassed = 0.01

// throttle is a pressure at work in one year.
type throttle struct {
	*pressure
	solver      *hydraulics.Solver
	wanted, got []float64 // by fixture [m³/s]
}

func newThrottle(p *pressure) throttle {
	if p == nil {
		return throttle{}
	}
	n := len(p.alone)
	return throttle{p, p.circuit.NewSolver(), make([]float64, n), make([]float64, n)}
}

// hold makes every open draw's flow what the pressure passes with all of them
// open, hot and cold in the proportion that is wanted. The cold water of all of
// them passes the service line and the meter too; the pump has its own loop.
func (t *throttle) hold(draws []draw) error {
	if t.pressure == nil {
		return nil
	}
	if len(draws) == 1 && t.alone[draws[0].Fixture] {
		draws[0].pass(1)
		return nil
	}
	clear(t.wanted)
	cold := 0.0
	for i := range draws {
		d := &draws[i]
		hot := d.hot / d.passed
		t.wanted[d.Fixture] = hot
		cold += max(0, d.Flow-hot)
	}
	if err := t.solver.Flow(t.wanted, cold, t.got); err != nil {
		return err
	}
	for i := range draws {
		d := &draws[i]
		if wanted := t.wanted[d.Fixture]; wanted > 0 {
			d.pass(max(t.got[d.Fixture]/wanted, leastPassed))
		}
	}
	return nil
}
