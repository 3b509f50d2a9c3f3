package main

import (
	"fmt"
	"math"
	"slices"

	"pipelag/plots"
	"pipelag/plots/report"
	"pipelag/sim"
	"pipelag/units"
)

// report is the openings as a page that opens anywhere.
func (t *traced) report() ([]byte, error) {
	shown := t.units.Format
	r := &report.Report{
		Title: fmt.Sprintf("%s: %s, %s", t.scenario.Name, t.Fixture, t.Layout),
		Asked: []report.Item{
			{Name: "House", Text: t.scenario.Name},
			{Name: "Layout", Text: t.Layout},
			{Name: "Tap", Text: fmt.Sprintf("%s, opened for %s of hot water, %s", t.Fixture, shown(t.Flow*thousandth, units.Flow), t.flowTaken(shown))},
			{Name: "Usable", Text: "from " + shown(t.Usable, units.Temperature)},
			{Name: "Heater", Text: "set to " + shown(t.Setpoint, units.Temperature)},
			{Name: "In the pipes", Text: shown(t.Stored/1000, units.Volume)},
		},
		Tables:   []report.Table{t.openingTable(), t.wayTable()},
		Cautions: t.cautionsOf(t.Layout),
		Assumed:  append(t.assumedOf(t.Layout), reportAssumed(firingAssumed(t.firing, nil, nil))...),
		Origin:   t.origin(""),
	}
	last := &t.Openings[len(t.Openings)-1]
	first := t.why(&t.Openings[0])
	if len(t.Openings) > 1 {
		r.Answer = []string{first, t.why(last)}
	} else {
		r.Answer = []string{first, fmt.Sprintf("That runs %s to waste.", t.purged(last))}
	}
	r.Answer[1] += " Nothing of it is drawn by lot, so the numbers have no interval; they hold for this flow and for surroundings at their mean of the year."
	for _, said := range []string{t.pumpSaid(), t.firingSaid(shown)} {
		if said != "" {
			r.Answer = append(r.Answer, said)
		}
	}
	material := plots.Material{Traces: []*sim.Trace{t.Trace}}
	for _, f := range []struct{ kind, title string }{
		{"tap", "At the tap"},
		{"profiles", "Along the way"},
	} {
		figures, err := material.Draw(f.kind, t.set())
		if err != nil {
			return nil, failed(err)
		}
		r.Figures = append(r.Figures, report.Figure{Title: f.title, Figure: figures[0].Figure})
	}
	return written(r)
}

// purged is the water that runs before it is usable, in words.
func (t *traced) purged(o *sim.Opening) string {
	if o.Purged == nil {
		return "all of the water"
	}
	return t.units.Format(*o.Purged/1000, units.Volume)
}

// openingTable has the openings as rows.
func (t *traced) openingTable() report.Table {
	degrees, volume := t.units.Unit(units.Temperature), t.units.Unit(units.Volume)
	table := report.Table{
		Title: "Openings",
		Note:  "The wait is the sum of what it takes by plug flow alone and of what each effect adds to those before it.",
		Columns: []report.Column{
			{Name: "Opening"},
			{Name: "At the heater before", Unit: degrees},
			{Name: "Midway before", Unit: degrees},
			{Name: "At the tap before", Unit: degrees},
			{Name: "Wait", Unit: "s"},
			{Name: "Plug flow", Unit: "s"},
			{Name: "Warming the wall", Unit: "s"},
			{Name: "Loss", Unit: "s"},
			{Name: "Mixing", Unit: "s"},
			{Name: "Purged", Unit: volume},
		},
	}
	fires := t.firing != nil
	if fires {
		table.Columns = slices.Insert(table.Columns, len(table.Columns)-1, report.Column{Name: "Heater", Unit: "s"})
	}
	for i := range t.Openings {
		o := &t.Openings[i]
		warmth := func(c float64) report.Cell {
			return report.Cell{Text: t.units.Number(c, units.Temperature), Order: c}
		}
		seconds := func(s *float64, unknown string) report.Cell {
			if s == nil {
				return report.Cell{Text: unknown, Order: math.NaN()}
			}
			return report.Cell{Text: tenths(*s), Order: *s}
		}
		purged := report.Cell{Text: "–", Order: math.NaN()}
		if o.Purged != nil {
			purged = report.Cell{Text: t.units.Number(*o.Purged/1000, units.Volume), Order: *o.Purged}
		}
		row := []report.Cell{
			{Text: plots.Opened(o), Order: float64(i)},
			warmth(o.Before.HeaterEnd), warmth(o.Before.Middle), warmth(o.Before.TapEnd),
			seconds(o.Wait, "never"),
			seconds(o.Parts.Plug, "–"), seconds(o.Parts.Wall, "–"), seconds(o.Parts.Loss, "–"), seconds(o.Parts.Dispersion, "–"),
			purged,
		}
		if fires {
			row = slices.Insert(row, len(row)-1, seconds(o.Parts.Heater, "–"))
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

// wayTable has the pipes from the heater to the tap as rows.
func (t *traced) wayTable() report.Table {
	table := report.Table{
		Title: "The way from the heater",
		Note:  "Heat capacities of water and wall; conductance from the water to the wall at the flow, and from the wall to the surroundings at the set point.",
		Columns: []report.Column{
			{Name: "Pipe"},
			{Name: "Length", Unit: t.units.Unit(units.Length)},
			{Name: "Bore", Unit: t.units.Unit(units.Thickness)},
			{Name: "Water", Unit: "J/(m K)"},
			{Name: "Wall", Unit: "J/(m K)"},
			{Name: "To the wall", Unit: "W/(m K)"},
			{Name: "To the surroundings", Unit: "W/(m K)"},
		},
	}
	for i, p := range t.Pipes {
		table.Rows = append(table.Rows, []report.Cell{
			{Text: p.From + " > " + p.To, Order: float64(i)},
			{Text: t.units.Number(p.Length, units.Length), Order: p.Length},
			{Text: t.units.Number(p.Inside/1000, units.Thickness), Order: p.Inside},
			{Text: fmt.Sprintf("%.0f", p.Water), Order: p.Water},
			{Text: fmt.Sprintf("%.0f", p.Wall), Order: p.Wall},
			{Text: fmt.Sprintf("%.1f", p.Inner), Order: p.Inner},
			{Text: fmt.Sprintf("%.3f", p.Outer), Order: p.Outer},
		})
	}
	return table
}
