package main

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"strconv"

	"pipelag/sim"
	"pipelag/studies/tables"
	"pipelag/studies/target"
)

// flatShare is the share of the greatest saving at which gains flatten, as shown.
var flatShare = fmt.Sprintf("%.0f %%", 100*target.Flat)

// targetName is the file of a limit's curves for other programs.
const targetName = "target.json"

// targetDocument is what a limit does, for other programs, in SI.
type targetDocument struct {
	Version string          `json:"version"`
	Study   documentStudy   `json:"study"`
	On      string          `json:"limit_on"`
	Unit    string          `json:"limit_unit"`
	Sense   string          `json:"limit_sense"` // most or least
	Money   string          `json:"currency"`
	Over    target.Over     `json:"intervals_over"` // homes or replicates
	Layouts []string        `json:"layouts"`        // the first is the homes' own
	LeftOut []documentOut   `json:"left_out"`
	Curves  []documentCurve `json:"curves"`
}

type documentCurve struct {
	Factor string                  `json:"factor,omitempty"`
	Group  string                  `json:"group,omitempty"`
	Homes  int                     `json:"homes"`
	Points []documentPoint         `json:"points"`
	Knees  map[string]documentKnee `json:"knees"`
}

type documentPoint struct {
	Limit  float64                 `json:"limit"`
	Label  string                  `json:"label,omitempty"`
	Comply sim.Interval            `json:"comply"`
	Able   sim.Interval            `json:"able"`
	Saved  map[string]sim.Interval `json:"saved"`
	Cost   *sim.Interval           `json:"cost_to_build,omitempty"`
	Per    map[string]sim.Interval `json:"cost_to_build_per_unit_saved,omitempty"`
}

type documentKnee struct {
	Limit sim.Interval `json:"limit"`
	Saved float64      `json:"saved"`
}

// ownUnits are the units of limits in files.
var ownUnits = map[target.Measure]string{target.StoredVolume: "L", target.Length: "m", target.Wait: "s", target.Insulation: "mm"}

func (t *targeted) document() targetDocument {
	d := targetDocument{
		Version: t.manifest.Version, Study: documentStudy{t.manifest.Name, t.manifest.Study},
		On: t.measure.String(), Unit: ownUnits[t.measure], Sense: "most", Money: t.manifest.Currency, Over: t.over, Layouts: t.layouts, LeftOut: documentLeftOut(t.leftOut),
	}
	if t.measure == target.Insulation || t.measure == target.Control {
		d.Sense = "least"
	}
	for i := range t.curves {
		c := &t.curves[i]
		shown := documentCurve{Factor: c.Factor, Group: c.Group.Level, Homes: c.Homes, Knees: map[string]documentKnee{}}
		for g, k := range c.Knees {
			if k != nil {
				shown.Knees[gainsShown[g].key] = documentKnee{k.Limit, gain(g).inKeyUnit(k.Saved)}
			}
		}
		for _, p := range c.Points {
			shown.Points = append(shown.Points, t.pointDocument(p))
		}
		d.Curves = append(d.Curves, shown)
	}
	return d
}

func (t *targeted) pointDocument(p target.Point) documentPoint {
	d := documentPoint{Limit: p.Limit, Comply: p.Comply, Able: p.Able, Saved: map[string]sim.Interval{}, Cost: p.Cost}
	if t.measure == target.Control {
		d.Label = t.limit(p.Limit)
	}
	for g := range target.Gains {
		d.Saved[gainsShown[g].key] = gain(g).intervalInKeyUnit(p.Saved[g])
		if u := p.Unit[g]; p.Cost != nil && !math.IsNaN(u.Mean) {
			if d.Per == nil {
				d.Per = map[string]sim.Interval{}
			}
			d.Per[gainsShown[g].key] = perKeyUnit(g, u)
		}
	}
	return d
}

// leftOut says which layouts homes cannot have, and why; as far as their number is told,
// it is of all homes.
func (d *targetDocument) leftOut() ([]string, error) {
	out, err := readLeftOut(d.LeftOut)
	if err != nil || out == nil || len(d.Curves) == 0 {
		return nil, err
	}
	if len(d.Layouts) == 0 {
		return nil, errors.New("there are no layouts")
	}
	return leftOut(d.Layouts[0], out, d.Curves[0].Homes, "home"), nil
}

// perKeyUnit is a cost for each unit of a gain's key.
func perKeyUnit(g int, i sim.Interval) sim.Interval {
	unit := gain(g).inKeyUnit(1)
	return sim.Interval{Mean: i.Mean / unit, Low: i.Low / unit, High: i.High / unit}
}

