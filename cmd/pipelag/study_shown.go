package main

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"

	"pipelag/sim"
	"pipelag/studies/store"
	"pipelag/studies/summary"
	"pipelag/studies/tables"
	"pipelag/units"
)

// studied is what a study came to, and what it was.
type studied struct {
	*summary.Summary
	store.Manifest
}

// heads are those of columns for each layout and each difference, by number.
func (s *studied) heads() []string {
	var heads []string
	for i := range s.Layouts {
		heads = append(heads, strconv.Itoa(i+1))
	}
	for i := range s.Layouts[1:] {
		heads = append(heads, s.lessFirst(i+1))
	}
	return heads
}

// lessFirst heads the differences of layout i, counted from 0, from the first.
func (s *studied) lessFirst(i int) string {
	return fmt.Sprintf("%d-1%s", i+1, s.mark(s.Layouts[i]))
}

// mark marks the differences of a layout that is not held against the first in some case.
func (s *studied) mark(layout string) string {
	for _, o := range s.LeftOut {
		if o.Layout == layout || o.Layout == s.Layouts[0] {
			return apartMark
		}
	}
	return ""
}

// questions are the annual numbers that are answered, in order.
func (s *studied) questions() []sim.Quantity {
	var all []sim.Quantity
	for _, a := range s.Answers {
		if len(all) == 0 || all[len(all)-1] != a.Question {
			all = append(all, a.Question)
		}
	}
	return all
}

// replicates is how many each case has, or has at most.
func (s *studied) replicates() string {
	text := counted(s.Manifest.Replicates, "replicate")
	if s.Precision != "" {
		text = "up to " + text
	}
	return text
}

// page is a study's summary as text.
func (s *studied) page(system units.System) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s: %s, %s each; %s, %d failed\n", s.Name, counted(s.Summary.Cases, "case"), s.replicates(), counted(s.Runs, "run"), s.Failed)
	fmt.Fprintf(&b, "pipelag %s, study sha256 %.12s\n\n", s.Version, s.Study)
	for i, l := range s.Layouts {
		fmt.Fprintf(&b, "  %d  %s\n", i+1, l)
	}
	s.writeCauses(&b)
	for i, text := range s.leftOut() {
		if i == 0 {
			b.WriteByte('\n')
		}
		writeNote(&b, "", text)
	}
	if len(s.LeftOut) > 0 {
		writeNote(&b, "", "Differences of a layout that is not held against the first, in some case at least, have a "+apartMark+".")
	}
	for _, q := range s.questions() {
		s.spread(system, quantityShown(q)).write(&b)
		s.byFactor(system, quantityShown(q)).write(&b)
		s.indices(quantityShown(q), "Share of the variance of %s over the cases: each factor alone", func(f summary.FactorEffect) sim.Interval { return f.First }).write(&b)
		s.indices(quantityShown(q), "Share of the variance of %s over the cases: each factor with all it interacts with", func(f summary.FactorEffect) sim.Interval { return f.Total }).write(&b)
		s.pairs(quantityShown(q)).write(&b)
	}
	s.pairing().write(&b)
	for i, note := range s.Notes {
		if i == 0 {
			b.WriteString("\nDoubts\n")
		}
		writeNote(&b, "- ", note)
	}
	return b.Bytes()
}

// writeCauses says why runs failed.
func (s *studied) writeCauses(b *bytes.Buffer) {
	if s.Failed == 0 {
		return
	}
	b.WriteString("\nRuns that failed, left out of all numbers\n")
	for _, c := range s.Causes {
		writeNote(b, "- ", fmt.Sprintf("%s, first in case %d: %s", counted(c.Runs, "run"), c.FirstCase+1, c.Text))
	}
	if n := s.Untold(); n > 0 {
		writeNote(b, "- ", counted(n, "run")+" for other causes: failures.csv tells all")
	}
}

// leftOut says which layouts are not held against the first, and why.
func (s *studied) leftOut() []string {
	return leftOut(s.Layouts[0], s.LeftOut, s.Answered, "case")
}

// of are the answers to one question among some.
func of(answers []summary.Answer, q sim.Quantity) []summary.Answer {
	var found []summary.Answer
	for _, a := range answers {
		if a.Question == q {
			found = append(found, a)
		}
	}
	return found
}

func (s *studied) spread(system units.System, q shown) *sheet {
	answers := of(s.Answers, q.quantity)
	mean := "mean"
	if slices.ContainsFunc(answers, func(a summary.Answer) bool { return !math.IsNaN(a.Mean.Low) }) {
		mean = "mean ± half its 95 % interval"
	}
	t := &sheet{title: capital(q.labelled(system, s.Currency)) + ", a year: " + mean + ", percentiles of the cases", heads: []string{"mean", "10th", "50th", "90th"}}
	heads := s.heads()
	for i, a := range answers {
		cells := []cell{q.cell(system, a.Mean, finestShown(q.in(system, a.Mean.Mean)))}
		for _, x := range []float64{a.P10, a.P50, a.P90} {
			shown := q.in(system, x)
			text, _ := estimate(shown, 0, finestShown(shown))
			cells = append(cells, cell{text, ""})
		}
		t.add(heads[i], cells)
	}
	return t
}

