package main

import (
	"fmt"
	"slices"

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

// pumps shows what each pump does and what that costs, if there is any.
func (o *outcome) pumps(system units.System) *sheet {
	s := &sheet{title: "Pumps", heads: o.heads(0)}
	pumped := func(l sim.LayoutResult) bool { return l.Control != "" }
	if !slices.ContainsFunc(o.Layouts, pumped) {
		return s
	}
	row := func(label, format string, of func(l sim.LayoutResult) float64) {
		var cells []cell
		for _, l := range o.Layouts {
			c := cell{"-", ""}
			if pumped(l) {
				c.number = fmt.Sprintf(format, of(l))
			}
			cells = append(cells, c)
		}
		s.add(label, cells)
	}
	row("running, h/day", "%.2f", func(l sim.LayoutResult) float64 {
		return l.Annual[sim.PumpTime].Mean / secondsPerHour / sim.DaysPerYear
	})
	row("starts/day", "%.1f", func(l sim.LayoutResult) float64 { return l.PumpStarts / sim.DaysPerYear })
	row("energy a year, "+system.Unit(units.Energy), "%.1f", func(l sim.LayoutResult) float64 {
		return system.Convert(l.Annual[sim.PumpInput].Mean, units.Energy)
	})
	row("loop heat loss, "+system.Unit(units.Energy), "%.0f", func(l sim.LayoutResult) float64 {
		return system.Convert(l.Annual[sim.LoopLoss].Mean, units.Energy)
	})
	row("waiting a year, h", "%.1f", func(l sim.LayoutResult) float64 { return l.Annual[sim.Wait].Mean / secondsPerHour })
	row("lukewarm, h/day", "%.1f", func(l sim.LayoutResult) float64 { return l.Lukewarm / sim.DaysPerYear })
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
