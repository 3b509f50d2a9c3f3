package main

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pipelag/internal/decimal"
	"pipelag/plots"
	"pipelag/sim"
	"pipelag/units"
)

// page is a trace as text.
func (t *traced) page() []byte {
	var b bytes.Buffer
	shown := func(v float64, d units.Dimension) string { return t.units.System.Format(v, d) }
	fmt.Fprintf(&b, "%s, %s: %s\n", t.scenario.Name, t.Layout, t.Fixture)
	writeNote(&b, "", fmt.Sprintf("%s of hot water, %s; usable from %s; the heater is set to %s; the pipes hold %s",
		shown(t.Flow*thousandth, units.Flow), t.flowTaken(shown), shown(t.Usable, units.Temperature), shown(t.Setpoint, units.Temperature), shown(t.Stored/1000, units.Volume)))
	t.way().write(&b)
	writeNote(&b, "  ", fmt.Sprintf("%s: length; %s: bore; water, wall: heat capacity, J/(m K); inner: water to wall, outer: wall to surroundings, W/(m K)",
		t.units.System.Unit(units.Length), t.units.System.Unit(units.Thickness)))
	t.openings().write(&b)
	for i := range t.Openings {
		writeNote(&b, "- ", t.why(&t.Openings[i]))
	}
	for _, said := range []string{t.pumpSaid(), t.firingSaid(shown)} {
		if said != "" {
			writeNote(&b, "- ", said)
		}
	}
	t.atTap().write(&b)
	for i := range t.Openings {
		t.along(&t.Openings[i]).write(&b)
	}
	for _, p := range t.explained() {
		t.inspected(&b, p)
	}
	for i, a := range firingAssumed(t.firing, nil, nil) {
		if i == 0 {
			b.WriteString("\nAssumed\n")
		}
		writeNote(&b, "- ", a.text())
	}
	return b.Bytes()
}

// pumpSaid says that the layout's pump is not in what is shown; it is empty where
// there is none.
func (t *traced) pumpSaid() string {
	for _, l := range t.house.Layouts {
		if l.Network.Name == t.Layout && l.Pump != nil {
			return "The pump stands still here; what people wait while it does its work is what pipelag run tells, and a day of it trace --day."
		}
	}
	return ""
}

// way lists the pipes from the heater to the tap. Coefficients are in SI in
// either system: they are for checking against handbooks and other programs.
func (t *traced) way() *sheet {
	s := &sheet{
		title: "The way from the heater",
		heads: []string{t.units.System.Unit(units.Length), t.units.System.Unit(units.Thickness), "water", "wall", "inner", "outer"},
	}
	for _, p := range t.Pipes {
		s.add("  "+p.From+" > "+p.To, []cell{
			{t.units.System.Number(p.Length, units.Length), ""},
			{t.units.System.Number(p.Inside/1000, units.Thickness), ""},
			{fmt.Sprintf("%.0f", p.Water), ""},
			{fmt.Sprintf("%.0f", p.Wall), ""},
			{fmt.Sprintf("%.1f", p.Inner), ""},
			{fmt.Sprintf("%.3f", p.Outer), ""},
		})
	}
	return s
}

