package plots

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
)

// Apart is a layout that is not held against the base layout, or the base layout if
// none is held against it, and why.
type Apart struct {
	Layout string
	Why    sim.Unlike
	Partly bool // in some of several cases only
}

// apart are the layouts of a result that are not held against its first.
func apart(r *sim.Result) []Apart {
	var all []Apart
	for i, why := range r.Unlike() {
		if why != sim.Alike {
			all = append(all, Apart{Layout: r.Layouts[i].Name, Why: why})
		}
	}
	return all
}

// NewDifferences draws how the layouts differ from the base layout in a year,
// with 95 % intervals, a panel for each quantity. The dots of layouts that stand
// apart are hollow.
func NewDifferences(s Set, differences []sim.Difference, apart []Apart) (*Figure, error) {
	if len(differences) == 0 {
		return nil, ErrNoData
	}
	base := differences[0].Against
	var entries []entry
	var rows []sim.Difference
	for _, d := range differences {
		if d.Against != base {
			continue
		}
		e, err := s.layout(d.Layout)
		if err != nil {
			return nil, err
		}
		entries = append(entries, e)
		rows = append(rows, d)
	}
	// A quantity in which no layout differs, such as a pump's where there is
	// none, has no panel.
	quantities := slices.DeleteFunc([]sim.Quantity{sim.Purged, sim.Wait, sim.PipeLoss, sim.HeaterInput, sim.PumpInput, sim.Cost}, func(q sim.Quantity) bool {
		return !slices.ContainsFunc(rows, func(d sim.Difference) bool { return d.Annual[q].Mean != 0 })
	})
	if len(quantities) == 0 {
		return nil, fmt.Errorf("%w: the layouts do not differ in anything", ErrNoData)
	}
	f := &Figure{width: s.Width.length(), header: []string{"layout", "against", "quantity", "mean", "low", "high", "unit", "held"}}
	why := func(layout string) sim.Unlike {
		if k := slices.IndexFunc(apart, func(a Apart) bool { return a.Layout == layout }); k >= 0 {
			return apart[k].Why
		}
		return sim.Alike
	}
	held := func(layout string) bool { return why(layout).Against(why(base)) == sim.Alike }
	values := make([][]sim.Interval, len(quantities))
	for k, q := range quantities {
		m := s.measure(q)
		for i, d := range rows {
			v := m.interval(d.Annual[q])
			if err := drawable(q.Key()+" of "+d.Layout, v.Mean, v.Low, v.High); err != nil {
				return nil, err
			}
			values[k] = append(values[k], v)
			f.rows = append(f.rows, []string{entries[i].name, base, m.name, number(v.Mean), number(v.Low), number(v.High), m.unit, yesNo(held(d.Layout))})
		}
	}
	whiskers := s.intervals("Whiskers are 95 % intervals of the mean, hidden where they are narrower than the dot.")
	if s.Years == 0 && !slices.ContainsFunc(slices.Concat(values...), func(v sim.Interval) bool { return !math.IsNaN(v.Low) }) {
		whiskers = "One year of each case gives no interval."
	}
	f.caption = s.caption("Differences of a year from "+base+", year by year with the same draws.",
		whiskers, "To the left of the line is less than "+base+".", hollow(base, apart))

	across := columns(len(quantities), 2)
	if s.Width == TwoColumns {
		across = columns(len(quantities), 3)
	}
	names := nameRows(entries, 0.34*f.width, 2)
	names.row = max(names.row, 11)
	above := vg.Length(0)
	for _, q := range quantities {
		above = max(above, s.measure(q).opposite(s).above())
	}
	g := grid{panels: len(quantities), across: across, left: names.width + 2, head: 18 + above, tall: names.height(), foot: 16}
	f.height = g.height()
	f.draw = func(p *page) {
		for k, q := range quantities {
			m := s.measure(q)
			c := g.panel(p, k, 12)
			if g.begins(k) {
				names.draw(p, 2, c.y.to)
			}
			c.across(differenceReach(values[k]))
			c.xAxis("")
			m.opposite(s).xAxis(&c)
			c.heading(m.name+", "+m.unit, above)
			zero := c.x.at(0)
			c.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.7}, zero, c.y.from, zero, c.y.to)
			for i, v := range values[k] {
				y := names.at(i, c.y.to)
				c.StrokeLine2(draw.LineStyle{Color: hair, Width: fineLine}, zero, y, c.x.at(v.Mean), y)
				c.whisker(v.Low, v.High, y, entries[i].colour)
				if held(entries[i].name) {
					c.spot(c.x.at(v.Mean), y, entries[i].colour)
				} else {
					c.ring(c.x.at(v.Mean), y, entries[i].colour)
				}
			}
		}
	}
	return f, nil
}

// getsLess says why what serves less is set apart.
const getsLess = "fixtures get less water with that layout than with another"

// hollow says why dots are hollow, if any are.
func hollow(base string, apart []Apart) string {
	told := func(text string, of func(Apart) bool) string {
		here := slices.DeleteFunc(slices.Clone(apart), func(a Apart) bool { return !of(a) })
		switch {
		case len(here) == 0:
			return ""
		case !slices.ContainsFunc(here, func(a Apart) bool { return !a.Partly }):
			return text + " in some cases"
		}
		return text
	}
	if why := told("fixtures get less water with it than with another", func(a Apart) bool { return a.Layout == base }); why != "" {
		return "Dots are hollow, as no layout is held against " + base + ": " + why + "."
	}
	all := slices.DeleteFunc([]string{
		told(getsLess, func(a Apart) bool { return a.Why == sim.ServesLess }),
		told("one of the two alone returns through the cold line, which takes up heat of its surroundings", func(a Apart) bool { return a.Why == sim.ThroughCold }),
	}, func(why string) bool { return why == "" })
	if len(all) == 0 {
		return ""
	}
	return "What has a hollow dot is not held against " + base + ": " + strings.Join(all, ", or ") + "."
}

// differenceReach holds zero and all intervals, with a margin for the dots.
func differenceReach(values []sim.Interval) (low, high float64) {
	all := []float64{0}
	for _, v := range values {
		all = append(all, v.Mean, v.Low, v.High)
	}
	all = slices.DeleteFunc(all, math.IsNaN)
	low, high = slices.Min(all), slices.Max(all)
	if low == high {
		return -1, 1
	}
	margin := 0.06 * (high - low)
	return low - margin, high + margin
}
