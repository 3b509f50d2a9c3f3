package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pipelag/plots/report"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies/summary"
)

// mostSaid is how many numbers a sentence of the answer holds.
const mostSaid = 3

// answer says what the first layout takes, what the layout that takes least of what
// was asked first changes, and which are not held against the first, and why.
func (s *studyReport) answer() []string {
	if len(s.Answers) == 0 {
		return []string{"Every run failed, so there is no answer.", "The causes are told below."}
	}
	questions := s.questions()
	said := questions[:min(len(questions), mostSaid)]
	spread := quantityShown(questions[0])
	uncertain, known := s.interval()
	if known {
		uncertain = "± " + uncertain
	}
	var base []string
	for _, q := range said {
		a := of(s.Answers, q)[0]
		base = append(base, quantityShown(q).label+" "+quantityShown(q).plusMinus(s.system, s.Currency, a.Mean))
	}
	first := fmt.Sprintf("With “%s” a year comes to %s (mean of %s; %s).", s.Layouts[0], strings.Join(base, ", "), counted(s.Averaged, "case"), uncertain)
	if len(s.Layouts) == 1 {
		a := of(s.Answers, spread.quantity)[0]
		tell := func(x float64) string {
			return spread.plusMinus(s.system, s.Currency, sim.Interval{Mean: x, Low: math.NaN(), High: math.NaN()})
		}
		return []string{first, fmt.Sprintf("From case to case %s goes from %s (10th percentile) to %s (90th).", spread.label, tell(a.P10), tell(a.P90))}
	}
	out := s.leftOut()
	rivals := s.rivals(spread.quantity)
	if len(rivals) == 0 {
		return append([]string{first}, out...)
	}
	order := func(a, b summary.Answer) int { return cmp.Compare(a.Mean.Mean, b.Mean.Mean) }
	best, worst := slices.MinFunc(rivals, order), slices.MaxFunc(rivals, order)
	var changes []string
	for _, q := range said {
		for _, a := range of(s.Answers, q) {
			if a.Layout == best.Layout && a.Against != "" {
				changes = append(changes, quantityShown(q).label+" "+quantityShown(q).change(s.system, s.Currency, a.Mean, of(s.Answers, q)[0].Mean.Mean))
			}
		}
	}
	others := ofOthers(len(rivals), len(s.Layouts)-1)
	switch {
	case len(rivals) == 1:
		others = "“" + best.Layout + "” against that"
	case spread.none(s.system, sim.Interval{Mean: worst.Mean.Mean - best.Mean.Mean}, of(s.Answers, spread.quantity)[0].Mean.Mean):
		others += " none has less " + spread.label + " than another"
	default:
		others += " “" + best.Layout + "” has least " + spread.label
	}
	return append([]string{first, others + ": " + strings.Join(changes, ", ") + "."}, out...)
}

// rivals are the answers to a question of the layouts that are held against the first
// in every case.
func (s *studyReport) rivals(q sim.Quantity) []summary.Answer {
	out := make(map[string]bool) // looked up only
	for _, o := range s.LeftOut {
		out[o.Layout] = true
	}
	return slices.DeleteFunc(of(s.Answers, q), func(a summary.Answer) bool { return a.Against == "" || out[a.Layout] || out[a.Against] })
}

// interval says what ± is, if there are intervals.
func (s *studyReport) interval() (what string, known bool) {
	switch {
	case math.IsNaN(s.Answers[0].Mean.Low):
		return "one run of each gives no interval", false
	case s.cases.Study.Sampling == scenarios.Grid:
		return "half the 95 % interval of the mean over replicates", true
	}
	return "half the 95 % interval of the mean over cases", true
}

// row adds a cell for each layout: its number, and beneath it the difference from
// the first.
func (s *studyReport) row(cells []report.Cell, q shown, answers []summary.Answer) []report.Cell {
	number := func(i sim.Interval) cell { return q.cell(s.system, i, finestShown(q.in(s.system, i.Mean))) }
	for i, l := range s.Layouts {
		c := report.Cell{Text: "–", Order: math.NaN()}
		for _, a := range answers {
			switch {
			case a.Question != q.quantity || a.Layout != l:
			case a.Against == "":
				c.Text, c.Order = spaced(number(a.Mean)), q.in(s.system, a.Mean.Mean)
			case i > 0:
				c.Beneath = signed(spaced(number(a.Mean).bracketed(a.Mean))) + s.mark(l)
			}
		}
		cells = append(cells, c)
	}
	return cells
}

