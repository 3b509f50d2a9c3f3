package main

import (
	"fmt"

	"pipelag/sim"
	"pipelag/units"
)

// plusMinus is a number with half its interval and its unit, for a sentence.
func (s shown) plusMinus(system units.System, currency string, i sim.Interval) string {
	mean, half := estimate(s.in(system, i.Mean), s.in(system, i.HalfWidth()), finestShown(s.in(system, i.Mean)))
	if half != "" {
		mean += "\u00a0±\u00a0" + half
	}
	return mean + "\u00a0" + s.unit(system, currency)
}

// change says a difference in words; one that may be none says so.
func (s shown) change(system units.System, currency string, i sim.Interval) string {
	if i == (sim.Interval{}) {
		return "the same"
	}
	size, way := i, " more"
	if i.Mean < 0 {
		size, way = sim.Interval{Mean: -i.Mean, Low: -i.High, High: -i.Low}, " less"
	}
	text := s.plusMinus(system, currency, size) + way
	if i.Low <= 0 && i.High >= 0 {
		text += " (which may be chance)"
	}
	return text
}

// answer says in two sentences what the first layout costs and which others
// change most.
func (o *outcome) answer(system units.System) []string {
	base := &o.Layouts[0]
	tell := func(q sim.Quantity, i sim.Interval) string {
		return quantityShown(q).plusMinus(system, o.Currency, i)
	}
	how := fmt.Sprintf("means of %d simulated years, ± half their 95 %% interval", o.Years)
	if o.Years == 1 {
		how = "of one simulated year, which gives no interval"
	}
	first := fmt.Sprintf("With “%s” people wait %s a year for usable hot water while %s run to waste (%s).",
		base.Name, tell(sim.Wait, base.Annual[sim.Wait]), tell(sim.Purged, base.Annual[sim.Purged]), how)
	if len(o.Differences) == 0 {
		return []string{first, fmt.Sprintf("The year’s water and energy cost %s; the heater takes %s, and the pipes lose %s.",
			tell(sim.Cost, base.Annual[sim.Cost]), tell(sim.HeaterInput, base.Annual[sim.HeaterInput]), tell(sim.PipeLoss, base.Annual[sim.PipeLoss]))}
	}
	changes := func(d *sim.Difference, q sim.Quantity) string {
		return quantityShown(q).change(system, o.Currency, d.Annual[q])
	}
	both := func(d *sim.Difference) string {
		return fmt.Sprintf("it costs %s and lets %s run to waste", changes(d, sim.Cost), changes(d, sim.Purged))
	}
	cheapest, driest := o.least(sim.Cost), o.least(sim.Purged)
	var second string
	switch {
	case len(o.Differences) == 1:
		second = fmt.Sprintf("“%s” against that: %s.", cheapest.Layout, both(cheapest))
	case cheapest == driest:
		second = fmt.Sprintf("Of the %d others “%s” both costs least and wastes least water: %s.", len(o.Differences), cheapest.Layout, both(cheapest))
	default:
		second = fmt.Sprintf("Of the %d others “%s” costs least: %s; “%s” wastes least water: %s.", len(o.Differences), cheapest.Layout, both(cheapest), driest.Layout, both(driest))
	}
	return []string{first, second}
}

// least is the layout that has least of a quantity, of those held against the
// first.
func (o *outcome) least(q sim.Quantity) *sim.Difference {
	best := &o.Differences[0]
	for i := range o.Differences {
		if d := &o.Differences[i]; d.Annual[q].Mean < best.Annual[q].Mean {
			best = d
		}
	}
	return best
}
