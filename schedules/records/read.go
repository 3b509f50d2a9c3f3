package records

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"pipelag/schedules"
)

const (
	perMinute = 60000 // L/min in a m³/s
	litres    = 1000  // L in a m³

	mostErrors = 100 // reported of one file
)

// Read imports draws at a house's fixtures. The error joins one line for each
// thing wrong, up to a hundred: name:line:column: what is wrong; what would be
// right.
func Read(r io.Reader, name string, fixtures []schedules.Fixture) (*Log, error) {
	if err := schedules.CheckFixtures(fixtures); err != nil {
		return nil, err
	}
	t := &table{name: name, csv: csv.NewReader(r), fixtures: fixtures}
	t.csv.FieldsPerRecord = -1 // counted here, so that reading goes on
	t.csv.ReuseRecord = true
	if t.header() {
		for t.row() {
		}
		t.clock()
		t.check()
		t.calendar()
	}
	if len(t.errs) > 0 {
		return nil, errors.Join(t.errs...)
	}
	wishes := make([]schedules.Wish, len(t.draws))
	for i, d := range t.draws {
		wishes[i] = d.Wish
	}
	l := newLog(wishes)
	if l.Days() < wholeYear {
		covered := fmt.Sprintf("%d days; they are", l.Days())
		if l.Days() == 1 {
			covered = "1 day; it is"
		}
		t.warn("%s: the log covers %s repeated to fill the year", name, covered)
	}
	l.warnings = t.warnings
	return l, nil
}

// draw is a wish with where it stands in the file.
type draw struct {
	schedules.Wish
	start        time.Time
	line, column int // of its start
}

// table is a file while it is read.
type table struct {
	name     string
	csv      *csv.Reader
	fixtures []schedules.Fixture
	at       map[string]int // column by name
	record   []string
	draws    []draw
	errs     []error
	warnings []string
}

func (t *table) refuse(line, column int, format string, args ...any) {
	switch {
	case len(t.errs) < mostErrors:
		t.errs = append(t.errs, fmt.Errorf("%s:%d:%d: %s", t.name, line, column, fmt.Sprintf(format, args...)))
	case len(t.errs) == mostErrors:
		t.errs = append(t.errs, fmt.Errorf("%s: more than %d errors", t.name, mostErrors))
	}
}

func (t *table) warn(format string, args ...any) {
	t.warnings = append(t.warnings, fmt.Sprintf(format, args...))
}

// header reads the first line and says whether the rest can be read.
func (t *table) header() bool {
	record, err := t.csv.Read()
	if err != nil {
		t.broken(err)
		return false
	}
	if len(record) == 1 && strings.ContainsAny(record[0], ";\t") { // as spreadsheets write where commas are decimal
		t.refuse(1, 1, "cells are set apart by semicolons or tabs; set them apart by commas, with points in numbers")
		return false
	}
	t.at = make(map[string]int, len(record))
	for i, name := range record {
		if i == 0 {
			name = strings.TrimPrefix(name, "\ufeff")
		}
		line, column := t.csv.FieldPos(i)
		if _, twice := t.at[name]; twice {
			t.refuse(line, column, "column %q stands here twice", name)
		}
		if !slices.Contains(columns, name) {
			t.refuse(line, column, "column %q is unknown; there are %s", name, strings.Join(columns, ", "))
		}
		t.at[name] = i
	}
	for _, name := range columns[:4] {
		if _, ok := t.at[name]; !ok {
			t.refuse(1, 1, "column %q is missing", name)
		}
	}
	_, duration := t.at["duration_s"]
	_, volume := t.at["volume_L"]
	if !duration && !volume {
		t.refuse(1, 1, `column "duration_s" or "volume_L" is missing`)
	}
	return len(t.errs) == 0
}

// broken reports what the CSV reader says and whether it can go on.
func (t *table) broken(err error) bool {
	var parse *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		if t.at == nil {
			t.refuse(1, 1, "the file is empty; its first line names the columns")
		}
		return false
	case errors.As(err, &parse):
		t.refuse(parse.Line, max(1, parse.Column), "%v", parse.Err)
		return len(t.errs) <= mostErrors
	}
	t.errs = append(t.errs, fmt.Errorf("%s: %w", t.name, err))
	return false
}

