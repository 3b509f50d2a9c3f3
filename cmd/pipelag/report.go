package main

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pipelag/plots"
	"pipelag/plots/report"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/units"
)

// reportName is the report's file in a folder of results.
const reportName = "report.html"

// question is what a report says of the question: how it was put, and of what.
type question struct {
	command  string
	scenario *scenarios.Scenario
	system   units.System
}

// commandLine is a command as one would type it again, flags in the order of the
// alphabet.
func commandLine(c *cobra.Command, args []string) string {
	words := strings.Fields(c.CommandPath())
	for _, a := range args {
		words = append(words, quoted(a))
	}
	c.Flags().Visit(func(f *pflag.Flag) {
		values := []string{f.Value.String()}
		if list, ok := f.Value.(pflag.SliceValue); ok {
			values = list.GetSlice()
		}
		for _, v := range values {
			if f.NoOptDefVal == "true" { // a switch
				words = append(words, "--"+f.Name)
				continue
			}
			words = append(words, "--"+f.Name, quoted(v))
		}
	})
	return strings.Join(words, " ")
}

// quoted is a word as a shell takes it for itself.
func quoted(word string) string {
	plain := word != "" && !strings.ContainsFunc(word, func(r rune) bool {
		return !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._/=,+:-", r)
	})
	if plain {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// report is the result as a page that opens anywhere.
func (o *outcome) report(q question) ([]byte, error) {
	r := &report.Report{
		Title:   fmt.Sprintf("%s: %s", o.Scenario.Name, comparedLayouts(len(o.Layouts))),
		Asked:   o.asked(),
		Answer:  o.answer(q.system),
		Tables:  o.reportTables(q.system),
		Details: []report.Table{o.fixtureTable(q.system)},
		Assumed: reportAssumed(o.Assumed),
		Origin:  report.Origin{Command: q.command, Version: o.Version, Seed: strconv.FormatUint(o.Seed, 10), SHA256: o.Scenario.SHA256, Source: q.scenario.Source},
	}
	r.Cautions = append(slices.Clone(o.Warnings), merged(o.Cautions, o.Layouts)...)
	material := plots.Material{Result: o.Result}
	set := plots.NewSet(o.Result, q.system, plots.OneColumn)
	for _, f := range []struct{ kind, title string }{
		{"waits", "How long people wait"},
		{"differences", "What a layout changes in a year"},
		{"water", "Where the water goes"},
		{"energy", "Where heat is lost, and the energy taken"},
		{"tradeoff", "Water against energy"},
		{"months", "Through the year"},
	} {
		figure, err := material.Draw(f.kind, set)
		if errors.Is(err, plots.ErrNoData) {
			continue // a single layout has no differences, a house of machines nobody who waits
		}
		if err != nil {
			return nil, failed(err)
		}
		r.Figures = append(r.Figures, report.Figure{Title: f.title, Figure: figure})
	}
	return written(r)
}

func written(r *report.Report) ([]byte, error) {
	var b bytes.Buffer
	err := r.Write(&b)
	return b.Bytes(), failed(err)
}

func comparedLayouts(n int) string {
	if n == 1 {
		return "a year of one layout"
	}
	return fmt.Sprintf("%d layouts compared", n)
}

func reportAssumed(all []assumption) []report.Assumption {
	var list []report.Assumption
	for _, a := range all {
		list = append(list, report.Assumption(a))
	}
	return list
}

// asked is the question: who, what, how often.
func (o *outcome) asked() []report.Item {
	var layouts, fixtures []string
	for i, l := range o.Layouts {
		layouts = append(layouts, numberedName(i, l.Name))
	}
	for _, f := range o.Layouts[0].Fixtures {
		fixtures = append(fixtures, f.Name)
	}
	items := []report.Item{
		{Name: "House", Text: o.Scenario.Name},
		{Name: "Layouts", Text: strings.Join(layouts, "; ")},
		{Name: "Fixtures", Text: strings.Join(fixtures, ", ")},
		{Name: "Years", Text: fmt.Sprintf("%s, lived through with the same wishes for water in the same weather by every layout", counted(o.Years, "simulated year"))},
	}
	if len(o.Layouts) > 1 {
		items = append(items, report.Item{Name: "Held against", Text: "layout 1, " + o.Layouts[0].Name})
	}
	return items
}

// plusMinus is a number with half its interval and its unit, for a sentence.
func (s shown) plusMinus(system units.System, currency string, i sim.Interval) string {
	mean, half := estimate(s.in(system, i.Mean), s.in(system, i.HalfWidth()), finestShown(s.in(system, i.Mean)))
	if half != "" {
		mean += "\u00a0±\u00a0" + half
	}
	return mean + "\u00a0" + s.unit(system, currency)
}

// change says a difference in words; one that may be none says so.
func (s shown) change(system units.System, currency string, i sim.Interval, less, more string) string {
	size := i
	if i.Mean < 0 {
		size = sim.Interval{Mean: -i.Mean, Low: -i.High, High: -i.Low}
		more = less
	}
	text := s.plusMinus(system, currency, size) + " " + more
	if i.Low <= 0 && i.High >= 0 {
		text += " (which may be chance)"
	}
	return text
}

// answer says in two sentences what the first layout costs and which others
// change most.
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
		return []string{first, fmt.Sprintf("The year costs %s for water and energy, of which the heater takes %s and the pipes lose %s.",
			tell(sim.Cost, base.Annual[sim.Cost]), tell(sim.HeaterInput, base.Annual[sim.HeaterInput]), tell(sim.PipeLoss, base.Annual[sim.PipeLoss]))}
	}
	changes := func(d *sim.Difference, q sim.Quantity) string {
		return quantityShown(q).change(system, o.Currency, d.Annual[q], "less", "more")
	}
	both := func(d *sim.Difference) string {
		return fmt.Sprintf("it costs %s and lets %s run to waste", changes(d, sim.Cost), changes(d, sim.Purged))
	}
	cheapest, driest := o.least(sim.Cost), o.least(sim.Purged)
	var second string
	switch {
	case len(o.Differences) == 1:
		second = fmt.Sprintf("“%s” against that: %s.", cheapest.Layout, both(cheapest))
	case cheapest == driest:
		second = fmt.Sprintf("Of the %d others “%s” both costs least and wastes least water: %s.", len(o.Differences), cheapest.Layout, both(cheapest))
	default:
		second = fmt.Sprintf("Of the %d others “%s” costs least: %s; “%s” wastes least water: %s.", len(o.Differences), cheapest.Layout, both(cheapest), driest.Layout, both(driest))
	}
	return []string{first, second}
}

