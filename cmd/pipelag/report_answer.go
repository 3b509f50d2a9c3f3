package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"pipelag/sim"
	"pipelag/studies"
	"pipelag/units"
)

// plusMinus is a number with half its interval and its unit, for a sentence.
func (s shown) plusMinus(system units.System, currency string, i sim.Interval) string {
	mean, half := s.estimate(system, i, i.Mean)
	if half != "" {
		mean += "\u00a0±\u00a0" + half
	}
	return mean + "\u00a0" + s.unit(system, currency)
}

// estimate is a number and half its interval as text, no finer than what sums of the
// size of a base tell.
func (s shown) estimate(system units.System, i sim.Interval, base float64) (mean, half string) {
	return estimate(s.in(system, i.Mean), s.in(system, i.HalfWidth()), finestShown(s.in(system, base)))
}

// none tells whether a difference from a base is none that would be shown.
func (s shown) none(system units.System, i sim.Interval, base float64) bool {
	mean, half := s.estimate(system, i, base)
	return mean == "0" && half == ""
}

// change says a difference from a base in words; one that may be none says so.
func (s shown) change(system units.System, currency string, i sim.Interval, base float64) string {
	if s.none(system, i, base) {
		return "the same"
	}
	size, way := i, " more"
	if i.Mean < 0 {
		size, way = sim.Interval{Mean: -i.Mean, Low: -i.High, High: -i.Low}, " less"
	}
	if mean, half := s.estimate(system, size, size.Mean); mean == "0" {
		return "the same within ±\u00a0" + half + "\u00a0" + s.unit(system, currency)
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
	switch {
	case o.Years == 1:
		how = "of one simulated year, which gives no interval"
	case o.same():
		how = fmt.Sprintf("of %d simulated years, all the same", o.Years)
	}
	said := []string{fmt.Sprintf("With “%s” people wait %s a year for usable hot water while %s run to waste (%s).",
		base.Name, tell(sim.Wait, base.Annual[sim.Wait]), tell(sim.Purged, base.Annual[sim.Purged]), how)}
	unlike := o.Unlike()
	rivals := o.rivals(unlike)
	if len(rivals) > 0 {
		said = append(said, o.best(system, rivals))
	} else if unlike[0] == sim.Alike {
		said = append(said, fmt.Sprintf("The year’s water and energy cost %s; the heater takes %s, and the pipes lose %s.",
			tell(sim.Cost, base.Annual[sim.Cost]), tell(sim.HeaterInput, base.Annual[sim.HeaterInput]), tell(sim.PipeLoss, base.Annual[sim.PipeLoss])))
	}
	return append(said, o.leftOut()...)
}

// leftOut says which layouts are not held against the first, and why.
func (o *outcome) leftOut() []string {
	return leftOut(o.Layouts[0].Name, notHeld(o.Result), 1, "case")
}

// notHeld are the layouts of a result that are not held against its first.
func notHeld(r *sim.Result) []studies.LeftOut {
	var out []studies.LeftOut
	for i, why := range r.Unlike() {
		if why != sim.Alike {
			out = append(out, studies.LeftOut{Layout: r.Layouts[i].Name, Why: why, Cases: 1})
		}
	}
	return out
}

// rivals are the layouts that are held against the first.
func (o *outcome) rivals(unlike []sim.Unlike) []*sim.Difference {
	var rivals []*sim.Difference
	for i := range o.Differences {
		if unlike[i+1].Against(unlike[0]) == sim.Alike {
			rivals = append(rivals, &o.Differences[i])
		}
	}
	return rivals
}

// leftOut says which layouts are not held against the first, and why; with in how
// many of so many cases, as they are called, where it is not in all.
func leftOut(first string, out []studies.LeftOut, of int, called string) []string {
	const less = "fixtures get less water at the pressure there is than with another layout"
	var said, short, cold []string
	for _, o := range out {
		name := "“" + o.Layout + "”"
		if o.Cases < of {
			name += fmt.Sprintf(" (in %d of %s)", o.Cases, counted(of, called))
		}
		switch {
		case o.Layout == first:
			said = append(said, fmt.Sprintf("No other is held against %s: with it %s.", name, less))
			if o.Cases == of {
				return said
			}
		case o.Why == sim.ServesLess:
			short = append(short, name)
		default:
			cold = append(cold, name)
		}
	}
	if short != nil {
		said = append(said, fmt.Sprintf("Left out of the running, since %s: %s.", less, strings.Join(short, ", ")))
	}
	if cold != nil {
		said = append(said, fmt.Sprintf("Not held against “%s”: %s; a cold line with a crossover takes up heat of its surroundings, which is left out where there is no crossover.", first, strings.Join(cold, ", ")))
	}
	return said
}

// best says which of the layouts held against the first, one at least, change most.
func (o *outcome) best(system units.System, rivals []*sim.Difference) string {
	changes := func(d *sim.Difference, q sim.Quantity) string {
		return quantityShown(q).change(system, o.Currency, d.Annual[q], o.Layouts[0].Annual[q].Mean)
	}
	both := func(d *sim.Difference) string {
		return fmt.Sprintf("it costs %s and lets %s run to waste", changes(d, sim.Cost), changes(d, sim.Purged))
	}
	others := ofOthers(len(rivals), len(o.Differences))
	cheapest, driest := o.least(system, rivals, sim.Cost), o.least(system, rivals, sim.Purged)
	switch {
	case len(rivals) == 1:
		return fmt.Sprintf("“%s” against that: %s.", rivals[0].Layout, both(rivals[0]))
	case cheapest == nil && driest == nil:
		return fmt.Sprintf("%s none costs or wastes less than another: %s.", others, both(rivals[0]))
	case cheapest == nil:
		return fmt.Sprintf("%s “%s” wastes least water: %s.", others, driest.Layout, both(driest))
	case driest == nil:
		return fmt.Sprintf("%s “%s” costs least: %s.", others, cheapest.Layout, both(cheapest))
	case cheapest == driest:
		return fmt.Sprintf("%s “%s” both costs least and wastes least water: %s.", others, cheapest.Layout, both(cheapest))
	}
	return fmt.Sprintf("%s “%s” costs least: %s; “%s” wastes least water: %s.", others, cheapest.Layout, both(cheapest), driest.Layout, both(driest))
}

// ofOthers begins a sentence on the layouts held against the first.
func ofOthers(held, all int) string {
	text := fmt.Sprintf("Of the %d others", held)
	if held < all {
		text += " that may be held against it"
	}
	return text
}

// least is the one of some layouts held against the first that has least of a
// quantity; none where all have as much.
func (o *outcome) least(system units.System, rivals []*sim.Difference, q sim.Quantity) *sim.Difference {
	order := func(a, b *sim.Difference) int { return cmp.Compare(a.Annual[q].Mean, b.Annual[q].Mean) }
	least, most := slices.MinFunc(rivals, order), slices.MaxFunc(rivals, order)
	apart := sim.Interval{Mean: most.Annual[q].Mean - least.Annual[q].Mean}
	if quantityShown(q).none(system, apart, o.Layouts[0].Annual[q].Mean) {
		return nil
	}
	return least
}
