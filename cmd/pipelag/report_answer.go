package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

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

// answer says what the first layout costs, which others change most, and which are
// not held against it, and why.
func (o *outcome) answer(system units.System) []string {
	base := &o.Layouts[0]
	tell := func(q sim.Quantity, i sim.Interval) string {
		return quantityShown(q).plusMinus(system, o.Currency, i)
	}
	how := fmt.Sprintf("means of %d simulated years, ± half their 95 %% interval", o.Years)
	if o.Years == 1 {
		how = "of one simulated year, which gives no interval"
	}
	said := []string{fmt.Sprintf("With “%s” people wait %s a year for usable hot water while %s run to waste (%s).",
		base.Name, tell(sim.Wait, base.Annual[sim.Wait]), tell(sim.Purged, base.Annual[sim.Purged]), how)}
	if o.ServesLess(0) {
		return append(said, fmt.Sprintf("No other is held against that: with “%s” fixtures get less water at this pressure than with another layout, as the cautions say.", base.Name))
	}
	rivals, less, unlike := o.rivals()
	if len(rivals) > 0 {
		said = append(said, o.best(system, rivals))
	} else {
		said = append(said, fmt.Sprintf("The year’s water and energy cost %s; the heater takes %s, and the pipes lose %s.",
			tell(sim.Cost, base.Annual[sim.Cost]), tell(sim.HeaterInput, base.Annual[sim.HeaterInput]), tell(sim.PipeLoss, base.Annual[sim.PipeLoss])))
	}
	if less != nil {
		said = append(said, fmt.Sprintf("Left out of the running, since fixtures get less water at this pressure than with another layout, as the cautions say: “%s”.", strings.Join(less, "”, “")))
	}
	if unlike != nil {
		said = append(said, fmt.Sprintf("Not held against that: “%s”; a cold line with a crossover takes up heat of its surroundings, which is left out where there is no crossover.", strings.Join(unlike, "”, “")))
	}
	return said
}

// rivals are the layouts that may be held against the first, and the names of those
// that may not: those that serve less, and those of which one of the two returns
// through the cold line and the other does not.
func (o *outcome) rivals() (rivals []*sim.Difference, less, unlike []string) {
	crosses := func(layout int) bool { return o.Layouts[layout].Crossover != nil }
	for i := range o.Differences {
		switch d := &o.Differences[i]; {
		case o.ServesLess(i + 1):
			less = append(less, d.Layout)
		case crosses(i+1) != crosses(0):
			unlike = append(unlike, d.Layout)
		default:
			rivals = append(rivals, d)
		}
	}
	return rivals, less, unlike
}

// best says which of the layouts held against the first, one at least, change most.
func (o *outcome) best(system units.System, rivals []*sim.Difference) string {
	changes := func(d *sim.Difference, q sim.Quantity) string {
		return quantityShown(q).change(system, o.Currency, d.Annual[q])
	}
	both := func(d *sim.Difference) string {
		return fmt.Sprintf("it costs %s and lets %s run to waste", changes(d, sim.Cost), changes(d, sim.Purged))
	}
	others := fmt.Sprintf("Of the %d others", len(rivals))
	if len(rivals) < len(o.Differences) {
		others += " that may be held against it"
	}
	cheapest, driest := least(rivals, sim.Cost), least(rivals, sim.Purged)
	switch {
	case len(rivals) == 1:
		return fmt.Sprintf("“%s” against that: %s.", cheapest.Layout, both(cheapest))
	case cheapest == driest:
		return fmt.Sprintf("%s “%s” both costs least and wastes least water: %s.", others, cheapest.Layout, both(cheapest))
	}
	return fmt.Sprintf("%s “%s” costs least: %s; “%s” wastes least water: %s.", others, cheapest.Layout, both(cheapest), driest.Layout, both(driest))
}

// least is the one of some layouts held against the first that has least of a
// quantity.
func least(rivals []*sim.Difference, q sim.Quantity) *sim.Difference {
	return slices.MinFunc(rivals, func(a, b *sim.Difference) int { return cmp.Compare(a.Annual[q].Mean, b.Annual[q].Mean) })
}
