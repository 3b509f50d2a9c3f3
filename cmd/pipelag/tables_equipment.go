package main

import (
	"fmt"
	"math"
	"slices"

	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/units"
)

// shows tells whether a row belongs into the tables: details only when asked
// for, or where they say what the other rows do not.
func (o *outcome) shows(q shown, verbose bool) bool {
	if !q.detail || verbose {
		return true
	}
	any := func(of ...sim.Quantity) bool {
		return slices.ContainsFunc(o.Layouts, func(l sim.LayoutResult) bool {
			return slices.ContainsFunc(of, func(q sim.Quantity) bool { return l.Annual[q].Mean != 0 })
		})
	}
	switch q.quantity {
	case sim.HeatingSaved, sim.CoolingAdded, sim.NetLoss, sim.NetEnergy, sim.NetCost, sim.NetCarbon:
		return any(sim.HeatingSaved, sim.CoolingAdded)
	case sim.Electricity, sim.Gas, sim.Wood, sim.Sun:
		carriers := 0
		for _, c := range []sim.Quantity{sim.Electricity, sim.Gas, sim.Wood, sim.Sun} {
			if any(c) {
				carriers++
			}
		}
		return carriers > 1 && any(q.quantity)
	}
	return false
}

// rowOf is how one number of a piece of equipment stands in its table.
type rowOf func(label, format string, of func(l sim.LayoutResult) float64)

// equipment is a table of what some layouts have, if any has it, and how to add its rows.
func (o *outcome) equipment(title string, has func(l sim.LayoutResult) bool) (*sheet, rowOf) {
	s := &sheet{title: title, heads: o.heads(0)}
	if !slices.ContainsFunc(o.Layouts, has) {
		return s, func(string, string, func(sim.LayoutResult) float64) {}
	}
	return s, func(label, format string, of func(l sim.LayoutResult) float64) {
		var cells []cell
		for _, l := range o.Layouts {
			c := cell{"-", ""}
			if has(l) {
				if x := of(l); !math.IsNaN(x) {
					c.number = fmt.Sprintf(format, x)
				}
			}
			cells = append(cells, c)
		}
		s.add(label, cells)
	}
}

// coldLines shows what a return through the cold line brings to it, if there is any.
func (o *outcome) coldLines(system units.System) *sheet {
	s, row := o.equipment("Cold lines that a pump sends its water back through", func(l sim.LayoutResult) bool { return l.Crossover != nil })
	litres := system.Unit(units.Volume)
	row("hottest sent in, "+system.Unit(units.Temperature), "%.1f", func(l sim.LayoutResult) float64 {
		if l.Crossover.Hottest == 0 {
			return math.NaN()
		}
		return system.Convert(l.Crossover.Hottest, units.Temperature)
	})
	for _, r := range []struct {
		label, unit, format string
		quantity            sim.Quantity
	}{
		{"over the code's 104 F, ", litres, "%.1f", sim.ColdOver},
		{"lukewarm at cold taps, ", litres, "%.1f", sim.ColdWarm},
		{"heat to cold taps, ", system.Unit(units.Energy), "%.0f", sim.ColdHeat},
		{"heat lost from it, ", system.Unit(units.Energy), "%.0f", sim.ColdLoss},
	} {
		row(r.label+r.unit, r.format, func(l sim.LayoutResult) float64 {
			return quantityShown(r.quantity).in(system, l.Annual[r.quantity].Mean)
		})
	}
	return s
}

// pumps shows what each pump does and what that costs, if there is any.
func (o *outcome) pumps(system units.System) *sheet {
	s, row := o.equipment("Pumps", func(l sim.LayoutResult) bool { return l.Control != "" })
	row("running, h/day", "%.2f", func(l sim.LayoutResult) float64 {
		return l.Annual[sim.PumpTime].Mean / secondsPerHour / schedules.DaysPerYear
	})
	row("starts/day", "%.1f", func(l sim.LayoutResult) float64 { return l.PumpStarts / schedules.DaysPerYear })
	row("energy a year, "+system.Unit(units.Energy), "%.1f", func(l sim.LayoutResult) float64 {
		return system.Convert(l.Annual[sim.PumpInput].Mean, units.Energy)
	})
	row("loop heat loss, "+system.Unit(units.Energy), "%.0f", func(l sim.LayoutResult) float64 {
		return system.Convert(l.Annual[sim.LoopLoss].Mean, units.Energy)
	})
	row("waiting a year, h", "%.1f", func(l sim.LayoutResult) float64 { return l.Annual[sim.Wait].Mean / secondsPerHour })
	row("some of the loop lukewarm, h/day", "%.1f", func(l sim.LayoutResult) float64 { return l.Lukewarm / schedules.DaysPerYear })
	return s
}

// legs shows what stands in the pipe to each fixture alone, and for how long.
func (o *outcome) legs(system units.System) *sheet {
	s := &sheet{title: "Dead legs, " + system.Unit(units.Volume) + "/longest rest, h", heads: o.heads(0)}
	for k, f := range o.Layouts[0].Fixtures {
		var cells []cell
		for _, l := range o.Layouts {
			f := l.Fixtures[k]
			cells = append(cells, cell{fmt.Sprintf("%.2f", system.Convert(f.Leg*thousandth, units.Volume)), fmt.Sprintf("/%.0f", f.LongestRest)})
		}
		s.add(f.Name, cells)
	}
	return s
}