// row reads one draw and says whether there may be more.
func (t *table) row() bool {
	record, err := t.csv.Read()
	if err != nil {
		return t.broken(err)
	}
	t.record = record
	before := len(t.errs)
	d := draw{}
	d.line, d.column = t.csv.FieldPos(0)
	if len(record) != len(t.at) {
		t.refuse(d.line, 1, "%d cells; the first line has %d", len(record), len(t.at))
		return len(t.errs) <= mostErrors
	}
	d.line, d.column = t.csv.FieldPos(t.at["start"])
	d.start, err = time.Parse(time.RFC3339Nano, t.cell("start"))
	if err != nil {
		t.wrong("start", "is no time; write 2026-01-31T07:15:02+01:00, with its zone")
	} else if y := d.start.Year(); y < 1900 || y > 2200 {
		t.wrong("start", "is not of this age; years are from 1900 to 2200")
	}
	d.Fixture = slices.IndexFunc(t.fixtures, func(f schedules.Fixture) bool { return f.Name == t.cell("fixture") })
	var f schedules.Fixture
	if d.Fixture < 0 {
		var names []string
		for _, f := range t.fixtures {
			names = append(names, f.Name)
		}
		t.wrong("fixture", "is not in the house; there are %s", strings.Join(names, ", "))
	} else {
		f = t.fixtures[d.Fixture]
		d.Use = f.Use
	}
	known := false
	for k := schedules.Washing; k <= schedules.Appliance; k++ {
		if k.String() == t.cell("kind") {
			d.Kind, known = k, true
		}
	}
	if !known {
		t.wrong("kind", "is no kind; there are washing, brief, filling, appliance")
		return len(t.errs) <= mostErrors
	}
	t.amounts(&d)
	washing := d.Kind == schedules.Washing
	t.optional(&d.Mixed, "temperature_C", 40.6, 0, 100, d.Kind != schedules.Appliance)
	t.optional(&d.Usable, "usable_C", f.Usable, 0, 100, true)
	t.optional(&d.Patience, "patience_s", 240, 0, 3600, washing)
	t.optional(&d.StepIn, "step_in_s", 0, 0, 3600, washing)
	t.optional(&d.HotShare, "hot_share", 1, 0, 1, d.Kind == schedules.Brief)
	if len(t.errs) == before {
		if d.Flow > f.Flow*(1+1e-9) {
			t.warn("%s:%d: %s runs at %.3g L/min, rated %.3g", t.name, d.line, f.Name, d.Flow*perMinute, f.Flow*perMinute)
		}
		t.draws = append(t.draws, d)
	}
	return len(t.errs) <= mostErrors
}

// amounts reads flow, and duration or volume, and gives the kind the one it uses.
func (t *table) amounts(d *draw) {
	okay := t.number(&d.Flow, "flow_L_per_min", perMinute, 0.01, 120)
	duration, volume := t.cell("duration_s"), t.cell("volume_L")
	switch {
	case duration == "" && volume == "":
		t.refuse(d.line, 1, "neither duration_s nor volume_L is given")
		return
	case duration != "" && volume != "":
		t.wrong("volume_L", "is given beside a duration; leave one of them empty")
		return
	case duration != "":
		okay = t.number(&d.Duration, "duration_s", 1, 0.001, 4*3600) && okay
	default:
		okay = t.number(&d.Volume, "volume_L", litres, 0.001, 2000) && okay
	}
	if !okay {
		return
	}
	timed := d.Kind == schedules.Washing || d.Kind == schedules.Brief
	switch {
	case timed && volume != "":
		d.Duration, d.Volume = d.Volume/d.Flow, 0
	case !timed && duration != "":
		d.Volume, d.Duration = d.Duration*d.Flow, 0
	}
	if volume != "" && length(d.Wish) > 4*3600*(1+1e-9) {
		t.wrong("volume_L", "would take %.3g h at that flow; a draw may last 4 h", length(d.Wish)/3600)
	}
}

// cell is the text in a column, empty when the column is not there.
func (t *table) cell(column string) string {
	if i, ok := t.at[column]; ok {
		return t.record[i]
	}
	return ""
}

// wrong refuses a cell.
func (t *table) wrong(column, format string, args ...any) {
	line, at := t.csv.FieldPos(t.at[column])
	t.refuse(line, at, "%s %q %s", column, t.cell(column), fmt.Sprintf(format, args...))
}

// number reads a cell that must lie between low and high in its own unit.
func (t *table) number(into *float64, column string, scale int64, low, high float64) bool {
	v, err := value(t.cell(column), scale)
	if err != nil {
		t.wrong(column, "is %v", err)
		return false
	}
	if in := v * float64(scale); !(in >= low*(1-1e-12) && in <= high*(1+1e-12)) {
		t.wrong(column, "must be from %g to %g", low, high)
		return false
	}
	*into = v
	return true
}

// optional reads a cell that has a meaning when empty, and must be empty when it has
// no use.
func (t *table) optional(into *float64, column string, otherwise, low, high float64, used bool) {
	switch {
	case !used && t.cell(column) != "":
		t.wrong(column, "has no meaning for a draw of this kind; leave it empty")
	case used && t.cell(column) == "":
		*into = otherwise
	case used:
		t.number(into, column, 1, low, high)
	}
}
