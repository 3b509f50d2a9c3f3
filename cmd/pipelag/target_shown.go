package main

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/store"
	"pipelag/studies/target"
	"pipelag/units"
)

// targeted is what a limit does, and to which study's homes.
type targeted struct {
	measure  target.Measure
	curves   []target.Curve
	layouts  []string          // the first is the homes' own
	leftOut  []studies.LeftOut // in some homes
	over     target.Over       // intervals
	manifest store.Manifest
	system   units.System
}

// newTargeted draws the curves of a measure for the homes of a study.
func newTargeted(c *studies.Cases, f *store.Folder, m target.Measure, system units.System, by []string) (*targeted, error) {
	t := &targeted{measure: m, system: system, manifest: f.Manifest, layouts: c.Study.Layouts, over: target.IntervalsOver(c)}
	var err error
	t.curves, t.leftOut, err = target.New(c, f, m, t.unit().own, by)
	return t, err
}

// limitUnit is what limits are counted in: its name, and how much it is in the
// measure's own unit.
type limitUnit struct {
	name string
	own  float64
}

// unit is that of the limits in tables.
func (t *targeted) unit() limitUnit {
	const millimetre = 1e-3
	in := func(d units.Dimension, own float64) limitUnit {
		return limitUnit{t.system.Unit(d), 1 / t.system.Convert(own, d)}
	}
	switch t.measure {
	case target.StoredVolume:
		return in(units.Volume, thousandth)
	case target.Length:
		return in(units.Length, 1)
	case target.Insulation:
		return in(units.Thickness, millimetre)
	case target.Wait:
		return limitUnit{"s", 1}
	}
	return limitUnit{"", 1}
}

// gainsShown are the gains, in the order in which a curve has them.
var gainsShown = [target.Gains]struct {
	key, label string
	kind       kind
}{
	target.Water:  {"water_L", "water", water},
	target.Energy: {"energy_kWh", "energy", energy},
	target.Money:  {"cost", "cost", money},
	target.Carbon: {"co2_kg", "CO2", mass},
}

// gain is a gain as a quantity in tables.
func gain(g int) shown { return shown{label: gainsShown[g].label, kind: gainsShown[g].kind} }

// about is what limits are set on, in words.
func (t *targeted) about() string {
	return map[target.Measure]string{
		target.StoredVolume: "water stored on the way to any fixture, beyond any loop, at most",
		target.Length:       "length of the way to any fixture, beyond any loop, at most",
		target.Wait:         "90th percentile of the wait at any fixture, at most",
		target.Insulation:   "insulation of every pipe that brings hot water, at least",
		target.Control:      "pump",
	}[t.measure]
}

// limit is a value as a row of a table names it.
func (t *targeted) limit(x float64) string {
	if t.measure == target.Control {
		return [...]string{"any control", "on demand, or none", "none"}[int(x)]
	}
	return plain(fmt.Sprintf("%.4g", x/t.unit().own))
}

// page is the curves as text.
func (t *targeted) page() []byte {
	var b bytes.Buffer
	unit := ""
	if name := t.unit().name; name != "" {
		unit = ", " + name
	}
	writeNote(&b, "", fmt.Sprintf("%s: a limit on %s%s", t.manifest.Name, t.about(), unit))
	fmt.Fprintf(&b, "pipelag %s, study sha256 %.12s\n", t.manifest.Version, t.manifest.Study)
	for i := range t.curves {
		c := &t.curves[i]
		t.savings(c).write(&b)
		t.costs(c).write(&b)
		t.flat(&b, c)
	}
	b.WriteByte('\n')
	writeNote(&b, "", "Savings are those of a year, a home on average, "+t.intervals()+". All homes count, those too that need not or cannot change.")
	for _, text := range leftOut(t.layouts[0], t.leftOut, t.curves[0].Homes, "home") {
		writeNote(&b, "", text)
	}
	return b.Bytes()
}

// intervals says which there are.
func (t *targeted) intervals() string {
	switch {
	case t.over == target.Homes:
		return "with 95 % intervals over homes"
	case math.IsNaN(t.curves[0].Points[0].Comply.Low):
		return "without intervals: the homes of a grid are all there are, and there are no two replicates that were made of every one"
	case t.alike():
		return "with 95 % intervals over replicates, which have no width, as all replicates gave the same"
	}
	return "with 95 % intervals over replicates, as the homes of a grid are all there are"
}

