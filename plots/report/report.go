// Package report makes one page of HTML of what was asked and found: it opens
// in any browser, prints, and needs no network and no file beside it.
//
// Whatever comes from a scenario is escaped. Not modelled: right-to-left text,
// paging beyond what the browser does.
package report

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strconv"

	"pipelag/plots"
)

// Report is a question and its answer. Parts that are empty are left out.
type Report struct {
	Title    string
	Asked    []Item
	Answer   []string // sentences
	Tables   []Table
	Figures  []Figure
	Building string // how to read the layouts
	Layouts  []Layout
	Details  []Table
	Cautions []string
	Assumed  []Assumption
	Origin   Origin
}

// Item is a thing asked for, or a fact, by its name.
type Item struct{ Name, Text string }

// Figure is a figure under a heading.
type Figure struct {
	Title string
	*plots.Figure
}

// Layout is how one layout is built: its plan, what it comes to at each fixture,
// and what else is to be said of it. The first two may be nil.
type Layout struct {
	Name    string
	Plan    *plots.Figure
	Takeoff *Table
	Notes   []Item
	Details []Table
}

// Table is a table that a reader can sort by any column.
type Table struct {
	Title   string
	Note    string
	Columns []Column
	Rows    [][]Cell
}

// Column is a column of a table. The first names its rows.
type Column struct {
	Name string
	Unit string // empty for none
	Text bool   // sorted by its text; others by the order of their cells
}

// Cell is an entry of a table. Order is what it is sorted by; NaN stands for
// what is not known, and comes last.
type Cell struct {
	Text    string
	Beneath string // a second line, quieter
	Order   float64
}

// Assumption is a value that nobody stated.
type Assumption struct{ Path, Value, Why string }

// Origin is how to get the same again.
type Origin struct {
	Command string
	Version string
	Seed    string // empty where nothing is drawn by lot
	Sources []Source
}

// Source is a text that the result was made from.
type Source struct {
	Name   string // such as scenario
	SHA256 string // of the text, or of all in it that matters
	Text   string
}

//go:embed report.html.tmpl
var pageText string

//go:embed report.css
var style string

//go:embed report.js
var script string

var page = template.Must(template.New("report").Funcs(template.FuncMap{
	"style":  func() template.CSS { return template.CSS(style) },
	"script": func() template.JS { return template.JS(script) },
	"order":  order,
}).Parse(pageText))

// order is what a script sorts a cell by; empty for what is not known.
func order(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// Write writes the report as a page of HTML.
func (r *Report) Write(w io.Writer) error {
	if err := r.check(); err != nil {
		return err
	}
	shown, err := r.drawn()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := page.Execute(&b, shown); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}

func (r *Report) check() error {
	if r.Title == "" || len(r.Answer) == 0 {
		return errors.New("a report needs a title and an answer")
	}
	tables := slices.Concat(r.Tables, r.Details)
	for _, l := range r.Layouts {
		if l.Takeoff != nil {
			tables = append(tables, *l.Takeoff)
		}
		tables = append(tables, l.Details...)
	}
	for _, t := range tables {
		if len(t.Columns) == 0 {
			return fmt.Errorf("table %q has no columns", t.Title)
		}
		for i, row := range t.Rows {
			if len(row) != len(t.Columns) {
				return fmt.Errorf("table %q, row %d: %d cells for %d columns", t.Title, i+1, len(row), len(t.Columns))
			}
			for _, c := range row {
				if math.IsInf(c.Order, 0) {
					return fmt.Errorf("table %q, row %d: the order of %q is infinite", t.Title, i+1, c.Text)
				}
			}
		}
	}
	return nil
}

// drawing is a figure as it stands in the page: the picture, named and described
// for those who cannot see it.
type drawing struct {
	ID, Title, Caption string
	Box                string
	Picture            template.HTML
}

// layoutShown is a layout with its plan drawn.
type layoutShown struct {
	Layout
	Plan *drawing // in place of the layout's
}

// shown is what the page is made from.
type shown struct {
	*Report
	Drawings     []*drawing
	LayoutsShown []layoutShown
}

func (r *Report) drawn() (*shown, error) {
	s := &shown{Report: r}
	for i, f := range r.Figures {
		d, err := draw(fmt.Sprintf("figure-%d", i+1), f.Title, f.Figure)
		if err != nil {
			return nil, fmt.Errorf("figure %q: %w", f.Title, err)
		}
		s.Drawings = append(s.Drawings, d)
	}
	for i, l := range r.Layouts {
		here := layoutShown{Layout: l}
		if l.Plan != nil {
			d, err := draw(fmt.Sprintf("plan-%d", i+1), "Plan of "+l.Name, l.Plan)
			if err != nil {
				return nil, fmt.Errorf("plan of %q: %w", l.Name, err)
			}
			here.Plan = d
		}
		s.LayoutsShown = append(s.LayoutsShown, here)
	}
	return s, nil
}

// draw takes the picture out of a figure's SVG: what lies within its outermost
// element, and the box it is drawn in.
func draw(id, title string, f *plots.Figure) (*drawing, error) {
	var b bytes.Buffer
	if err := f.Write(&b, plots.SVG); err != nil {
		return nil, err
	}
	text := b.Bytes()
	_, text, ok1 := bytes.Cut(text, []byte(`viewBox="`))
	box, text, ok2 := bytes.Cut(text, []byte(`"`))
	_, text, ok3 := bytes.Cut(text, []byte(`>`))
	end := bytes.LastIndex(text, []byte(`</svg>`))
	if !ok1 || !ok2 || !ok3 || end < 0 {
		return nil, errors.New("the figure's SVG has no box or no end")
	}
	// The figure escapes the texts it writes.
	return &drawing{id, title, f.Caption(), string(box), template.HTML(text[:end])}, nil
}