func (s *studied) byFactor(system units.System, q shown) *sheet {
	t := &sheet{title: capital(q.labelled(system, s.Currency)) + ", by factor", heads: append([]string{"cases"}, s.heads()...)}
	for _, g := range s.Groups {
		answers := of(g.Answers, q.quantity)
		if len(answers) == 0 {
			continue
		}
		cells := []cell{{strconv.Itoa(g.Cases), ""}}
		for _, a := range answers {
			cells = append(cells, q.cell(system, a.Mean, finestShown(q.in(system, a.Mean.Mean))))
		}
		t.add(g.Factor+": "+g.Level, cells)
	}
	return t
}

// indices shows one sort of index of every response to a question.
func (s *studied) indices(q shown, title string, index func(summary.FactorEffect) sim.Interval) *sheet {
	t := &sheet{title: fmt.Sprintf(title, q.label)}
	var effects []summary.Effect
	for _, e := range s.Effects {
		if e.Question == q.quantity {
			effects = append(effects, e)
			t.heads = append(t.heads, s.head(e.Response))
		}
	}
	for k := range s.factors(effects) {
		var cells []cell
		for _, e := range effects {
			cells = append(cells, part(index(e.Factors[k])))
		}
		t.add(effects[0].Factors[k].Factor, cells)
	}
	return t
}

func (s *studied) factors(effects []summary.Effect) []summary.FactorEffect {
	if len(effects) == 0 {
		return nil
	}
	return effects[0].Factors
}

// part shows a share of the variance.
func part(i sim.Interval) cell {
	mean, half := estimate(i.Mean, i.HalfWidth(), -3)
	if half != "" {
		half = "±" + half
	}
	return cell{mean, half}
}

// pairs shows what two factors change together, in a grid.
func (s *studied) pairs(q shown) *sheet {
	t := &sheet{title: fmt.Sprintf("Share of the variance of %s over the cases: two factors together, beyond each alone", q.label)}
	cells := make(map[[2]string][]cell) // looked up only
	var order [][2]string
	for _, e := range s.Effects {
		if e.Question != q.quantity {
			continue
		}
		for _, p := range e.Pairs {
			if cells[p.Factors] == nil {
				order = append(order, p.Factors)
			}
			cells[p.Factors] = append(cells[p.Factors], slices.Repeat([]cell{{"0", ""}}, len(t.heads)-len(cells[p.Factors]))...)
			cells[p.Factors] = append(cells[p.Factors], part(p.Share))
		}
		t.heads = append(t.heads, s.head(e.Response))
	}
	for _, factors := range order {
		row := cells[factors]
		t.add(factors[0]+" and "+factors[1], append(row, slices.Repeat([]cell{{"0", ""}}, len(t.heads)-len(row))...))
	}
	return t
}

// head is the column that a response stands in.
func (s *studied) head(r summary.Response) string {
	for i, l := range s.Layouts {
		if l == r.Layout && r.Against == "" {
			return strconv.Itoa(i + 1)
		} else if l == r.Layout {
			return s.lessFirst(i)
		}
	}
	return ""
}

func (s *studied) pairing() *sheet {
	t := &sheet{title: "Replicates that each difference would need if layouts met different years, times as many"}
	for _, q := range s.questions() {
		var cells []cell
		var heads []string
		for _, p := range s.Paired {
			if p.Question == q {
				cells, heads = append(cells, cell{threeFigures(p.Times), ""}), append(heads, s.head(p.Response))
			}
		}
		if len(cells) == len(s.Layouts)-1 && len(cells) > 0 {
			t.heads = heads
			t.add(quantityShown(q).label, cells)
		}
	}
	return t
}

// effectTable is every index of every response, for figures.
func (s *studied) effectTable() runTable {
	d := dataset{name: "sensitivity", title: "Which factors each answer's variance over the cases comes from", key: []string{"quantity", "layout", "against", "factor"}, columns: []column{
		{"quantity", tables.Text, "", "key of the annual number"},
		layoutColumn,
		{"against", tables.Text, "", "name of the layout whose number is taken off; empty where none is"},
		{"factor", tables.Text, "", "name of the factor"},
		{"first", tables.Number, "", "first-order index: share of the variance by the factor alone"},
		{"first_low", tables.Number, "", "lower end of its 95 % interval"},
		{"first_high", tables.Number, "", "upper end of its 95 % interval"},
		{"total", tables.Number, "", "total-effect index: share with all that the factor interacts with"},
		{"total_low", tables.Number, "", "lower end of its 95 % interval"},
		{"total_high", tables.Number, "", "upper end of its 95 % interval"},
	}}
	for _, e := range s.Effects {
		for _, f := range e.Factors {
			d.rows = append(d.rows, []string{
				e.Question.Key(), e.Layout, e.Against, f.Factor, number(f.First.Mean), number(f.First.Low), number(f.First.High),
				number(f.Total.Mean), number(f.Total.Low), number(f.Total.High),
			})
		}
	}
	return runTable{dataset: d}
}