// openings compares the waits and what made them.
func (t *traced) openings() *sheet {
	s := &sheet{title: "Openings"}
	for i := range t.Openings {
		s.heads = append(s.heads, plots.Opened(&t.Openings[i]))
	}
	row := func(label string, value func(*sim.Opening) string) {
		var cells []cell
		for i := range t.Openings {
			cells = append(cells, cell{value(&t.Openings[i]), ""})
		}
		s.add("  "+label, cells)
	}
	warmth := func(of func(*sim.Opening) float64) func(*sim.Opening) string {
		return func(o *sim.Opening) string { return t.units.System.Number(of(o), units.Temperature) }
	}
	degrees := t.units.System.Unit(units.Temperature)
	row("before, at the heater, "+degrees, warmth(func(o *sim.Opening) float64 { return o.Before.HeaterEnd }))
	row("before, midway, "+degrees, warmth(func(o *sim.Opening) float64 { return o.Before.Middle }))
	row("before, at the tap, "+degrees, warmth(func(o *sim.Opening) float64 { return o.Before.TapEnd }))
	row("wait, s", func(o *sim.Opening) string {
		if o.Wait == nil {
			return "never"
		}
		return tenths(*o.Wait)
	})
	type part struct {
		label string
		of    func(*sim.Opening) *float64
		sign  string
	}
	parts := []part{
		{"  by plug flow alone", func(o *sim.Opening) *float64 { return o.Parts.Plug }, ""},
		{"  warming the wall", func(o *sim.Opening) *float64 { return o.Parts.Wall }, "+"},
		{"  loss to surroundings", func(o *sim.Opening) *float64 { return o.Parts.Loss }, "+"},
		{"  mixing along the pipe", func(o *sim.Opening) *float64 { return o.Parts.Dispersion }, "+"},
	}
	if t.firing != nil {
		parts = append(parts, part{"  firing of the heater", func(o *sim.Opening) *float64 { return o.Parts.Heater }, "+"})
	}
	for _, part := range parts {
		row(part.label, func(o *sim.Opening) string {
			v := part.of(o)
			if v == nil {
				return "-"
			}
			text := tenths(*v)
			if *v > 0 && strings.Trim(text, "0.") != "" {
				text = part.sign + text
			}
			return text
		})
	}
	row("purged, "+t.units.System.Unit(units.Volume), func(o *sim.Opening) string {
		if o.Purged == nil {
			return "-"
		}
		return t.units.System.Number(*o.Purged/1000, units.Volume)
	})
	row("purged over stored", func(o *sim.Opening) string {
		if o.Ratio == nil {
			return "-"
		}
		return strconv.FormatFloat(*o.Ratio, 'f', 2, 64)
	})
	return s
}

func tenths(x float64) string { return rounded(x, -1) }

// why says in a sentence what the wait is made of, leaving out what is less than
// a fiftieth of it.
func (t *traced) why(o *sim.Opening) string {
	from := plots.Opened(o)
	switch {
	case o.Wait == nil && t.firing != nil && t.firing.Gives(t.Flow*thousandth, t.firing.Mean) < t.Usable:
		return fmt.Sprintf("Usable water never comes %s: the heater does not heat so much, and the tap does not pass %s.",
			from, t.units.System.Format(slices.Max(o.Series.Tap), units.Temperature))
	case o.Wait == nil:
		return fmt.Sprintf("Usable water never comes %s: at this flow the way loses so much that the tap does not pass %s.",
			from, t.units.System.Format(slices.Max(o.Series.Tap), units.Temperature))
	case *o.Wait == 0:
		return fmt.Sprintf("Nobody waits %s: the water at the tap is usable still.", from) + t.slug(o)
	case o.Parts.Plug == nil:
		return fmt.Sprintf("The wait %s is %s s; without mixing along the pipe usable water would not come at all.", from, tenths(*o.Wait)) + t.slug(o)
	}
	var causes []string
	for _, part := range []struct {
		time float64
		adds string
	}{
		{*o.Parts.Plug, "to push out the water that stood too cool"},
		{*o.Parts.Wall, "to warm the wall of the tube"},
		{*o.Parts.Loss, "to make up for what the surroundings take"},
		{*o.Parts.Dispersion, "for mixing along the pipe"},
		{*o.Parts.Heater, "for the heater to fire and warm itself"},
	} {
		if math.Abs(part.time) >= *o.Wait/50 {
			causes = append(causes, tenths(part.time)+" s "+part.adds)
		}
	}
	return fmt.Sprintf("The wait %s is %s s: %s.", from, tenths(*o.Wait), strings.Join(causes, ", ")) + t.slug(o)
}

