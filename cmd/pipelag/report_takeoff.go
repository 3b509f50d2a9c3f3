package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pipelag/network/limits"
	"pipelag/plots"
	"pipelag/plots/report"
	"pipelag/sim"
	"pipelag/units"
)

// addTo adds the plan and the takeoff of each layout of a set to a report. What is
// not to be had of a layout is said in its place.
func (t *takenOff) addTo(r *report.Report, set plots.Set) {
	code := t.scenario.Conditions().Code.Name
	r.Building = takeoffLegend(code)
	for _, a := range t.firingAssumed() {
		r.Building += " Assumed of the " + a.text() + "."
	}
	for i := range t.layouts {
		l := &t.layouts[i]
		number := slices.Index(set.Layouts, l.Layout)
		here := report.Layout{Name: numberedName(number, l.Layout), Takeoff: l.reportTable(set.System, code)}
		document := l.document()
		plan, err := document.plan(document.mostStored())
		if err == nil {
			here.Plan, err = plots.NewPlan(set, *plan)
		}
		if err != nil {
			here.Notes = append(here.Notes, report.Item{Name: "No plan", Text: err.Error()})
		}
		if limits := l.clauseTable(set.System); limits.Rows != nil {
			here.Details = []report.Table{limits}
		}
		here.Notes = append(here.Notes, l.reportNotes(set.System, code)...)
		r.Layouts = append(r.Layouts, here)
	}
	for _, err := range t.leftOut {
		r.Layouts = append(r.Layouts, report.Layout{Name: "Left out", Notes: []report.Item{{Name: "No takeoff", Text: err.Error()}}})
	}
}

func takeoffLegend(code string) string {
	return "Before any year is lived through. Length and stored water are those from the heater to the tap. Plug flow is the wait if that water leaves like a plug, from the loop on where there is one; cold start is the engine’s wait from cold, which knows of walls and mixing, with any pump at rest. Pressure is what is left at the tap open alone, and at the demand by " + code + "; velocity is that in the fastest tube on the way, with the tap open alone. Limits are those on a fixture; all, those on tubes too, are listed by clause below each table. " + limits.Advice
}

// reportTable has what the layout comes to for each fixture as rows.
func (l *layoutOff) reportTable(system units.System, code string) *report.Table {
	t := &report.Table{Title: "Takeoff of " + l.Layout, Columns: []report.Column{
		{Name: "Fixture"},
		{Name: "Length", Unit: system.Unit(units.Length)},
		{Name: "Stored", Unit: system.Unit(units.Volume)},
		{Name: "Plug flow", Unit: "s"},
		{Name: "Cold start", Unit: "s"},
		{Name: "Pressure alone", Unit: system.Unit(units.Pressure)},
		{Name: "At " + code + " demand", Unit: system.Unit(units.Pressure)},
		{Name: "Velocity", Unit: system.Unit(units.Velocity)},
		{Name: "Limits broken"},
		{Name: "Way", Text: true},
	}}
	for i := range l.Fixtures {
		f := &l.Fixtures[i]
		value := func(si float64, d units.Dimension) report.Cell {
			return report.Cell{Text: system.Number(si, d), Order: si}
		}
		unknown := report.Cell{Text: "–", Order: math.NaN()}
		plug, pressure, peak, velocity := unknown, unknown, unknown, unknown
		cold := report.Cell{Text: "never", Order: math.NaN()}
		if start := l.starts[i]; start != nil {
			cold = report.Cell{Text: tenths(start.Wait), Order: start.Wait}
		}
		if f.Alone != nil {
			pressure, velocity = value(f.Alone.Pressure, units.Pressure), value(slices.Max(f.Alone.Velocities), units.Velocity)
			if f.Alone.Flow > 0 {
				plug = report.Cell{Text: tenths(f.Alone.Wait), Order: f.Alone.Wait}
			}
			if l.Load.Pipes != nil {
				peak = value(f.Peak, units.Pressure)
			}
		}
		t.Rows = append(t.Rows, []report.Cell{
			{Text: f.Name, Order: float64(i)},
			value(f.Length, units.Length), value(f.Volume, units.Volume),
			plug, cold, pressure, peak, velocity,
			broken(f.Verdicts),
			{Text: strings.Join(f.Way, " > ")},
		})
	}
	return t
}