// addTables adds the means of all cases, their percentiles, the means by factor,
// and the indices.
func (s *studyReport) addTables() {
	if len(s.Answers) == 0 {
		return
	}
	note, known := s.interval()
	if known {
		note = "± is " + note + "."
	} else {
		note = capital(note) + "."
	}
	if len(s.Layouts) > 1 {
		note += belowIs("mean", known)
	}
	if len(s.LeftOut) > 0 {
		note += " What has a " + apartMark + " is of a layout that is not held against it in some case."
	}
	means := report.Table{Title: "A year, all cases", Note: note, Columns: []report.Column{{Name: "Layout"}}}
	for i, l := range s.Layouts {
		means.Rows = append(means.Rows, []report.Cell{{Text: numberedName(i, l), Order: float64(i + 1)}})
	}
	for _, question := range s.questions() {
		q := quantityShown(question)
		means.Columns = append(means.Columns, report.Column{Name: capital(q.label), Unit: q.unit(s.system, s.Currency)})
		for i, c := range s.row(nil, q, s.Answers) {
			means.Rows[i] = append(means.Rows[i], c)
		}
	}
	s.page.Tables = append(s.page.Tables, means)
	for k, question := range s.questions() {
		t := s.factorTable(quantityShown(question), note)
		if k == 0 {
			s.page.Tables = append(s.page.Tables, t)
		} else {
			s.page.Details = append(s.page.Details, t)
		}
	}
	s.page.Details = append(s.page.Details, s.percentiles())
	if len(s.Effects) > 0 {
		s.page.Details = append(s.page.Details, s.indexTable())
	}
}

func (s *studyReport) factorTable(q shown, note string) report.Table {
	t := report.Table{Title: capital(q.label) + " a year, by factor", Note: note, Columns: []report.Column{{Name: "Factor and value"}, {Name: "Cases"}}}
	for i, l := range s.Layouts {
		t.Columns = append(t.Columns, report.Column{Name: numberedName(i, l), Unit: q.unit(s.system, s.Currency)})
	}
	for i, g := range s.Groups {
		cells := []report.Cell{{Text: g.Factor + ": " + g.Level, Order: float64(i)}, {Text: strconv.Itoa(g.Cases), Order: float64(g.Cases)}}
		t.Rows = append(t.Rows, s.row(cells, q, g.Answers))
	}
	return t
}

func (s *studyReport) percentiles() report.Table {
	t := report.Table{
		Title:   "How the cases spread",
		Note:    "Percentiles of the cases’ means over their replicates.",
		Columns: []report.Column{{Name: "A year’s"}, {Name: "Layout", Text: true}, {Name: "10th percentile"}, {Name: "Median"}, {Name: "90th percentile"}},
	}
	for i, a := range s.Answers {
		q := quantityShown(a.Question)
		cells := []report.Cell{{Text: q.label + ", " + q.unit(s.system, s.Currency), Order: float64(i)}, {Text: s.whose(a.Response)}}
		for _, x := range []float64{a.P10, a.P50, a.P90} {
			shown := q.in(s.system, x)
			text, _ := estimate(shown, 0, finestShown(shown))
			cells = append(cells, report.Cell{Text: text, Order: shown})
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// whose answer it is, marked where that is a difference of a layout not held against the
// first.
func (s *studyReport) whose(r summary.Response) string {
	shown := responseOf(r)
	if r.Against == "" {
		return shown.name()
	}
	return shown.name() + s.mark(r.Layout)
}

func (s *studyReport) indexTable() report.Table {
	t := report.Table{
		Title:   "Which factors the spread comes from",
		Note:    "Shares of the variance over the cases, with half their 95 % intervals: by the factor alone, and with all that it interacts with.",
		Columns: []report.Column{{Name: "A year’s"}, {Name: "Layout", Text: true}, {Name: "Factor", Text: true}, {Name: "Alone"}, {Name: "With others"}},
	}
	for i, e := range s.Effects {
		for _, f := range e.Factors {
			t.Rows = append(t.Rows, []report.Cell{
				{Text: quantityShown(e.Question).label, Order: float64(i)},
				{Text: s.whose(e.Response)},
				{Text: f.Factor},
				{Text: spaced(part(f.First)), Order: f.First.Mean},
				{Text: spaced(part(f.Total)), Order: f.Total.Mean},
			})
		}
	}
	return t
}

// addFailures adds the causes of runs that failed, each with how many it stopped.
func (s *studyReport) addFailures() {
	if s.Failed == 0 {
		return
	}
	t := report.Table{
		Title:   "Runs that failed",
		Note:    "They are left out of all numbers; failures.csv tells each.",
		Columns: []report.Column{{Name: "Cause", Text: true}, {Name: "Runs"}, {Name: "First in case"}},
	}
	if n := s.Untold(); n > 0 {
		t.Note += fmt.Sprintf(" %s more failed for other causes.", counted(n, "run"))
	}
	for _, c := range s.Causes {
		first := c.FirstCase + 1
		t.Rows = append(t.Rows, []report.Cell{{Text: c.Text}, {Text: strconv.Itoa(c.Runs), Order: float64(c.Runs)}, {Text: strconv.Itoa(first), Order: float64(first)}})
	}
	s.page.Tables = append(s.page.Tables, t)
	s.page.Cautions = append(s.page.Cautions, fmt.Sprintf("%s failed, left out of all numbers; the causes are in a table above.", counted(s.Failed, "run")))
}
