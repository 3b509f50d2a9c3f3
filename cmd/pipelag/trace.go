package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"pipelag/plots"
	"pipelag/scenarios"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/sim/pipework"
	"pipelag/units"
)

type traceOptions struct {
	layout       string
	fixture      string
	rests        []string
	run          string
	flow         string
	usable       string
	noDispersion bool
	inspect      bool
	day          int // of the year, from 1; 0 for openings
	seed         uint64
	replicate    int
	figure       string
	report       string
	units        systemFlag
	json         bool
	quiet        quietFlag
	command      string // as it was typed
}

func newTraceCommand() *cobra.Command {
	var o traceOptions
	c := &cobra.Command{
		Use:   "trace [SCENARIO]",
		Short: "Open one tap and follow the water to it",
		Long: `Open one tap and follow the water: how long until it is usable and why, how warm it is at
the tap and along the pipe. The first opening starts from cold, with the pipes at their
surroundings' temperature; each --rest adds one, after the tap has run for --run and
stood closed for that long.

The tap takes hot water only, at a constant flow: what the pressure passes to it while no
other is open, unless --flow asks for less. Pumps stand still, nobody else draws
water, and surroundings have their mean temperatures of the year. A heater with a store
gives water at its set point; one without fires and warms itself first.

With --day it is a day of a year instead, lived through with everybody's draws and the
pump: the water all along the way to the tap, minute by minute.

SCENARIO is a file, or the name of a scenario that comes with the program. Without it,
the first of those is taken.`,
		Example: `  pipelag trace --layout 1 --fixture 'kitchen sink'
  pipelag trace house.yaml --layout 2 --fixture basin --rest 10min --rest 2h
  pipelag trace townhouse --layout 1 --fixture 1 --flow 0.5gpm --usable 105F --inspect
  pipelag trace --layout 3 --fixture 'hall shower' --figure shower.svg --report shower.html
  pipelag trace --layout 1 --fixture 'kitchen sink' --day 15 --figure day.svg
  pipelag trace --layout 1 --fixture 'main lavatory' --json > trace.json`,
		Args: count(0, 1, "scenario"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := o.check(c.Flags().Changed); err != nil {
				return err
			}
			o.command = commandLine(c, args)
			return trace(args, &o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.StringVar(&o.layout, "layout", "", "`LAYOUT` of the tap: its name, its number, or a pattern with * and ?")
	f.StringVar(&o.fixture, "fixture", "", "`FIXTURE` to open: its name or its number")
	f.StringArrayVar(&o.rests, "rest", nil, "one more opening after the tap has stood closed for this `TIME`, such as 20min; may be\ngiven again")
	f.StringVar(&o.run, "run", "4min", "`TIME` that the tap runs before each rest")
	f.StringVar(&o.flow, "flow", "", "constant `FLOW` of hot water (default what the pressure passes to the\nfixture while no other is open, up to what it is rated for)")
	f.StringVar(&o.usable, "usable", "", "`TEMPERATURE` from which the water is usable (default the fixture's)")
	f.BoolVar(&o.noDispersion, "no-dispersion", false, "leave out the mixing along pipes")
	f.BoolVar(&o.inspect, "inspect", false, "show every coefficient of every pipe on the way, with its formula and source")
	f.IntVar(&o.day, "day", 0, "`DAY` of the year, from 1, to watch instead of openings")
	f.Var(newSeed(&o.seed), "seed", "with --day: `N`, a whole number from 0; another one draws other years")
	f.IntVar(&o.replicate, "replicate", 0, "with --day: `N`, which of the seed's years, from 0")
	f.StringVar(&o.figure, "figure", "", "new `FILE` (.svg, .pdf or .png) to draw the temperature at the tap, or the day, into")
	f.StringVar(&o.report, "report", "", "new `FILE` (.html) to write as a page that opens in any browser")
	o.quiet.bind(c)
	o.units.bind(c)
	bindJSON(c, &o.json)
	return c
}

// check refuses flags that do not go together, before any work is done.
func (o *traceOptions) check(given func(flag string) bool) error {
	if given("day") {
		for _, flag := range []string{"rest", "run", "flow", "usable", "inspect"} {
			if given(flag) {
				return fmt.Errorf("--%s is for single openings; leave it out, or --day", flag)
			}
		}
		if o.day < 1 || o.day > schedules.DaysPerYear {
			return fmt.Errorf("--day %d: give a day from 1 to %d", o.day, schedules.DaysPerYear)
		}
		if o.replicate < 0 {
			return fmt.Errorf("--replicate %d: give 0 or more", o.replicate)
		}
	} else {
		if given("run") && !given("rest") {
			return errors.New("--run without --rest: it says how long the tap runs before a rest")
		}
		for _, flag := range []string{"seed", "replicate"} {
			if given(flag) {
				return fmt.Errorf("--%s: nothing of a single opening is drawn by lot; give it with --day", flag)
			}
		}
	}
	if o.figure != "" {
		if _, err := figureFormat(o.figure); err != nil {
			return err
		}
	}
	if o.report != "" && !strings.HasSuffix(o.report, ".html") {
		return fmt.Errorf("--report %s: let the name end in .html", o.report)
	}
	return nil
}

func trace(args []string, o *traceOptions, stdout, stderr io.Writer) error {
	notices := o.quiet.notices(stderr)
	s, err := load(args, notices)
	if err != nil {
		return err
	}
	house := s.House()
	var followed follower
	if o.day > 0 {
		followed, err = newWatched(s, &house, o)
	} else {
		followed, err = newTraced(s, &house, o)
	}
	if err != nil {
		return err
	}
	if err := writeNew(notices, newFile{"--figure", o.figure, followed.figure}, newFile{"--report", o.report, followed.report}); err != nil {
		return err
	}
	if o.json {
		return writeJSON(stdout, followed.document())
	}
	return write(stdout, followed.page())
}

// options checks the flags and makes of them what the engine takes; a usable
// temperature that is given becomes the fixture's.
func (o *traceOptions) options(h *sim.House) (sim.TraceOptions, error) {
	t := sim.TraceOptions{Grid: pipework.OpeningGrid, NoDispersion: o.noDispersion}
	var err error
	if t.Layout, err = oneLayout(h.Layouts, o.layout); err != nil {
		return t, err
	}
	if t.Fixture, err = oneFixture(h.Fixtures, o.fixture); err != nil {
		return t, err
	}
	fixture := &h.Fixtures[t.Fixture]
	if o.usable != "" {
		if fixture.Usable, err = units.Parse(o.usable, units.Temperature); err != nil {
			return t, fmt.Errorf("--usable: %w", err)
		}
	}
	if !(fixture.Usable > 0 && fixture.Usable < h.Heater.Setpoint) {
		return t, fmt.Errorf("usable from %s, but the heater is set to %s; give a --usable above freezing and below that",
			o.units.Format(fixture.Usable, units.Temperature), o.units.Format(h.Heater.Setpoint, units.Temperature))
	}
	const longest = schedules.DaysPerYear * sim.Day // [s]
	if t.Run, err = units.Parse(o.run, units.Duration); err != nil {
		return t, fmt.Errorf("--run: %w", err)
	}
	if !(t.Run >= 0 && t.Run <= 86400) {
		return t, fmt.Errorf("--run %s: give a time from 0 s to a day", o.run)
	}
	for _, text := range o.rests {
		rest, err := units.Parse(text, units.Duration)
		if err != nil {
			return t, fmt.Errorf("--rest: %w", err)
		}
		if !(rest > 0 && rest <= longest) {
			return t, fmt.Errorf("--rest %s: give a time above 0 s and up to a year", text)
		}
		t.Rests = append(t.Rests, rest)
	}
	return t, nil
}

// oneLayout finds the layout that a text means, which may be left out where
// there is but one.
func oneLayout(all []sim.Layout, text string) (int, error) {
	if text == "" {
		if len(all) == 1 {
			return 0, nil
		}
		return 0, fmt.Errorf("--layout: say which; there are %s", numbered(all))
	}
	switch found := matching(all, text); len(found) {
	case 1:
		return found[0], nil
	case 0:
		return 0, fmt.Errorf("--layout: there is no layout %q; there are %s", text, numbered(all))
	default:
		return 0, fmt.Errorf("--layout: %q means %d layouts; give one of %s", text, len(found), numbered(all))
	}
}

// oneFixture finds the fixture that a text means: a name before a number.
func oneFixture(all []sim.Fixture, text string) (int, error) {
	var names []string
	for i, f := range all {
		if f.Name == text {
			return i, nil
		}
		names = append(names, fmt.Sprintf("%d %q", i+1, f.Name))
	}
	known := strings.Join(names, ", ")
	if text == "" {
		if len(all) == 1 {
			return 0, nil
		}
		return 0, errors.New("--fixture: say which; there are " + known)
	}
	if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(all) {
		return n - 1, nil
	}
	return 0, fmt.Errorf("--fixture: there is no fixture %q; there are %s", text, known)
}

// traced is a tap opened, once or more often.
type traced struct {
	source
	*sim.Trace
	fixture int         // of the house
	passed  float64     // what the pressure passes to it alone [m³/s]
	firing  *sim.Firing // nil where the heater has a store
}

func newTraced(s *scenarios.Scenario, h *sim.House, o *traceOptions) (*traced, error) {
	options, err := o.options(h)
	if err != nil {
		return nil, err
	}
	t := &traced{source: source{o, s, h}, fixture: options.Fixture}
	if options.Flow, t.passed, err = o.flows(h, options.Layout, options.Fixture); err != nil {
		return nil, err
	}
	if t.firing, err = sim.NewFiring(h); err != nil {
		return nil, err
	}
	if t.Trace, err = sim.NewTrace(h, options); err != nil {
		return nil, failed(err)
	}
	return t, nil
}

// figure draws the temperature at the tap.
func (t *traced) figure() ([]byte, error) {
	figure, err := plots.NewTap(t.set(), []*sim.Trace{t.Trace})
	if err != nil {
		return nil, failed(err)
	}
	return drawn(figure, t.source.traceOptions.figure)
}
