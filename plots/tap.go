package plots

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
	"pipelag/units"
)

// stillness is what holds for every trace of single openings.
const stillness = "No pump runs meanwhile, and no other tap is open."

// NewTap draws the temperature at a tap against time since it was opened, with
// the wait for usable water. Of one trace it shows all openings in one panel;
// of several, which must be of one fixture and the same rests, it shows the
// layouts together, a panel for each opening.
func NewTap(s Set, traces []*sim.Trace) (*Figure, error) {
	s.Years = 0 // nothing here is drawn by lot
	panels, err := tapPanels(s, traces)
	if err != nil {
		return nil, err
	}
	first := *traces[0]
	shown := func(v float64) float64 { return s.System.Convert(v, units.Temperature) }
	f := &Figure{width: s.Width.length()}
	f.header = []string{"layout", "opening", "t_s", column("tap", s.System.Unit(units.Temperature)), "wait_s"}
	low, high := math.Inf(1), shown(first.Setpoint)
	for _, t := range traces {
		for k, o := range t.Openings {
			for i, v := range o.Series.Tap {
				wait := math.NaN()
				if o.Wait != nil {
					wait = *o.Wait
				}
				f.rows = append(f.rows, []string{t.Layout, Opened(&t.Openings[k]), number(o.Series.Time[i]), number(shown(v)), number(wait)})
				low, high = min(low, shown(v)), max(high, shown(v))
			}
		}
	}
	subject, over := "layouts together", "Where lines coincide, the one named first lies on top."
	if len(traces) == 1 {
		subject = first.Layout
	}
	if len(panels[0].openings) == 1 {
		over = ""
	}
	f.caption = s.caption(
		fmt.Sprintf("Temperature of the hot water at %s against time since the tap was opened, %s, at %s.", first.Fixture, subject, s.format(first.Flow/1000, units.Flow)),
		fmt.Sprintf("Dots mark the wait until the water is usable, at %s; the heater is set to %s.", s.format(first.Usable, units.Temperature), s.format(first.Setpoint, units.Temperature)), stillness, over)

	across := 1
	if s.Width == TwoColumns {
		across = min(3, len(panels))
	}
	// Several panels in one column must still fit a page.
	share, lines, tall := 0.3, 2, vg.Length(110)
	if s.Width == OneColumn && len(panels) > 1 {
		share, lines, tall = 0.42, 1, 85
	}
	names := nameRows(panels[0].entries, vg.Length(share)*f.width, lines)
	far := s.opposite(units.Temperature)
	g := grid{
		panels: len(panels), across: across,
		left: max(names.width, note.width("set point 100 °F")+22), right: 8 + far.besides(),
		head: 16, tall: tall, foot: 17 + names.height(),
	}
	f.height = g.height()
	f.draw = func(p *page) {
		for i, t := range panels {
			q := g.panel(p, i, 10)
			q.across(0, t.end)
			q.up(low-0.04*(high-low), high+0.04*(high-low))
			f.drawTap(q, s, t, first, g.begins(i))
			if g.ends(i) {
				far.yAxis(&q, 4)
			}
			y := q.y.from - 4
			if g.begins(i) {
				names.draw(p, 2, y)
			}
			rail := newPanel(p, q.x.from, q.x.to, y-names.height(), y)
			rail.x = q.x
			rail.xAxis("s")
			for k := range t.entries {
				t.drawWait(&rail, k, names.at(k, y))
			}
		}
	}
	return f, nil
}

// tapPanel is what one panel of a tap figure shows.
type tapPanel struct {
	title    string
	entries  []entry
	openings []sim.Opening
	end      float64 // of its time axis [s]
}

func tapPanels(s Set, traces []*sim.Trace) ([]tapPanel, error) {
	if len(traces) == 0 {
		return nil, ErrNoData
	}
	first := traces[0]
	var layouts []entry
	for _, t := range traces {
		e, err := s.layout(t.Layout)
		if err != nil {
			return nil, err
		}
		layouts = append(layouts, e)
		if t.Fixture != first.Fixture || t.Usable != first.Usable || t.Setpoint != first.Setpoint || len(t.Openings) != len(first.Openings) {
			return nil, fmt.Errorf("traces of %q and %q differ in fixture, temperatures or rests; draw them apart", first.Layout, t.Layout)
		}
		if err := checkTrace(t); err != nil {
			return nil, err
		}
		for k := range t.Openings {
			if Opened(&t.Openings[k]) != Opened(&first.Openings[k]) {
				return nil, fmt.Errorf("traces of %q and %q differ in their rests; draw them apart", first.Layout, t.Layout)
			}
		}
	}
	var panels []tapPanel
	if len(traces) == 1 {
		var names []string
		for k := range first.Openings {
			names = append(names, Opened(&first.Openings[k]))
		}
		panels = []tapPanel{{title: first.Layout, entries: ramped(names), openings: first.Openings}}
	} else {
		for k := range first.Openings {
			t := tapPanel{title: Opened(&first.Openings[k]), entries: layouts}
			for _, trace := range traces {
				t.openings = append(t.openings, trace.Openings[k])
			}
			panels = append(panels, t)
		}
	}
	end := 0.0 // one for all panels
	for i := range panels {
		panels[i].openings = copied(panels[i].openings)
		for _, o := range panels[i].openings {
			if o.Wait != nil {
				end = max(end, 1.3**o.Wait)
			} else {
				end = max(end, o.Series.Time[len(o.Series.Time)-1])
			}
		}
	}
	for i := range panels {
		panels[i].end = max(end, 10)
	}
	return panels, nil
}

