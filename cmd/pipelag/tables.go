package main

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"time"

	"pipelag/sim"
	"pipelag/units"
)

// tables are the result as a page of text. Layouts have long names, so they are
// numbered and stand side by side.
func (o *outcome) tables(system units.System, verbose bool) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s: %s, %s, seed %d\n", o.Scenario.Name, counted(len(o.Layouts), "layout"), counted(o.Years, "year"), o.Seed)
	fmt.Fprintf(&b, "pipelag %s, scenario sha256 %.12s\n\n", o.Version, o.Scenario.SHA256)
	for i, l := range o.Layouts {
		fmt.Fprintf(&b, "  %d  %s\n", i+1, l.Name)
	}
	o.annual(system, verbose).write(&b)
	b.WriteByte('\n')
	writeNote(&b, "", o.reading(verbose))
	o.differences(system, verbose).write(&b)
	for i, text := range o.leftOut() {
		if i == 0 {
			b.WriteByte('\n')
		}
		writeNote(&b, "", text)
	}
	for _, s := range o.fixtures(system) {
		s.write(&b)
	}
	o.pumps(system).write(&b)
	o.coldLines(system).write(&b)
	if verbose {
		o.legs(system).write(&b)
		o.zones(system).write(&b)
		for _, q := range []sim.Quantity{sim.Purged, sim.HeaterInput} {
			o.months(system, quantityShown(q)).write(&b)
		}
	}
	o.notes(&b)
	return b.Bytes()
}

// heads number the layouts from the one at index first.
func (o *outcome) heads(first int) []string {
	var heads []string
	for i := first; i < len(o.Layouts); i++ {
		heads = append(heads, strconv.Itoa(i+1))
	}
	return heads
}

func (s shown) labelled(system units.System, currency string) string {
	return s.label + ", " + s.unit(system, currency)
}

// same tells whether every year gave the same numbers, so that intervals mean nothing.
func (o *outcome) same() bool {
	for _, l := range o.Layouts {
		if slices.ContainsFunc(l.Annual[:], func(i sim.Interval) bool { return i.Low != i.High }) {
			return false
		}
	}
	return true
}

func (o *outcome) annual(system units.System, verbose bool) *sheet {
	s := &sheet{title: "A year, ± half the 95 % interval of the mean", heads: o.heads(0)}
	switch {
	case o.Years == 1:
		s.title = "One year"
	case o.same():
		s.title = "A year, the same in all of them"
	}
	for _, q := range quantitiesShown {
		if !o.shows(q, verbose) {
			continue
		}
		var cells []cell
		for _, l := range o.Layouts {
			i := l.Annual[q.quantity]
			cells = append(cells, q.cell(system, i, finestShown(q.in(system, i.Mean))))
		}
		s.add(q.labelled(system, o.Currency), cells)
	}
	return s
}

// reading says how the rows of a year's table follow from one another.
func (o *outcome) reading(verbose bool) string {
	text := "Heat to drain is counted above the mains. Cost is that of the water purged, left running and used, and of the energy of heater and pump."
	if o.shows(quantityShown(sim.NetEnergy), verbose) {
		text += " Net pipe heat loss is pipe heat loss less the heating energy saved times the efficiency of heating." +
			" Net energy is heater energy and pump energy, less the heating energy saved, plus the cooling energy added;" +
			" net cost and net CO2 are cost and CO2 with the same taken off and added."
	}
	return text
}

// cell shows an estimate.
func (s shown) cell(system units.System, i sim.Interval, finest int) cell {
	mean, half := estimate(s.in(system, i.Mean), s.in(system, i.HalfWidth()), finest)
	if half != "" {
		half = "±" + half
	}
	return cell{mean, half}
}

// bracketed is a difference in brackets where it may be none: where its interval
// holds 0.
func (c cell) bracketed(i sim.Interval) cell {
	if i.Low <= 0 && i.High >= 0 && c.after != "" {
		return cell{"(" + c.number, c.after + ")"}
	}
	return c
}

// apartMark marks the differences of a layout that is not held against the first.
const apartMark = "*"

// marks mark, by layout, those that are not held against the first; some tells whether
// there is one.
func (o *outcome) marks() (marks []string, some bool) {
	marks = make([]string, len(o.Layouts))
	unlike := o.Unlike()
	for i := range o.Differences {
		if unlike[i+1].Against(unlike[0]) != sim.Alike {
			marks[i+1], some = apartMark, true
		}
	}
	return marks, some
}

