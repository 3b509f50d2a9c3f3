package main

import (
	"fmt"

	"pipelag/sim"
	"pipelag/units"
)

// leastFlow is what a dripping tap passes, 0.01 L/min [m³/s]. Water that flows no
// faster takes days to reach it, and as many steps.
const leastFlow = 1e-5 / 60

// flows are the flow to open a fixture with, and the most that the pressure passes to
// it alone [m³/s]; they are the same unless --flow asks for less.
func (o *traceOptions) flows(h *sim.House, layout, fixture int) (flow, most float64, err error) {
	passed, err := sim.PassedAlone(h, &h.Layouts[layout])
	if err != nil {
		return 0, 0, err
	}
	most = passed[fixture]
	name, rounded, passes := h.Fixtures[fixture].Name, 1e-9, "passes"
	if most < leastFlow {
		return 0, 0, fmt.Errorf("--fixture %s: the pressure passes no water to it; see what is left with pipelag takeoff, and raise the pressure or choose wider tubes", name)
	}
	if most < h.Fixtures[fixture].Flow {
		rounded, passes = 0.005, "gets alone at this pressure" // three digits of it are shown
	}
	if o.flow == "" {
		return most, most, nil
	}
	if flow, err = units.Parse(o.flow, units.Flow); err != nil {
		return 0, 0, fmt.Errorf("--flow: %w", err)
	}
	if !(flow >= leastFlow && flow <= most*(1+rounded)) {
		return 0, 0, fmt.Errorf("--flow %s: give from %s up to the %s that %s %s", o.flow, o.units.Format(leastFlow, units.Flow), o.units.Format(most, units.Flow), name, passes)
	}
	return min(flow, most), most, nil
}

// flowTaken says where the flow comes from, with flows as they are to be shown.
func (t *traced) flowTaken(shown func(si float64, d units.Dimension) string) string {
	rated := t.house.Fixtures[t.fixture].Flow
	switch {
	case t.Flow*thousandth < t.passed*(1-1e-9):
		return fmt.Sprintf("as asked; %s gets up to %s alone at this pressure", t.Fixture, shown(t.passed, units.Flow))
	case t.passed < rated*(1-1e-9):
		return fmt.Sprintf("all that the pressure passes to %s while no other is open; it is rated for %s", t.Fixture, shown(rated, units.Flow))
	}
	return "for which " + t.Fixture + " is rated"
}

// assumptions are what an opening takes for granted, for the page and for other programs.
func (t *traced) assumptions() []assumption {
	flow := assumption{Path: "--flow", Value: units.Both(t.Flow*thousandth, units.Flow), Why: t.flowTaken(units.Both)}
	heater := firingAssumed(t.firing, nil, nil)
	if said := t.firingSaid(units.Both); said != "" {
		heater[0].Why += "; " + said
	}
	return append([]assumption{flow}, heater...)
}
