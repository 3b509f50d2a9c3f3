package main

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"pipelag/plots"
	"pipelag/units"
)

// writePlan draws the one layout taken off into a new file.
func (t *takenOff) writePlan(o *takeoffOptions, notices io.Writer) error {
	if len(t.house.Layouts) != 1 {
		return fmt.Errorf("--figure draws one layout; choose it with --layouts, of %s", numbered(t.house.Layouts))
	}
	if t.leftOut != nil {
		return failed(t.leftOut[0])
	}
	l := t.layouts[0].document()
	to := l.mostStored()
	if o.fixture != "" {
		var err error
		if to, err = oneFixture(t.house.Fixtures, o.fixture); err != nil {
			return err
		}
	}
	plan, err := l.plan(to)
	if err != nil {
		return fmt.Errorf("--figure: layout %q: %w", l.Name, err)
	}
	figure, err := plots.NewPlan(t.planSet(o.units.System), *plan)
	if err != nil {
		return failed(err)
	}
	return writeNew(notices, newFile{"--figure", o.figure, func() ([]byte, error) { return drawn(figure, o.figure) }})
}

// mostStored is the fixture with the most water on its way.
func (d *offDocument) mostStored() int {
	to := 0
	for f := range d.Fixtures {
		if d.Fixtures[f].Stored > d.Fixtures[to].Stored {
			to = f
		}
	}
	return to
}

// errUnplaced refuses a plan of pipes of which nobody said where they run.
var errUnplaced = errors.New("its pipes are listed by length, and not where they run; give each pipe at: where it ends")

// plan is a layout to be drawn, with the way to a fixture brought out.
func (d *offDocument) plan(to int) (*plots.Plan, error) {
	p := &plots.Plan{Layout: d.Name, To: to}
	for _, t := range d.Tubes {
		if t.Route == nil {
			return nil, errUnplaced
		}
		if len(t.Route) == 0 || !(t.Length > 0) { // within a manifold a tube may end where it begins
			return nil, fmt.Errorf("the tube to %q is %g m long and passes %d places; it needs a length, and one place at least", t.To, t.Length, len(t.Route))
		}
		p.Tubes = append(p.Tubes, plots.PlanTube{
			Name: t.Tube + " " + t.Size, Volume: t.Volume * thousandth / t.Length, Return: t.Return, Route: t.Route,
		})
	}
	for _, f := range d.Fixtures {
		for _, pipe := range f.Pipes {
			if pipe < 0 || pipe >= len(d.Tubes) {
				return nil, fmt.Errorf("the way to %q has tube %d of %d", f.Name, pipe, len(d.Tubes))
			}
		}
		if len(f.Pipes) == 0 {
			return nil, fmt.Errorf("the way to %q has no tube", f.Name)
		}
		if heater := d.Tubes[f.Pipes[0]].Route[0]; !slices.Contains(p.Heaters, heater) {
			p.Heaters = append(p.Heaters, heater)
		}
		last := d.Tubes[f.Pipes[len(f.Pipes)-1]].Route
		p.Fixtures = append(p.Fixtures, plots.PlanFixture{Name: f.Name, At: last[len(last)-1]})
	}
	if to < len(d.Fixtures) { // else there is none, and nothing to draw
		way := &d.Fixtures[to]
		p.Way, p.Length, p.Stored = way.Pipes, way.Length, way.Stored*thousandth
	}
	return p, nil
}

// planSet is how the plans of a takeoff look.
func (t *takenOff) planSet(system units.System) plots.Set {
	return plots.Set{System: system, Width: plots.TwoColumns, Layouts: layoutNames(t.house), Scenario: t.scenario.Name, Version: version()}
}
