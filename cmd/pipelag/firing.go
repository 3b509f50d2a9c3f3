package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pipelag/sim"
	"pipelag/units"
)

// firingAssumed is what a takeoff and a trace assume of a heater without a store, and
// of the fixtures opened at flows that it does not heat; nil for one with a store.
func firingAssumed(f *sim.Firing, tooMuch, tooLittle []string) []assumption {
	if f == nil {
		return nil
	}
	begins := "warms itself first"
	if f.Delay > 0 {
		begins = fmt.Sprintf("fires %s after the flow begins and %s", span(f.Delay), begins)
	}
	why := "a heater without a store " + begins + ": people wait longer than is said here, as pipelag run reckons"
	if !math.IsInf(f.MostFlow, 1) {
		why += fmt.Sprintf("; its power heats up to %s from the coldest mains, %s, and more never gets to the set point then", units.Both(f.MostFlow, units.Flow), units.Both(f.Coldest, units.Temperature))
		if tooMuch != nil {
			why += ", as at " + strings.Join(tooMuch, ", ")
		}
	}
	if f.LeastFlow > 0 {
		why += fmt.Sprintf("; less than %s it does not heat at all", units.Both(f.LeastFlow, units.Flow))
		if tooLittle != nil {
			why += ", as at " + strings.Join(tooLittle, ", ")
		}
	}
	return []assumption{{"heater", "water at the set point, " + units.Both(f.Setpoint, units.Temperature) + ", as soon as it flows", why}}
}

// firingAssumed is what the takeoff assumes of the heater.
func (t *takenOff) firingAssumed() []assumption {
	var tooMuch, tooLittle []string
	add := func(to *[]string, name string) {
		if !slices.Contains(*to, name) {
			*to = append(*to, name)
		}
	}
	for _, l := range t.layouts {
		for _, f := range l.Fixtures {
			switch {
			case t.firing == nil || f.Alone == nil:
			case f.Alone.Flow > t.firing.MostFlow:
				add(&tooMuch, f.Name)
			case f.Alone.Flow < t.firing.LeastFlow:
				add(&tooLittle, f.Name)
			}
		}
	}
	return firingAssumed(t.firing, tooMuch, tooLittle)
}

// firingSaid says that the flow of the tap is one that the heater does not heat, with
// values as they are to be shown; it is empty where it does.
func (t *traced) firingSaid(shown func(si float64, d units.Dimension) string) string {
	if t.firing == nil {
		return ""
	}
	given := t.firing.Gives(t.Flow * thousandth)
	if given >= t.Setpoint {
		return ""
	}
	return fmt.Sprintf("At this flow the heater gives %s at the most while the mains are coldest, and not the set point that is reckoned with here.", shown(given, units.Temperature))
}
