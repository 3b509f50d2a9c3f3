package main

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"pipelag/internal/decimal"
	"pipelag/scenarios"
	"pipelag/schedules"
	"pipelag/schedules/patterns"
	"pipelag/schedules/statistics"
	"pipelag/units"
)

// page is the schedule as a page of text.
func (d *drawsShown) page() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s: draws, %s\n", d.scenario.Name, d.origin)
	fmt.Fprintf(&b, "pipelag %s, scenario sha256 %.12s\n", version(), d.scenario.SHA256)
	for after := range d.days {
		d.daySheet(after).write(&b)
	}
	d.volumes().write(&b)
	if d.target() != nil {
		for _, a := range d.scenario.Assumed {
			if a.Path == scenarios.Undrawn {
				writeNote(&b, "", capital(assumption(a).text())+".")
			}
		}
	}
	if p, ok := d.schedule.(*patterns.Pattern); ok {
		volume, energy := p.Daily()
		system := d.units.System
		writeNote(&b, "", fmt.Sprintf("A day of the pattern: %s as drawn, %s above %s.", system.Format(volume, units.Volume),
			fmt.Sprintf("%.4g kWh", energy/kilowattHour), system.Format(p.Cold(), units.Temperature)))
	}
	if d.many != nil {
		d.statisticsPage(&b)
	}
	return b.Bytes()
}

// daySheet lists the draws of a day.
func (d *drawsShown) daySheet(after int) *sheet {
	system := d.units.System
	day, wishes := d.day(after)
	s := &sheet{heads: []string{"kind", system.Unit(units.Flow), "s", system.Unit(units.Volume), system.Unit(units.Temperature)}}
	total := 0.0
	for _, w := range wishes {
		volume, duration := amounts(w)
		total += volume
		temperature := "" // a machine takes it as hot as it comes
		if w.Kind != schedules.Appliance {
			temperature = system.Number(w.Mixed, units.Temperature)
		}
		at := time.Duration(math.Round(w.Start-float64(day)*86400)) * time.Second
		s.add(fmt.Sprintf("  %02d:%02d:%02d  %s", int(at.Hours()), int(at.Minutes())%60, int(at.Seconds())%60, d.fixtures[w.Fixture].Name), []cell{
			{"", w.Kind.String()},
			{system.Number(w.Flow, units.Flow), ""},
			{fmt.Sprintf("%.0f", duration), ""},
			{system.Number(volume, units.Volume), ""},
			{temperature, ""},
		})
	}
	s.title = fmt.Sprintf("%s: %s, %s", d.date(day), counted(len(wishes), "draw"), system.Format(total, units.Volume))
	if len(wishes) == 0 {
		s.heads = []string{""}
		s.add("  nobody draws water", []cell{{}})
	}
	return s
}

// amounts are a wish's volume used [m³] and how long it runs, waiting apart [s].
func amounts(w schedules.Wish) (volume, duration float64) {
	if w.Kind == schedules.Washing || w.Kind == schedules.Brief {
		return w.Flow * w.Duration, w.Duration
	}
	return w.Volume, w.Volume / w.Flow
}

// volumes shows what the year shown comes to beside what it is scaled to.
func (d *drawsShown) volumes() *sheet {
	unit := d.units.Unit(units.Volume) + "/d"
	s := &sheet{title: "Volume used in the year shown, mixed at taps and hot into machines", heads: []string{"draws/d", unit}}
	target := d.target()
	switch {
	case target != nil:
		s.heads = append(s.heads, "meant, "+unit, "achieved")
	case d.year.Days < schedules.DaysPerYear:
		s.title = "Volume used in " + counted(d.year.Days, "day") + ", mixed at taps and hot into machines"
	}
	row := func(name string, count, volume, meant float64) {
		cells := []cell{{fmt.Sprintf("%.2f", count), ""}, {d.units.Number(volume, units.Volume), ""}}
		if target != nil {
			achieved := ""
			if meant > 0 {
				achieved = fmt.Sprintf("%.0f %%", 100*volume/meant)
			}
			cells = append(cells, cell{d.units.Number(meant, units.Volume), ""}, cell{achieved, ""})
		}
		s.add("  "+name, cells)
	}
	sum := 0.0
	for u, use := range d.year.Uses {
		meant := 0.0
		if target != nil && d.serves(schedules.Use(u)) {
			meant = target.Daily(schedules.Use(u))
		}
		if use.DrawsPerDay.Value > 0 || meant > 0 {
			row(schedules.Use(u).String(), use.DrawsPerDay.Value, use.Volume.Value, meant)
		}
		sum += meant
	}
	row("in all", d.year.DrawsPerDay.Value, d.year.Volume.Value, sum)
	return s
}

// serves tells whether there is a fixture for a use; without one nobody draws for it.
func (d *drawsShown) serves(u schedules.Use) bool {
	return slices.ContainsFunc(d.fixtures, func(f schedules.Fixture) bool { return f.Use == u })
}

// footnotes numbers texts that several rows share.
type footnotes []string