// files are the curves for figures and other programs.
func (t *targeted) files() ([]file, error) {
	text, err := encodeJSON(t.document())
	if err != nil {
		return nil, err
	}
	files := []file{{targetName, text}}
	p := newDataPackage("pipelag-target", t.manifest.Name, t.manifest.Version, "What a limit on the "+t.measure.String()+" of hot-water piping does, at every value.")
	describe := func(f file, d *dataset) {
		sum := sha256.Sum256(f.text)
		p.add(f.name, "What the limit does", len(f.text), sum[:], d)
	}
	describe(files[0], nil)
	for _, d := range []dataset{t.points(), t.knees()} {
		for _, format := range formats {
			text, err := d.encode(format.begin)
			if err != nil {
				return nil, failed(err)
			}
			f := file{d.name + format.ending, text}
			files = append(files, f)
			describe(f, &d)
		}
	}
	text, err = encodeJSON(p)
	return append(files, file{"datapackage.json", text}), err
}

// groupColumns tell curves apart.
func (t *targeted) groupColumns() []column {
	return []column{
		{"factor", tables.Text, "", "that the homes are grouped by; empty for all homes"},
		{"group", tables.Text, "", "which of its values they have; empty for all homes"},
		{"homes", tables.Integer, "", "how many there are"},
	}
}

func groupCells(c *target.Curve) []string {
	return []string{c.Factor, c.Group.Level, strconv.Itoa(c.Homes)}
}

// spread are three columns of an estimate.
func (t *targeted) spread(name, unit, meaning string) []column {
	over := " over " + string(t.over)
	return []column{
		{name, tables.Number, unit, meaning},
		{name + "_low", tables.Number, unit, "lower end of its 95 % interval" + over},
		{name + "_high", tables.Number, unit, "upper end of its 95 % interval" + over},
	}
}

func spreadCells(i sim.Interval) []string {
	return []string{number(i.Mean), number(i.Low), number(i.High)}
}

func (t *targeted) points() dataset {
	d := dataset{name: "curve", title: "What the limit does at every value", key: []string{"factor", "group", "limit"}}
	d.columns = append(t.groupColumns(), column{"limit", tables.Number, ownUnits[t.measure], "limit on the " + t.measure.String() + ": " + t.about()})
	d.columns = append(d.columns, t.spread("comply", "", "share of homes that meet the limit as they are")...)
	d.columns = append(d.columns, t.spread("able", "", "share of homes that meet it as they are or piped another way")...)
	for g := range target.Gains {
		d.columns = append(d.columns, t.spread("saved_"+gainsShown[g].key, t.gainUnit(g), gainsShown[g].label+" saved in a year, a home on average")...)
	}
	d.columns = append(d.columns, t.spread("cost_to_build", t.manifest.Currency, "of the piping the limit asks for, above that of today's, a home on average")...)
	for g := range target.Gains {
		d.columns = append(d.columns, t.spread("cost_to_build_per_"+gainsShown[g].key, "", "that cost for each unit saved in a year")...)
	}
	for i := range t.curves {
		c := &t.curves[i]
		for _, p := range c.Points {
			row := append(groupCells(c), number(p.Limit))
			row = append(append(row, spreadCells(p.Comply)...), spreadCells(p.Able)...)
			for g := range target.Gains {
				row = append(row, spreadCells(gain(g).intervalInKeyUnit(p.Saved[g]))...)
			}
			cost := sim.Interval{Mean: math.NaN(), Low: math.NaN(), High: math.NaN()}
			if p.Cost != nil {
				cost = *p.Cost
			}
			row = append(row, spreadCells(cost)...)
			for g := range target.Gains {
				row = append(row, spreadCells(perKeyUnit(g, p.Unit[g]))...)
			}
			d.rows = append(d.rows, row)
		}
	}
	return d
}

func (t *targeted) knees() dataset {
	d := dataset{name: "knees", title: "Where gains flatten", key: []string{"factor", "group", "gain"}}
	d.columns = append(t.groupColumns(), column{"gain", tables.Text, "", "what is saved"})
	d.columns = append(d.columns, t.spread("limit", ownUnits[t.measure], "loosest limit that saves "+flatShare+" of the most that any limit does")...)
	d.columns = append(d.columns, column{"saved", tables.Number, "", "in a year at that limit, a home on average, in the unit that the gain ends in"})
	for i := range t.curves {
		c := &t.curves[i]
		for g, k := range c.Knees {
			if k != nil {
				row := append(groupCells(c), gainsShown[g].key)
				d.rows = append(d.rows, append(append(row, spreadCells(k.Limit)...), number(gain(g).inKeyUnit(k.Saved))))
			}
		}
	}
	return d
}

// gainUnit is the unit that a gain's key ends in.
func (t *targeted) gainUnit(g int) string {
	return map[kind]string{water: "L", energy: "kWh", money: t.manifest.Currency, mass: "kg"}[gainsShown[g].kind]
}
