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
	why := "the heater has no store: it "
	if f.Delay > 0 {
		why += fmt.Sprintf("fires %s after the flow begins and ", units.Span(f.Delay))
	}
	why += "warms itself first"
	if !math.IsInf(f.MostFlow, 1) {
		why += fmt.Sprintf("; its power heats up to %s from the coldest mains, %s, and more never gets to the set point, %s, then", units.Both(f.MostFlow, units.Flow), units.Both(f.Coldest, units.Temperature), units.Both(f.Setpoint, units.Temperature))
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
	return []assumption{{Path: "mains", Value: units.Both(f.Mean, units.Temperature) + ", their mean of the year", Why: why}}
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
	most := func(mains float64) string { return shown(t.firing.Gives(t.Flow*thousandth, mains), units.Temperature) }
	if t.firing.Gives(t.Flow*thousandth, t.firing.Coldest) >= t.Setpoint {
		return ""
	}
	return fmt.Sprintf("At this flow the heater gives %s at the most, and %s while the mains are coldest.", most(t.firing.Mean), most(t.firing.Coldest))
}