// slug says that cooler water follows the first that is usable; it is empty where none
// does.
func (t *traced) slug(o *sim.Opening) string {
	s := o.Slug(t.Usable)
	if s == nil {
		return ""
	}
	said := fmt.Sprintf(" Cooler water follows: %s at %s s", t.units.System.Format(s.Coolest, units.Temperature), tenths(s.At))
	if s.Until == nil {
		return said + "."
	}
	return said + fmt.Sprintf(", usable again from %s s.", tenths(*s.Until))
}

// rowsShown is about how many times, or places, a table of temperatures has.
const rowsShown = 12

// atTap is the temperature at the tap until somewhat after the longest wait.
func (t *traced) atTap() *sheet {
	s := &sheet{title: "Temperature at the tap, " + t.units.System.Unit(units.Temperature) + ", after so many seconds"}
	end := 0.0
	for i := range t.Openings {
		o := &t.Openings[i]
		s.heads = append(s.heads, plots.Opened(o))
		if o.Wait != nil {
			end = max(end, 1.3**o.Wait)
		} else {
			end = max(end, o.Series.Time[len(o.Series.Time)-1])
		}
	}
	step := decimal.Step(max(end, 1) / rowsShown)
	for k := 0; float64(k-1)*step < end; k++ {
		at := float64(k) * step
		var cells []cell
		for i := range t.Openings {
			series := &t.Openings[i].Series
			cells = append(cells, cell{t.units.System.Number(between(series.Time, series.Tap, at), units.Temperature), ""})
		}
		s.add("  "+strconv.FormatFloat(at, 'g', -1, 64), cells)
	}
	return s
}

// along is the temperature along the way at a few times of an opening, the last
// when usable water has come or nothing changes.
func (t *traced) along(o *sim.Opening) *sheet {
	const times = 7
	s := &sheet{title: fmt.Sprintf("Water along the way, %s, %s; rows are %s from the heater",
		t.units.System.Unit(units.Temperature), plots.Opened(o), t.units.System.Unit(units.Length))}
	var chosen []*sim.Profile
	last := len(o.Profiles) - 1
	columns := min(times, last+1)
	for k := range columns {
		chosen = append(chosen, &o.Profiles[k*last/max(columns-1, 1)])
	}
	for _, p := range chosen {
		s.heads = append(s.heads, tenths(p.Time)+" s")
	}
	x := chosen[0].Distance
	end := t.units.System.Convert(x[len(x)-1], units.Length)
	step := decimal.Step(end / rowsShown)
	unit := t.units.System.Convert(1, units.Length)
	for k := 0; float64(k)*step <= end; k++ {
		var cells []cell
		for _, p := range chosen {
			cells = append(cells, cell{t.units.System.Number(between(p.Distance, p.Temperature, float64(k)*step/unit), units.Temperature), ""})
		}
		s.add("  "+strconv.FormatFloat(float64(k)*step, 'g', 6, 64), cells)
	}
	return s
}

// between is y at x on the straight line between its neighbours, and the nearest
// y beyond the ends; xs rise.
func between(xs, ys []float64, x float64) float64 {
	for i, v := range xs {
		if v < x {
			continue
		}
		if i == 0 {
			return ys[0]
		}
		share := (x - xs[i-1]) / (v - xs[i-1])
		return ys[i-1] + share*(ys[i]-ys[i-1])
	}
	return ys[len(ys)-1]
}

// explained are the pipes whose coefficients are asked for: all or none.
func (t *traced) explained() []sim.TracePipe {
	if !t.inspect {
		return nil
	}
	return t.Pipes
}

// inspected lists the coefficients of one pipe.
func (t *traced) inspected(b *bytes.Buffer, p sim.TracePipe) {
	fmt.Fprintf(b, "\n%s > %s, %s\n", p.From, p.To, p.Tube)
	for _, c := range p.Explained {
		value := strconv.FormatFloat(c.Value, 'g', 4, 64)
		if c.Unit != "-" {
			value += " " + c.Unit
		}
		fmt.Fprintf(b, "  %-5s %-18s %s\n", c.Symbol, value, c.Name)
		writeNote(b, "        ", "= "+c.Formula+"; "+c.Source)
	}
}