// copied is what a panel needs of openings, so that it does not change with them.
func copied(openings []sim.Opening) []sim.Opening {
	out := make([]sim.Opening, len(openings))
	for i, o := range openings {
		out[i].Series = sim.Series{Time: slices.Clone(o.Series.Time), Tap: slices.Clone(o.Series.Tap)}
		if o.Wait != nil {
			wait := *o.Wait
			out[i].Wait = &wait
		}
	}
	return out
}

func checkTrace(t *sim.Trace) error {
	if len(t.Openings) == 0 {
		return ErrNoData
	}
	if err := finite("the trace of "+t.Layout, t.Usable, t.Setpoint, t.Flow); err != nil {
		return err
	}
	for k, o := range t.Openings {
		what := fmt.Sprintf("the trace of %s, %s,", t.Layout, Opened(&t.Openings[k]))
		if len(o.Series.Time) == 0 || len(o.Series.Time) != len(o.Series.Tap) {
			return fmt.Errorf("%s has %d times and %d temperatures; it needs as many of both, and one at least", what, len(o.Series.Time), len(o.Series.Tap))
		}
		if err := finite(what, append(append([]float64(nil), o.Series.Time...), o.Series.Tap...)...); err != nil {
			return err
		}
		if o.Wait != nil {
			if err := finite(what, *o.Wait); err != nil {
				return err
			}
		}
	}
	return nil
}

// Opened says what came before an opening.
func Opened(o *sim.Opening) string {
	if o.Rest == nil {
		return "from cold"
	}
	return "after " + units.Span(*o.Rest)
}

// drawTap draws the temperatures of one panel; the first in a row carries what
// its neighbours share.
func (f *Figure) drawTap(q panel, s Set, t tapPanel, trace sim.Trace, first bool) {
	shown := func(v float64) float64 { return s.System.Convert(v, units.Temperature) }
	q.base()
	marks := []struct {
		name string
		at   float64
	}{{"usable", shown(trace.Usable)}, {"set point", shown(trace.Setpoint)}}
	at, decimals := ticks(q.y.low, q.y.high, 4)
	for _, v := range at {
		y := q.y.at(v)
		clear := true
		for _, m := range marks {
			clear = clear && math.Abs(float64(q.y.at(m.at)-y)) > float64(line)
		}
		if !clear {
			continue
		}
		q.StrokeLine2(draw.LineStyle{Color: hair, Width: fineLine}, q.x.from, y, q.x.to, y)
		if first {
			q.centreText(q.x.from-5, y, tickText(v, decimals), note.right())
		}
	}
	for _, m := range marks {
		y := q.y.at(m.at)
		q.StrokeLine2(draw.LineStyle{Color: muted, Width: 0.7, Dashes: []vg.Length{2.5, 2}}, q.x.from, y, q.x.to, y)
		if first {
			text := m.name + " " + tickText(m.at, 0)
			q.centreText(q.x.from-5, y, text, note.in(ink).right())
		}
	}
	for k := len(t.openings) - 1; k >= 0; k-- {
		o, e := t.openings[k], t.entries[k]
		q.curve(o.Series.Time, inSystem(s, o.Series.Tap), stroke(e.colour, e.place, dataLine))
	}
	for k := len(t.openings) - 1; k >= 0; k-- {
		if w := t.openings[k].Wait; w != nil {
			// Where nobody waits, the water may be warmer than usable at once.
			at := trace.Usable
			if *w == 0 {
				at = max(at, t.openings[k].Series.Tap[0])
			}
			q.dot(q.x.at(*w), q.y.at(shown(at)), t.entries[k].colour)
		}
	}
	q.text(q.x.from, q.y.to+5, title.cut(t.title, q.x.to-q.x.from), title)
	if first {
		q.text(2, q.y.to+5, "At the tap, "+s.unit(units.Temperature), note)
	}
}

// drawWait draws one row of waits below the temperatures.
func (t *tapPanel) drawWait(rail *panel, k int, y vg.Length) {
	e, wait := t.entries[k], t.openings[k].Wait
	if wait == nil {
		rail.StrokeLine2(stroke(e.colour, e.place, dataLine), rail.x.from, y, rail.x.to, y)
		rail.fillBehind(rail.x.to, y, "never", 1)
		rail.centreText(rail.x.to, y, "never", note.in(ink).right())
		return
	}
	x := rail.x.at(*wait)
	rail.StrokeLine2(stroke(e.colour, e.place, dataLine), rail.x.from, y, x, y)
	rail.dot(x, y, e.colour)
	text := fmt.Sprintf("%.0f s", *wait)
	rail.fillBehind(x+4, y, text, 0)
	rail.centreText(x+4, y, text, note.in(ink))
}

// fillBehind clears the ground for a note, whose point divides it by across.
func (p *panel) fillBehind(x, y vg.Length, text string, across float64) {
	w := note.width(text)
	x -= vg.Length(across) * w
	p.fill(vg.Rectangle{Min: vg.Point{X: x - 1, Y: y - 3.2}, Max: vg.Point{X: x + w + 1, Y: y + 3.2}}, white)
}

func inSystem(s Set, values []float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = s.System.Convert(v, units.Temperature)
	}
	return out
}
