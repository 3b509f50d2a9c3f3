package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"pipelag/plots/report"
	"pipelag/sim"
	"pipelag/units"
)

// reportTables are the numbers of a year with their differences. Layouts are rows, so that they can be sorted by a number.
func (o *outcome) reportTables(system units.System) []report.Table {
	note := "± is half the 95 % interval of the mean over years."
	switch {
	case o.Years == 1:
		note = "One year gives no intervals."
	case o.same():
		note = "All years are the same, so their 95 % intervals have no width, which does not say how sure the numbers are."
	}
	if len(o.Differences) > 0 {
		note += belowIs("number", o.Years > 1)
	}
	marks, some := o.marks()
	if some {
		note += " What has a " + apartMark + " is of a layout that is not held against it."
	}
	tables := []report.Table{
		{Title: "A year: water and waiting", Note: note},
		{Title: "A year: heat, energy and cost", Note: note + " " + o.reading(false)},
	}
	of := func(s shown) *report.Table {
		if s.kind == water || s.kind == hours {
			return &tables[0]
		}
		return &tables[1]
	}
	for k := range tables {
		tables[k].Columns = []report.Column{{Name: "Layout"}}
		for i, l := range o.Layouts {
			tables[k].Rows = append(tables[k].Rows, []report.Cell{{Text: numberedName(i, l.Name), Order: float64(i + 1)}})
		}
	}
	annual, differences := o.annual(system, false), o.differences(system, false)
	row := 0
	for _, q := range quantitiesShown {
		if !o.shows(q, false) {
			continue
		}
		t := of(q)
		t.Columns = append(t.Columns, report.Column{Name: capital(q.label), Unit: q.unit(system, o.Currency)})
		for i, l := range o.Layouts {
			c := report.Cell{Text: spaced(annual.rows[row].cells[i]), Order: q.in(system, l.Annual[q.quantity].Mean)}
			if i > 0 && row < len(differences.rows) {
				c.Beneath = signed(spaced(differences.rows[row].cells[i-1])) + marks[i]
			}
			t.Rows[i] = append(t.Rows[i], c)
		}
		row++
	}
	if pumps := o.pumps(system); len(pumps.rows) > 0 {
		tables = append(tables, o.equipmentTable(pumps, "Control", func(l sim.LayoutResult) string { return l.Control }))
	}
	if cold := o.coldLines(system); len(cold.rows) > 0 {
		tables = append(tables, o.equipmentTable(cold, "Crossover", func(l sim.LayoutResult) string {
			if l.Crossover == nil {
				return ""
			}
			return l.Crossover.At
		}))
	}
	return tables
}

// equipmentTable is a sheet of equipment with the layouts that have some as rows,
// each with a word for what it is.
func (o *outcome) equipmentTable(s *sheet, what string, is func(l sim.LayoutResult) string) report.Table {
	t := report.Table{Title: s.title, Columns: []report.Column{{Name: "Layout"}, {Name: what, Text: true}}}
	for _, r := range s.rows {
		name, unit, _ := strings.Cut(r.label, ", ")
		t.Columns = append(t.Columns, report.Column{Name: capital(name), Unit: unit})
	}
	for i, l := range o.Layouts {
		if is(l) == "" {
			continue
		}
		row := []report.Cell{{Text: numberedName(i, l.Name), Order: float64(i + 1)}, {Text: is(l)}}
		for _, r := range s.rows {
			number := r.cells[i].number
			order, err := strconv.ParseFloat(number, 64)
			if err != nil {
				order = math.NaN()
			}
			row = append(row, report.Cell{Text: number, Order: order})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// numberedName is a layout's name after its number, on one line with it.
func numberedName(i int, name string) string { return fmt.Sprintf("%d\u00a0%s", i+1, name) }

// spaced sets a number and its interval apart.
func spaced(c cell) string {
	return strings.Replace(c.number+c.after, "±", " ± ", 1)
}

// belowIs says of a table what stands below a number, or a mean, as it is called.
func belowIs(called string, intervals bool) string {
	text := " Below a " + called + " is the difference from layout 1 in the same years"
	if intervals {
		text += ", in brackets where its interval holds 0"
	}
	return text + "."
}

// signed shows the sign of a difference, with a true minus.
func signed(text string) string {
	number := strings.TrimPrefix(text, "(")
	bracket := text[:len(text)-len(number)]
	switch {
	case strings.HasPrefix(number, "-"):
		return bracket + "−" + number[1:]
	case strings.Trim(number, "0.") == "":
		return text
	}
	return bracket + "+" + number
}

func (o *outcome) fixtureTable(system units.System) report.Table {
	t := report.Table{
		Title: "At the fixtures",
		Note:  "Waits are of the draws of people who wait for usable water, 0 where it is there at once: half of them wait no longer than the median, nine in ten no longer than the 90th percentile.",
		Columns: []report.Column{
			{Name: "Layout"},
			{Name: "Fixture", Text: true},
			{Name: "Draws", Unit: "a day"},
			{Name: "Median wait", Unit: "s"},
			{Name: "90th percentile", Unit: "s"},
			{Name: "Never hot", Unit: "% of draws"},
			{Name: "Purged", Unit: system.Unit(units.Volume) + " a draw"},
		},
	}
	for i, l := range o.Layouts {
		for _, f := range l.Fixtures {
			wait := func(v float64) report.Cell {
				if f.WaitingDraws == 0 {
					return report.Cell{Text: "–", Order: math.NaN()}
				}
				return report.Cell{Text: fmt.Sprintf("%.0f", v), Order: v}
			}
			purged := system.Convert(f.PurgedPerDraw*thousandth, units.Volume)
			t.Rows = append(t.Rows, []report.Cell{
				{Text: numberedName(i, l.Name), Order: float64(i + 1)},
				{Text: f.Name},
				{Text: fmt.Sprintf("%.2f", f.DrawsPerDay), Order: f.DrawsPerDay},
				wait(f.Waits.P50), wait(f.Waits.P90),
				{Text: fmt.Sprintf("%.0f", 100*f.NeverHot), Order: f.NeverHot},
				{Text: fmt.Sprintf("%.2f", purged), Order: purged},
			})
		}
	}
	return t
}
