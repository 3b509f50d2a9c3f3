package main

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"pipelag/plots"
	"pipelag/units"
)

// writePlan draws the one layout taken off into a new file.
func (t *takenOff) writePlan(o *takeoffOptions, notices io.Writer) error {
	if len(t.layouts) != 1 {
		return fmt.Errorf("--figure draws one layout; choose it with --layouts, of %s", numbered(t.house.Layouts))
	}
	l := &t.layouts[0]
	to := l.mostStored()
	if o.fixture != "" {
		var err error
		if to, err = oneFixture(t.house.Fixtures, o.fixture); err != nil {
			return err
		}
	}
	if l.network.Route(0) == nil {
		return fmt.Errorf("--figure: layout %q lists its pipes by length, and does not say where they run; give each pipe at: where it ends", l.Layout)
	}
	format, err := figureFormat(o.figure)
	if err != nil {
		return err
	}
	figure, err := t.plan(0, to, o.units.System, plots.TwoColumns)
	if err != nil {
		return failed(err)
	}
	return writeNew("--figure", o.figure, func() ([]byte, error) {
		var b bytes.Buffer
		err := figure.Write(&b, format)
		return b.Bytes(), failed(err)
	}, notices)
}

// mostStored is the fixture with the most water on its way.
func (l *layoutOff) mostStored() int {
	to := 0
	for f := range l.Fixtures {
		if l.Fixtures[f].Volume > l.Fixtures[to].Volume {
			to = f
		}
	}
	return to
}

// plan draws a layout, with the way to a fixture brought out; the layout's routes
// must be known.
func (t *takenOff) plan(layout, to int, system units.System, width plots.Width) (*plots.Figure, error) {
	l := &t.layouts[layout]
	set := plots.Set{System: system, Width: width, Scenario: t.scenario.Name, Version: version()}
	for _, other := range t.layouts {
		set.Layouts = append(set.Layouts, other.Layout)
	}
	p := plots.Plan{
		Layout: l.Layout, To: to,
		Way: l.Fixtures[to].Path, Length: l.Fixtures[to].Length, Stored: l.Fixtures[to].Volume,
	}
	for i, pipe := range l.network.Pipes {
		tube := plots.PlanTube{Name: pipe.Tube.Kind + " " + pipe.Tube.Size, Volume: pipe.Tube.Volume(), Return: l.Tubes[i].Return}
		for _, at := range l.network.Route(i) {
			tube.Route = append(tube.Route, [3]float64{at.X, at.Y, at.Z})
		}
		if pipe.Feed < 0 && !slices.Contains(p.Heaters, tube.Route[0]) {
			p.Heaters = append(p.Heaters, tube.Route[0])
		}
		p.Tubes = append(p.Tubes, tube)
	}
	for f, pipe := range l.network.Taps {
		route := p.Tubes[pipe].Route
		p.Fixtures = append(p.Fixtures, plots.PlanFixture{Name: l.Fixtures[f].Name, At: route[len(route)-1]})
	}
	return plots.NewPlan(set, p)
}