// broken is how many limits a fixture breaks, of those that it is judged by.
func broken(verdicts []limits.Verdict) report.Cell {
	broken, judged := 0, 0
	for _, v := range verdicts {
		switch v.Outcome {
		case limits.Broken:
			broken++
			judged++
		case limits.Met:
			judged++
		}
	}
	return report.Cell{Text: fmt.Sprintf("%d of %d", broken, judged), Order: float64(broken)}
}

// reportNotes are the layout's sums, its tubes, its limits and what is wrong with it.
func (l *layoutOff) reportNotes(system units.System, code string) []report.Item {
	notes := []report.Item{{Name: "In all", Text: l.inAll(system, code)}, {Name: "Tubes", Text: l.tubeList(system)}}
	for _, p := range l.Problems {
		notes = append(notes, report.Item{Name: "Wrong", Text: p.What + "; " + p.Right})
	}
	if text := l.outcomeList(system); text != "" {
		notes = append(notes, report.Item{Name: "Limits", Text: text})
	}
	return notes
}

// outcomeList says how many limits are broken, which, and how many are not.
func (l *layoutOff) outcomeList(system units.System) string {
	var counts [len(outcomes)]int
	var broken, texts []string
	for _, c := range l.clauses(system) {
		counts[c.rank()]++
		if name := c.name(); c.broken != nil && !slices.Contains(broken, name) {
			broken = append(broken, name)
		}
	}
	for rank, n := range counts {
		if n > 0 {
			texts = append(texts, fmt.Sprintf("%d %s", n, outcomes[rank]))
		}
	}
	if broken != nil {
		texts[0] += " (" + strings.Join(broken, ", ") + ")"
	}
	return strings.Join(texts, "; ")
}

// clauseTable has the limits as rows.
func (l *layoutOff) clauseTable(system units.System) report.Table {
	t := report.Table{
		Title:   "Limits on " + l.Layout,
		Columns: []report.Column{{Name: "Limit"}, {Name: "Verdict", Text: true}, {Name: "On", Text: true}},
	}
	for i, c := range l.clauses(system) {
		t.Rows = append(t.Rows, []report.Cell{
			{Text: c.text(system), Order: float64(i)}, {Text: outcomes[c.rank()]}, {Text: c.on()},
		})
	}
	return t
}

// tubeList sums the lengths by tube, the longest first.
func (l *layoutOff) tubeList(system units.System) string {
	type sum struct {
		name   string
		length float64 // [m]
	}
	var sums []sum
	for _, t := range l.Tubes {
		name := t.Pipe.Tube.Kind + " " + t.Pipe.Tube.Size
		i := slices.IndexFunc(sums, func(s sum) bool { return s.name == name })
		if i < 0 {
			i = len(sums)
			sums = append(sums, sum{name: name})
		}
		sums[i].length += t.Pipe.Length
	}
	slices.SortStableFunc(sums, func(a, b sum) int { return cmp.Compare(b.length, a.length) })
	var texts []string
	for _, s := range sums {
		texts = append(texts, s.name+" "+system.Format(s.length, units.Length))
	}
	return strings.Join(texts, ", ")
}

// cautions are those of the layouts taken off, but for the advice that goes with
// every verdict.
func (t *takenOff) cautions() []sim.Caution {
	var all []sim.Caution
	for _, l := range t.layouts {
		for _, text := range l.Cautions {
			if text != limits.Advice {
				all = append(all, sim.Caution{Layout: l.Layout, Text: text})
			}
		}
	}
	return all
}