func (f *footnotes) mark(text string) string {
	if text == "" {
		return ""
	}
	i := slices.Index(*f, text)
	if i < 0 {
		i = len(*f)
		*f = append(*f, text)
	}
	return strconv.Itoa(i + 1)
}

func (d *drawsShown) statisticsPage(b *bytes.Buffer) {
	var notes footnotes
	var s *sheet
	subject := ""
	for _, r := range d.many.Rows(d.target()) {
		if r.Subject != subject {
			if s != nil {
				s.write(b)
			}
			subject = r.Subject
			s = &sheet{title: capital(subject), heads: []string{"here", "", "published", "see"}}
		}
		s.add("  "+d.measured(r), d.rowCells(r, &notes))
	}
	if s != nil {
		s.write(b)
	}
	d.hours(&notes).write(b)
	b.WriteString("\nOf ")
	switch {
	case d.people:
		b.WriteString(counted(d.many.Years, "year"))
	default:
		b.WriteString(counted(d.many.Days, "day"))
	}
	b.WriteString("; ± one standard error, where there are years to tell it from\n")
	if d.people {
		writeNote(b, "p   ", "With enough years p finds any difference: the draws of a session are spread over minutes round the published hour. Farthest is how much that comes to, in points.")
	}
	for i, text := range notes {
		writeNote(b, fmt.Sprintf("%-4d", i+1), text)
	}
}

// measured names a row with the unit it is shown in.
func (d *drawsShown) measured(r statistics.Row) string {
	unit := r.Unit
	switch {
	case strings.HasPrefix(unit, "L/s"):
		unit = d.units.Unit(units.Flow)
	case strings.HasPrefix(unit, "L"):
		unit = d.units.Unit(units.Volume) + unit[1:]
	}
	if unit == "" {
		return r.Quantity
	}
	return r.Quantity + ", " + unit
}

func (d *drawsShown) rowCells(r statistics.Row, notes *footnotes) []cell {
	in := func(v float64) float64 {
		switch {
		case strings.HasPrefix(r.Unit, "L/s"):
			return d.units.Convert(v/1000, units.Flow)
		case strings.HasPrefix(r.Unit, "L"):
			return d.units.Convert(v/1000, units.Volume)
		}
		return v
	}
	figure := func(v float64) string {
		if r.Unit == "share" {
			return fmt.Sprintf("%.2f", v)
		}
		return rounded(in(v), max(decimal.Last(in(v), 3), -3))
	}
	here, spread := figure(r.Value), ""
	if r.Error > 0 {
		spread = "±" + rounded(in(r.Error), max(decimal.Last(in(r.Error), 2), -3))
	}
	beside, see := "", ""
	if r.Beside {
		beside = figure(r.Published)
		see = notes.mark(r.Title + " (" + r.Status + ")")
	}
	if note := notes.mark(r.Note); note != "" {
		see += ", " + note
	}
	return []cell{{here, ""}, {"", spread}, {beside, ""}, {"", strings.TrimPrefix(see, ", ")}}
}

// hours shows at which hours each use begins, beside the published shares.
func (d *drawsShown) hours(notes *footnotes) *sheet {
	s := &sheet{title: "Starts by hour of the day (machines: of cycles), % here/published"}
	shapes := d.many.Shapes
	for _, shape := range shapes {
		s.heads = append(s.heads, shape.Subject)
	}
	for h := range 24 {
		var cells []cell
		for _, shape := range shapes {
			cells = append(cells, cell{fmt.Sprintf("%.1f", 100*shape.Hours[h]), fmt.Sprintf("/%4.1f", 100*shape.Published.Hours[h])})
		}
		s.add(fmt.Sprintf("  %02d to %02d", h, h+1), cells)
	}
	of := func(label string, text func(statistics.Shape) string, from []statistics.Shape) {
		var cells []cell
		for _, shape := range shapes {
			i := slices.IndexFunc(from, func(f statistics.Shape) bool { return f.Subject == shape.Subject })
			if i < 0 { // not seen in the one year
				cells = append(cells, cell{})
				continue
			}
			cells = append(cells, cell{text(from[i]), ""})
		}
		s.add(label, cells)
	}
	starts := func(shape statistics.Shape) string { return strconv.Itoa(shape.Starts) }
	farthest := func(shape statistics.Shape) string {
		most := 0.0
		for h, share := range shape.Hours {
			most = math.Max(most, math.Abs(share-shape.Published.Hours[h]))
		}
		return fmt.Sprintf("%.1f", 100*most)
	}
	of("  farthest", farthest, shapes)
	if d.people {
		of("  starts in the year shown", starts, d.year.Shapes)
		of("  p, of the year shown", probability, d.year.Shapes)
	}
	of("  starts in all", starts, shapes)
	of("  p, of all", probability, shapes)
	of("  see", func(shape statistics.Shape) string {
		return notes.mark(shape.Published.Title + " (" + shape.Published.Status + ")")
	}, shapes)
	return s
}

func probability(s statistics.Shape) string {
	switch {
	case math.IsNaN(s.P):
		return "-"
	case s.P < 0.001:
		return "<0.001"
	}
	return fmt.Sprintf("%.3f", s.P)
}
