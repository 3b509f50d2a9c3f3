package main

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pipelag/plots"
	"pipelag/plots/report"
	"pipelag/scenarios"
	"pipelag/units"
)

// reportName is the report's file in a folder of results.
const reportName = "report.html"

// question is what a report says of the question: how it was put, and of what.
type question struct {
	command  string
	scenario *scenarios.Scenario
	off      *takenOff
	system   units.System
}

// report is the result as a page that opens anywhere.
func (o *outcome) report(q question) ([]byte, error) {
	r := &report.Report{
		Title:   fmt.Sprintf("%s: %s", o.Scenario.Name, comparedLayouts(len(o.Layouts))),
		Asked:   o.asked(),
		Answer:  o.answer(q.system),
		Tables:  o.reportTables(q.system),
		Details: []report.Table{o.fixtureTable(q.system)},
		Assumed: reportAssumed(gathered(o.Assumed, o.names())),
		Origin:  report.Origin{Command: q.command, Version: o.Version, Seed: strconv.FormatUint(o.Seed, 10), Sources: []report.Source{{Name: "scenario", SHA256: o.Scenario.SHA256, Text: q.scenario.Source}}},
	}
	r.Cautions = append(slices.Clone(o.Warnings), merged(append(slices.Clone(o.Cautions), q.off.cautions()...), o.Layouts)...)
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
		figures, err := material.Draw(f.kind, set)
		if errors.Is(err, plots.ErrNoData) {
			continue // a single layout has no differences, a house of machines nobody who waits
		}
		if err != nil {
			return nil, failed(err)
		}
		r.Figures = append(r.Figures, report.Figure{Title: f.title, Figure: figures[0].Figure})
	}
	q.off.addTo(r, set)
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
		list = append(list, report.Assumption{Path: a.Path, Value: a.Value, Why: a.Why})
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
