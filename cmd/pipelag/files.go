package main

import (
	"bytes"
	"io"
	"math"
	"strconv"

	"pipelag/sim"
	"pipelag/studies/tables"
)

// dataset is a table for other programs: what its columns mean travels with it.
type dataset struct {
	name    string
	title   string
	key     []string // the columns that tell rows apart
	columns []column
	rows    [][]string
}

type column struct {
	name    string
	kind    tables.Kind
	unit    string // empty for none
	meaning string
}

// files are the whole result as files, but for the table of years, which is written
// as they are lived through.
func (o *outcome) files(q question, years *yearTable) ([]file, error) {
	summary, err := encodeJSON(o)
	if err != nil {
		return nil, err
	}
	page, err := o.report(q)
	if err != nil {
		return nil, err
	}
	takenOff, err := encodeJSON(q.off.document())
	if err != nil {
		return nil, err
	}
	files := []file{{"summary.json", summary}, {takeoffName, takenOff}, {scenarioFile, []byte(q.scenario.Source)}, {reportName, page}}
	for _, c := range q.scenario.Companions {
		files = append(files, file{c.Name, c.Text})
	}
	datasets := []dataset{o.annualData(), o.differenceData(), o.fixtureData(), o.monthData()}
	for _, d := range datasets {
		for _, f := range formats {
			text, err := d.encode(f.begin)
			if err != nil {
				return nil, failed(err)
			}
			files = append(files, file{d.name + f.ending, text})
		}
	}
	description, err := o.describe(files, datasets, years)
	if err != nil {
		return nil, err
	}
	return append(files, file{"datapackage.json", description}), nil
}

type tableBegin = func(io.Writer, []tables.Column) (tables.Writer, error)

// formats are those that every table is written in.
var formats = []struct {
	ending string
	begin  tableBegin
}{{".csv", tables.NewCSV}, {".parquet", tables.NewParquet}}

// encode is the table in one format.
func (d *dataset) encode(begin tableBegin) ([]byte, error) {
	var b bytes.Buffer
	w, err := begin(&b, d.written())
	if err != nil {
		return nil, err
	}
	for _, row := range d.rows {
		if err := w.Row(row); err != nil {
			return nil, err
		}
	}
	err = w.Close()
	return b.Bytes(), err
}

// written are the columns as a table takes them.
func (d *dataset) written() []tables.Column {
	columns := make([]tables.Column, len(d.columns))
	for i, c := range d.columns {
		columns[i] = tables.Column{Name: c.name, Kind: c.kind}
	}
	return columns
}