// least is the layout that has least of a quantity, of those held against the
// first.
func (o *outcome) least(q sim.Quantity) *sim.Difference {
	best := &o.Differences[0]
	for i := range o.Differences {
		if d := &o.Differences[i]; d.Annual[q].Mean < best.Annual[q].Mean {
			best = d
		}
	}
	return best
}

// reportTables are the numbers of a year with their differences. Layouts are rows, so that they can be sorted by a number.
func (o *outcome) reportTables(system units.System) []report.Table {
	note := "± is half the 95 % interval of the mean over years."
	if len(o.Differences) > 0 {
		note += " Below it is the difference from layout 1 in the same years, in brackets where its interval holds 0."
	}
	if o.Years == 1 {
		note = "One year gives no intervals."
	}
	tables := []report.Table{
		{Title: "A year: water and waiting", Note: note},
		{Title: "A year: heat, energy and cost", Note: note},
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
		if q.detail {
			continue
		}
		t := of(q)
		t.Columns = append(t.Columns, report.Column{Name: capital(q.label), Unit: q.unit(system, o.Currency)})
		for i, l := range o.Layouts {
			c := report.Cell{Text: spaced(annual.rows[row].cells[i]), Order: q.in(system, l.Annual[q.quantity].Mean)}
			if i > 0 && row < len(differences.rows) {
				c.Beneath = signed(spaced(differences.rows[row].cells[i-1]))
			}
			t.Rows[i] = append(t.Rows[i], c)
		}
		row++
	}
	return tables
}

// numberedName is a layout's name after its number, on one line with it.
func numberedName(i int, name string) string { return fmt.Sprintf("%d\u00a0%s", i+1, name) }

// spaced sets a number and its interval apart.
func spaced(c cell) string {
	return strings.Replace(c.number+c.after, "±", " ± ", 1)
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

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

func (o *outcome) fixtureTable(system units.System) report.Table {
	t := report.Table{
		Title: "At the fixtures",
		Note:  "Waits are those of people who wait: half of them wait no longer than the median, nine in ten no longer than the 90th percentile.",
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
