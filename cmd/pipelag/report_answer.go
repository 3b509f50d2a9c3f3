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

// answer says what the first layout costs, which others change most, and which
// are left out since they serve less.
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
	if o.ServesLess(0) {
		return []string{first, fmt.Sprintf("No other is held against that: with “%s” fixtures get less water at this pressure than with another layout, as the cautions say.", base.Name)}
	}
	rivals, out := o.rivals()
	said := []string{first}
	if len(rivals) > 0 {
		said = append(said, o.best(system, rivals))
	}
	if out != nil {
		said = append(said, fmt.Sprintf("Left out of the running, since fixtures get less water at this pressure than with another layout, as the cautions say: “%s”.", strings.Join(out, "”, “")))
	}
	return said
}

// rivals are the layouts that may be held against the first, and the names of those
// that serve less.
func (o *outcome) rivals() (rivals []*sim.Difference, out []string) {
	for i := range o.Differences {
		if d := &o.Differences[i]; o.ServesLess(i + 1) {
			out = append(out, d.Layout)
		} else {
			rivals = append(rivals, d)
		}
	}
	return rivals, out
}

// best says which layouts held against the first, one at least, change most.
func (o *outcome) best(system units.System, rivals []*sim.Difference) string {
	changes := func(d *sim.Difference, q sim.Quantity) string {
		return quantityShown(q).change(system, o.Currency, d.Annual[q])
	}
	both := func(d *sim.Difference) string {
		return fmt.Sprintf("it costs %s and lets %s run to waste", changes(d, sim.Cost), changes(d, sim.Purged))
	}
	others := fmt.Sprintf("Of the %d others", len(rivals))
	if len(rivals) < len(o.Differences) {
		others = fmt.Sprintf("Of the %d others that serve as much", len(rivals))
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
