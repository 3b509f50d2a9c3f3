package studies

import (
	"context"
	"errors"
	"math"
	"strings"

	"pipelag/internal/fault"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies/store"
)

// house is a case made ready to simulate.
type house struct {
	sim.House
	layouts []store.Layout // what is built, without a year's numbers
}

// house makes a case's house.
func (c *Cases) house(i int) (*house, error) { return c.houseOf(c.Settings(i)) }

// houseOf makes a house of settings, with the study's layouts in the study's order.
func (c *Cases) houseOf(settings []scenarios.Setting) (_ *house, err error) {
	defer fault.Catch(&err)
	d, err := c.Study.Case(settings)
	if err != nil {
		return nil, err
	}
	s, err := d.Scenario()
	if err != nil {
		return nil, err
	}
	h := &house{House: s.House()}
	all := h.Layouts
	h.Layouts = nil
	for _, name := range c.Study.Layouts {
		for k := range all {
			if all[k].Network.Name == name {
				h.Layouts = append(h.Layouts, all[k])
			}
		}
	}
	if len(h.Layouts) != len(c.Study.Layouts) {
		return nil, errors.New("a factor has renamed a layout that is to run; let factors change what layouts are made of")
	}
	for k := range h.Layouts {
		h.layouts = append(h.layouts, built(&h.Layouts[k], h.Fixtures))
	}
	return h, nil
}

// built lists what a layout comes to before water flows.
func built(l *sim.Layout, fixtures []sim.Fixture) store.Layout {
	n := l.Network
	made := store.Layout{Name: n.Name, Arrangement: n.Arrangement, Control: "none", Insulation: math.Inf(1)}
	if l.Pump != nil {
		made.Control = l.Pump.ControlName()
	}
	inLoop := make([]bool, len(n.Pipes))
	for _, p := range n.Loop() {
		inLoop[p] = true
	}
	for k, f := range fixtures {
		at := store.Fixture{Name: f.Name}
		for _, p := range n.Path(k) {
			pipe := n.Pipes[p]
			made.Insulation = math.Min(made.Insulation, pipe.Sleeve.Thickness*1e3)
			if !inLoop[p] {
				at.Stored += pipe.Volume() * 1e3
				at.Length += pipe.Length
			}
		}
		made.Fixtures = append(made.Fixtures, at)
	}
	return made
}

// year simulates one replicate of a case. An error of the case is kept in the
// run; the one returned is that of a study that is to stop.
func (c *Cases) year(ctx context.Context, h *house, unfit error, i, replicate int) (store.Run, error) {
	run := store.Run{Case: i, Replicate: replicate, Seed: c.Seed(i, replicate)}
	if unfit != nil {
		run.Cause = strings.ReplaceAll(unfit.Error(), "\n", " | ") // mistakes stand a line each
		run.Fault = errors.Is(unfit, fault.Err)
		return run, nil
	}
	result, err := sim.Run(ctx, &h.House, sim.Options{Seed: run.Seed, Years: 1, Workers: 1})
	if ctx.Err() != nil {
		return run, ctx.Err()
	}
	if err != nil {
		run.Cause, run.Fault = err.Error(), !errors.Is(err, sim.ErrNoWater)
		return run, nil
	}
	unlike := result.Unlike()
	for k, from := range result.Layouts {
		l := h.layouts[k]
		l.Unlike = unlike[k]
		for q := range sim.Quantities {
			l.Annual[q] = from.Annual[q].Mean
		}
		l.Fixtures = append([]store.Fixture(nil), l.Fixtures...)
		for j, f := range from.Fixtures {
			at := &l.Fixtures[j]
			at.DrawsPerDay, at.WaitingPerDay = f.DrawsPerDay, f.WaitingDraws
			at.WaitP50, at.WaitP90 = f.Waits.P50, f.Waits.P90
			at.PurgedPerDraw, at.NeverHot, at.HotDrawnPerDay = f.PurgedPerDraw, f.NeverHot, f.HotDrawnPerDay
		}
		run.Layouts = append(run.Layouts, l)
	}
	return run, nil
}