// number writes a number in full; one that is not known is left empty.
func number(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

var (
	layoutColumn  = column{"layout", tables.Text, "", "name of the layout"}
	fixtureColumn = column{"fixture", tables.Text, "", "name of the fixture"}
	controlColumn = column{"control", tables.Text, "", "how its pump is switched: none, continuous, clock, aquastat, clock and aquastat, button, motion, button and motion, learning, or learning and aquastat"}
)

// fixtureYear are the columns of a fixture's year.
var fixtureYear = []column{
	{"draws_per_day", tables.Number, "1/d", "draws of any kind"},
	{"waiting_per_day", tables.Number, "1/d", "draws of people who wait for usable water, those included at which it is there at once"},
	{"wait_p50_s", tables.Number, "s", "wait that half of those draws do not exceed"},
	{"wait_p90_s", tables.Number, "s", "wait that nine in ten of those draws do not exceed"},
	{"purged_L_per_draw", tables.Number, "L", "water that ran out before it was usable, a draw of any kind"},
	{"never_hot", tables.Number, "", "share of draws that end before usable water comes"},
	{"hot_drawn_L_per_day", tables.Number, "L/d", "water through the hot pipe"},
}

// quantityColumns are one for each quantity; when is put behind its meaning.
func quantityColumns(currency, when string) []column {
	var columns []column
	for _, q := range quantitiesShown {
		columns = append(columns, column{q.quantity.Key(), tables.Number, q.keyUnit(currency), q.meaning + when})
	}
	return columns
}

func quantities(v sim.Values) []string {
	var row []string
	for _, q := range quantitiesShown {
		row = append(row, number(q.inKeyUnit(v[q.quantity])))
	}
	return row
}

// intervalColumns are three for each quantity: mean, low and high.
func (o *outcome) intervalColumns(of string) []column {
	var columns []column
	for _, q := range quantitiesShown {
		key, unit := q.quantity.Key(), q.keyUnit(o.Currency)
		columns = append(
			columns,
			column{key, tables.Number, unit, of + q.meaning + ", a year, mean"},
			column{key + "_low", tables.Number, unit, "lower end of the 95 % interval of that mean"},
			column{key + "_high", tables.Number, unit, "upper end of the 95 % interval of that mean"},
		)
	}
	return columns
}

func intervals(v sim.Intervals) []string {
	var row []string
	for _, q := range quantitiesShown {
		i := v[q.quantity]
		row = append(row, number(q.inKeyUnit(i.Mean)), number(q.inKeyUnit(i.Low)), number(q.inKeyUnit(i.High)))
	}
	return row
}

func (o *outcome) annualData() dataset {
	d := dataset{name: "annual", title: "A year of each layout", key: []string{"layout"}}
	d.columns = append([]column{
		layoutColumn,
		{"arrangement", tables.Text, "", "how the layout is arranged"},
		controlColumn,
		{"pump_starts", tables.Number, "1/a", "times the pump starts, a year, mean"},
		{"lukewarm_h", tables.Number, "h", "time for which some water in the loop, its cold line included, is between 25 and 45 C, a year, mean"},
		{"crossover", tables.Text, "", "fixture at which the loop crosses into the cold line; none without"},
		{"cold_hottest_C", tables.Number, "C", "hottest water sent into the cold line in any year; 0 if none was"},
	}, o.intervalColumns("")...)
	for _, l := range o.Layouts {
		control := l.Control
		if control == "" {
			control = "none"
		}
		crossover, hottest := "none", 0.0
		if c := l.Crossover; c != nil {
			crossover, hottest = c.At, c.Hottest
		}
		d.rows = append(d.rows, append([]string{l.Name, l.Arrangement, control, number(l.PumpStarts), number(l.Lukewarm), crossover, number(hottest)}, intervals(l.Annual)...))
	}
	return d
}

func (o *outcome) differenceData() dataset {
	d := dataset{name: "differences", title: "A year of each layout less that of another, in the same years", key: []string{"layout", "against"}}
	d.columns = append([]column{
		layoutColumn,
		{"against", tables.Text, "", "name of the layout whose numbers are taken off"},
		{"unlike", tables.Text, "", "why the one is not held against the other: fixtures get less water through one of them than through another layout (serves less), or one of the two returns through the cold line (cold line); empty where it is"},
	}, o.intervalColumns("difference in ")...)
	unlike := o.Unlike()
	for i, l := range o.Differences {
		why := unlike[i+1].Against(unlike[0])
		d.rows = append(d.rows, append([]string{l.Layout, l.Against, why.String()}, intervals(l.Annual)...))
	}
	return d
}

func (o *outcome) fixtureData() dataset {
	d := dataset{
		name: "fixtures", title: "Each fixture under each layout", key: []string{"layout", "fixture"},
		columns: append(append([]column{layoutColumn, fixtureColumn}, fixtureYear...),
			column{"leg_L", tables.Number, "L", "water in the pipes that lead to the fixture alone"},
			column{"longest_rest_h", tables.Number, "h", "longest time that water stood, in any year"}),
	}
	for _, l := range o.Layouts {
		for _, f := range l.Fixtures {
			d.rows = append(d.rows, []string{
				l.Name, f.Name, number(f.DrawsPerDay), number(f.WaitingDraws), number(f.Waits.P50), number(f.Waits.P90),
				number(f.PurgedPerDraw), number(f.NeverHot), number(f.HotDrawnPerDay), number(f.Leg), number(f.LongestRest),
			})
		}
	}
	return d
}

func (o *outcome) monthData() dataset {
	d := dataset{
		name: "months", title: "Each month of each layout, mean of the years", key: []string{"layout", "month"},
		columns: []column{layoutColumn, {"month", tables.Integer, "", "1 is January"}},
	}
	d.columns = append(d.columns, quantityColumns(o.Currency, "")...)
	d.columns = append(d.columns, column{"mains_C", "number", "C", "temperature of the mains"})
	for _, l := range o.Layouts {
		for m, values := range l.Months {
			row := append([]string{l.Name, strconv.Itoa(m + 1)}, quantities(values)...)
			d.rows = append(d.rows, append(row, number(o.Mains[m])))
		}
	}
	return d
}
