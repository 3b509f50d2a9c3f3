package main

import (
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/spf13/cobra"

	"pipelag/network"
	"pipelag/network/takeoff"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/sim/control"
)

type takeoffOptions struct {
	layouts []string
	place   string
	figure  string
	fixture string
	units   systemFlag
	json    bool
	quiet   quietFlag
}

func newTakeoffCommand() *cobra.Command {
	var o takeoffOptions
	c := &cobra.Command{
		Use:   "takeoff [SCENARIO]",
		Short: "List what each layout comes to: lengths, stored water, waits, pressures, limits",
		Long: `List what each layout comes to before any year is lived through. For each fixture: the
way to it, its developed length, the water stored in it, the wait from cold as that
water leaves like a plug and as the engine finds it, and the pressure left at the tap.
For each tube: the demand by the plumbing code, the velocity and the pressure lost. And
the limits met or broken, with edition and clause. Verdicts are advice: the local code
and licensed practice decide.

SCENARIO is a file, or the name of a scenario that comes with the program. Without it,
the first of those is taken.

--place searches the places that the scenario names, or else those where lines through
heater and fixtures cross, for the one that leaves the least water standing on the way
to a tap, the mean over a year's draws; it shows the gain and the runner-up.

Exit code 1 if water does not reach every fixture at the code's demand; 2 if a layout
cannot be laid, after the others are listed. A limit broken is no error.`,
		Example: `  pipelag takeoff
  pipelag takeoff house.yaml --layouts 'home run*' --units si
  pipelag takeoff hillside --place manifold
  pipelag takeoff hillside --layouts 1 --fixture bath --figure plan.svg
  pipelag takeoff house.yaml --json > takeoff.json`,
		Args: count(0, 1, "scenario"),
		RunE: func(c *cobra.Command, args []string) error {
			return takeOff(args, &o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	bindLayouts(c, &o.layouts)
	f := c.Flags()
	f.StringVar(&o.place, "place", "", "`THING` to find a place for: manifold or heater")
	f.StringVar(&o.figure, "figure", "", "new `FILE` (.svg, .pdf or .png) to draw one layout into, in plan and elevation")
	f.StringVar(&o.fixture, "fixture", "", "`FIXTURE` whose way the figure brings out, by name or number (default the one with\nthe most water on its way)")
	o.quiet.bind(c)
	o.units.bind(c)
	bindJSON(c, &o.json)
	return c
}

func takeOff(args []string, o *takeoffOptions, stdout, stderr io.Writer) error {
	if err := o.check(); err != nil {
		return err
	}
	notices := o.quiet.notices(stderr)
	s, unlaid := loadSound(args, notices)
	if s == nil {
		return unlaid
	}
	err := takeSoundOff(s, o, stdout, notices)
	if unlaid == nil {
		return err
	}
	if err != nil { // mistakes in the file stand by themselves, where editors look for them
		fmt.Fprintf(stderr, "pipelag: %v\n", err)
	}
	return unlaid
}

// takeSoundOff takes off the layouts that could be laid.
func takeSoundOff(s *scenarios.Scenario, o *takeoffOptions, stdout, notices io.Writer) error {
	house := s.House()
	var err error
	if house.Layouts, err = choose(house.Layouts, o.layouts); err != nil {
		return err
	}
	if o.place != "" {
		return place(s, &house, o, stdout)
	}
	off := newTakenOff(s, &house)
	if o.figure != "" {
		if err := off.writePlan(o, notices); err != nil {
			return err
		}
	}
	if o.json {
		err = writeJSON(stdout, off.document())
	} else {
		err = write(stdout, off.page(o.units.System))
	}
	if err != nil {
		return err
	}
	if off.leftOut != nil {
		return failed(errors.Join(off.leftOut...))
	}
	return off.unmet()
}

func (o *takeoffOptions) check() error {
	switch {
	case o.place != "" && o.place != "manifold" && o.place != "heater":
		return fmt.Errorf("--place %s: write manifold or heater", o.place)
	case o.place != "" && o.figure != "":
		return errors.New("--figure beside --place: draw the layout once its place is in the scenario")
	case o.fixture != "" && o.figure == "":
		return errors.New("--fixture without --figure: it says whose way the figure brings out")
	case o.figure != "":
		_, err := figureFormat(o.figure)
		return err
	}
	return nil
}

// takenOff is the takeoff of a house.
type takenOff struct {
	scenario *scenarios.Scenario
	house    *sim.House
	layouts  []layoutOff
	firing   *sim.Firing // nil where the heater has a store
	leftOut  []error     // layouts that could not be taken off, and why
}

// layoutOff is the takeoff of a layout, with its cold starts by the engine.
type layoutOff struct {
	*takeoff.Takeoff
	network *network.Network
	pumped  bool
	starts  []*sim.ColdStart // by fixture; nil where usable water never comes
}

// newTakenOff takes off the layouts of a house, which are of the scenario. One that
// cannot be is left out and hides no other.
func newTakenOff(s *scenarios.Scenario, h *sim.House) *takenOff {
	t := &takenOff{scenario: s, house: h}
	var err error
	if t.firing, err = sim.NewFiring(h); err != nil {
		t.leftOut = append(t.leftOut, err)
	}
	for i := range h.Layouts {
		l, err := takeLayoutOff(s, h, i)
		if err != nil {
			t.leftOut = append(t.leftOut, err)
			continue
		}
		t.layouts = append(t.layouts, l)
	}
	return t
}

func takeLayoutOff(s *scenarios.Scenario, h *sim.House, i int) (layoutOff, error) {
	l := layoutOff{network: h.Layouts[i].Network, pumped: h.Layouts[i].Pump != nil}
	conditions := s.Conditions()
	if pump := h.Layouts[i].Pump; pump != nil {
		_, called := pump.Rule.(control.Demand)
		conditions.Pumped, conditions.Uncalled = pump.Flow, !called
	}
	var err error
	if l.Takeoff, err = takeoff.New(l.network, conditions); err != nil {
		return l, err
	}
	flows := make([]float64, len(l.Fixtures))
	for f := range l.Fixtures {
		if alone := l.Fixtures[f].Alone; alone != nil {
			flows[f] = alone.Flow
		}
	}
	if l.starts, err = sim.ColdStarts(h, i, flows); err != nil {
		return l, fmt.Errorf("layout %q: %w", l.Layout, err)
	}
	if l.pumped {
		return l, nil // what is drawn after the pump has run is not what a cold start draws
	}
	conditions.Drawn = make([]takeoff.Drawn, len(flows))
	for f, start := range l.starts {
		conditions.Drawn[f] = takeoff.Drawn{Usable: math.Inf(1), Risen: math.Inf(1)}
		if start != nil {
			conditions.Drawn[f] = takeoff.Drawn{Usable: start.Drawn, Risen: start.Risen}
		}
	}
	l.Takeoff, err = takeoff.New(l.network, conditions)
	return l, err
}

// unmet is an error if water does not come where it is wanted.
func (t *takenOff) unmet() error {
	var all []error
	for _, l := range t.layouts {
		for _, p := range l.Problems {
			all = append(all, fmt.Errorf("layout %q: %s; %s", l.Layout, p.What, p.Right))
		}
	}
	if all == nil {
		return nil
	}
	return coded{errors.Join(all...), codeUnmet}
}