// alike tells whether no interval of what is saved has any width.
func (t *targeted) alike() bool {
	return !slices.ContainsFunc(t.curves[0].Points, func(p target.Point) bool {
		return slices.ContainsFunc(p.Saved[:], func(i sim.Interval) bool { return i.Low != i.High })
	})
}

// title names a curve's homes.
func (t *targeted) title(c *target.Curve) string {
	title := "All homes"
	if c.Factor != "" {
		title = capital(c.Factor) + ": " + c.Group.Level
	}
	return fmt.Sprintf("%s (%d)", title, c.Homes)
}

// savings shows who meets each limit and what it saves.
func (t *targeted) savings(c *target.Curve) *sheet {
	s := &sheet{title: t.title(c), heads: []string{"meet it, %", "can, %"}}
	for g := range target.Gains {
		s.heads = append(s.heads, gain(g).labelled(t.system, t.manifest.Currency))
	}
	for _, p := range c.Points {
		cells := []cell{percent(p.Comply), percent(p.Able)}
		for g := range target.Gains {
			q := gain(g)
			cells = append(cells, q.cell(t.system, p.Saved[g], finestShown(q.in(t.system, p.Saved[g].Mean))))
		}
		s.add(t.limit(p.Limit), cells)
	}
	return s
}

// costs shows what each limit costs to build, and for what it saves; nothing
// where the study gives no costs.
func (t *targeted) costs(c *target.Curve) *sheet {
	s := &sheet{title: "To build, " + t.manifest.Currency, heads: []string{"a home"}}
	for g := range int(target.Money) {
		s.heads = append(s.heads, "for each "+gain(g).unit(t.system, "")+" a year")
	}
	for _, p := range c.Points {
		if p.Cost == nil {
			continue
		}
		cells := []cell{gain(int(target.Money)).cell(t.system, *p.Cost, -2)}
		for g := range int(target.Money) {
			unit := gain(g).in(t.system, 1)
			u := sim.Interval{Mean: p.Unit[g].Mean / unit, Low: p.Unit[g].Low / unit, High: p.Unit[g].High / unit}
			shown := cell{"-", ""}
			if !math.IsNaN(u.Mean) {
				shown.number = threeFigures(u.Mean)
			}
			if !math.IsNaN(u.Low) && threeFigures(u.Low) != threeFigures(u.High) {
				shown.after = fmt.Sprintf(" (%s to %s)", threeFigures(u.Low), threeFigures(u.High))
			}
			cells = append(cells, shown)
		}
		s.add(t.limit(p.Limit), cells)
	}
	return s
}

// percent shows a share and its interval, where that is known and does not round to nothing.
func percent(i sim.Interval) cell {
	text := func(x float64) string { return fmt.Sprintf("%.0f", 100*x) }
	shown := cell{text(i.Mean), ""}
	if !math.IsNaN(i.Low) && (text(i.Low) != shown.number || text(i.High) != shown.number) {
		shown.after = fmt.Sprintf(" (%s-%s)", text(i.Low), text(i.High))
	}
	return shown
}

// flat says where gains flatten.
func (t *targeted) flat(b *bytes.Buffer, c *target.Curve) {
	var parts []string
	for g, k := range c.Knees {
		if k == nil {
			continue
		}
		q := gain(g)
		text := fmt.Sprintf("%s at %s", q.label, t.limit(k.Limit.Mean))
		if t.measure != target.Control && !math.IsNaN(k.Limit.Low) && t.limit(k.Limit.Low) != t.limit(k.Limit.High) {
			text += fmt.Sprintf(" (%s to %s)", t.limit(min(k.Limit.Low, k.Limit.High)), t.limit(max(k.Limit.Low, k.Limit.High)))
		}
		parts = append(parts, text)
	}
	if len(parts) == 0 {
		b.WriteString("No limit saves anything.\n")
		return
	}
	writeNote(b, "", "Gains flatten: "+strings.Join(parts, ", ")+".")
}