// differences shows how layouts differ from the first. What may be no
// difference at all is in brackets.
func (o *outcome) differences(system units.System, verbose bool) *sheet {
	s := &sheet{title: "A year, less that of layout 1; in brackets where the 95 % interval holds 0", heads: o.heads(1)}
	if o.Years == 1 {
		s.title = "One year, less that of layout 1"
	}
	if marks, some := o.marks(); some {
		s.title += "; " + apartMark + " not held against it"
		for i := range s.heads {
			s.heads[i] += marks[i+1]
		}
	}
	for _, q := range quantitiesShown {
		if !o.shows(q, verbose) || len(o.Differences) == 0 {
			continue
		}
		var cells []cell
		finest := finestShown(q.in(system, o.Layouts[0].Annual[q.quantity].Mean))
		for _, d := range o.Differences {
			i := d.Annual[q.quantity]
			cells = append(cells, q.cell(system, i, finest).bracketed(i))
		}
		s.add(q.labelled(system, o.Currency), cells)
	}
	return s
}

// fixtures shows the wait and its like at each fixture.
func (o *outcome) fixtures(system units.System) []*sheet {
	wait := &sheet{title: "Wait for usable water, 0 where it is there at once, s: median/90th percentile", heads: o.heads(0)}
	never := &sheet{title: "Draws that end before usable water comes, %", heads: append([]string{"draws/day"}, o.heads(0)...)}
	purged := &sheet{title: "Water purged per draw, " + system.Unit(units.Volume), heads: o.heads(0)}
	for k, f := range o.Layouts[0].Fixtures {
		waits, nevers, purges := []cell{}, []cell{{fmt.Sprintf("%.2f", f.DrawsPerDay), ""}}, []cell{}
		somebody := false
		for _, l := range o.Layouts {
			f := l.Fixtures[k]
			somebody = somebody || f.WaitingDraws > 0
			waits = append(waits, cell{fmt.Sprintf("%.0f", f.Waits.P50), fmt.Sprintf("/%.0f", f.Waits.P90)})
			nevers = append(nevers, cell{fmt.Sprintf("%.0f", 100*f.NeverHot), ""})
			purges = append(purges, cell{fmt.Sprintf("%.2f", system.Convert(f.PurgedPerDraw*thousandth, units.Volume)), ""})
		}
		if somebody { // nobody waits at a machine
			wait.add(f.Name, waits)
		}
		never.add(f.Name, nevers)
		purged.add(f.Name, purges)
	}
	return []*sheet{wait, never, purged}
}

func (o *outcome) zones(system units.System) *sheet {
	s := &sheet{title: "Heat lost from pipes in a year, by zone, " + system.Unit(units.Energy), heads: o.heads(0)}
	for z, zone := range o.Layouts[0].ZoneLoss {
		var cells []cell
		for _, l := range o.Layouts {
			cells = append(cells, cell{system.Number(l.ZoneLoss[z].Loss*kilowattHour, units.Energy), ""})
		}
		s.add(zone.Zone, cells)
	}
	return s
}

func (o *outcome) months(system units.System, q shown) *sheet {
	s := &sheet{title: capital(q.label) + " by month, " + q.unit(system, o.Currency), heads: o.heads(0)}
	for m := range 12 {
		var cells []cell
		for _, l := range o.Layouts {
			x := q.in(system, l.Months[m][q.quantity])
			mean, _ := estimate(x, 0, finestShown(x))
			cells = append(cells, cell{mean, ""})
		}
		s.add(time.Month(m + 1).String()[:3], cells)
	}
	return s
}

// notes are what a reader of the numbers must know.
func (o *outcome) notes(b *bytes.Buffer) {
	for i, w := range o.Warnings {
		if i == 0 {
			b.WriteString("\nDoubts\n")
		}
		writeNote(b, "- ", w)
	}
	for i, c := range merged(o.Cautions, o.Layouts) {
		if i == 0 {
			b.WriteString("\nCautions\n")
		}
		writeNote(b, "- ", c)
	}
	for i, a := range gathered(o.Assumed, o.names()) {
		if i == 0 {
			b.WriteString("\nAssumed, since the scenario does not say\n")
		}
		writeNote(b, "- ", a.text())
	}
}

// merged are the cautions, each once, with the numbers of the layouts that
// raise it.
func merged(cautions []sim.Caution, layouts []sim.LayoutResult) []string {
	number := make(map[string]int, len(layouts)) // looked up only
	for i, l := range layouts {
		number[l.Name] = i + 1
	}
	var texts []string
	raisedBy := make(map[string][]int, len(cautions))
	for _, c := range cautions {
		by, seen := raisedBy[c.Text]
		if !seen {
			texts = append(texts, c.Text)
		}
		if c.Layout != "" {
			by = append(by, number[c.Layout])
		}
		raisedBy[c.Text] = by
	}
	for i, text := range texts {
		if by := raisedBy[text]; len(by) > 0 {
			texts[i] = capital(layoutNumbers(by)) + ": " + text
		}
	}
	return texts
}
