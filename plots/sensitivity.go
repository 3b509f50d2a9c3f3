package plots

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
)

// Sensitivity is how far the spread of an outcome comes from each of the things
// that were varied, as a variance-based study finds it.
type Sensitivity struct {
	Key     string // tells its files from those of other outcomes; empty for one alone
	Outcome string // what spreads, as the title says it
	Factors []Factor
	Notes   []string // what a caption says besides
}

// Factor is one thing that was varied. First is the share of the outcome's
// variance that it makes alone, Total that which it has a part in; with their
// 95 % intervals. An estimate may fall a little below 0.
type Factor struct {
	Name         string
	First, Total sim.Interval
}

// NewSensitivity draws the indices of the factors as bars, the greatest total
// first.
func NewSensitivity(s Set, found Sensitivity) (*Figure, error) {
	factors := slices.Clone(found.Factors)
	if len(factors) == 0 {
		return nil, ErrNoData
	}
	slices.SortStableFunc(factors, func(a, b Factor) int { return cmp.Compare(b.Total.Mean, a.Total.Mean) })
	f := &Figure{width: s.Width.length(), header: []string{"factor", "first_order", "first_order_low", "first_order_high", "total", "total_low", "total_high"}}
	low, high := 0.0, 0.0
	whiskers, wide := "", ""
	var entries []entry
	for _, x := range factors {
		if x.Name == "" {
			return nil, errors.New("a factor has no name")
		}
		for _, v := range []sim.Interval{x.First, x.Total} {
			numbers := []float64{v.Mean}
			unknown := math.IsNaN(v.Low) && math.IsNaN(v.High)
			if !unknown {
				// An interval of samples drawn again need not hold the index.
				numbers = append(numbers, v.Low, v.High)
			}
			if err := finite("the index of "+x.Name, numbers...); err != nil {
				return nil, err
			}
			low, high = min(low, v.Mean), max(high, v.Mean)
			if !unknown {
				low, high = min(low, v.Low), max(high, v.High)
				whiskers = "Whiskers are 95 % intervals."
				if v.High-v.Low > 1 {
					wide = "Some are wider than from 0 to 1: these are too few samples to tell such shares."
				}
			}
		}
		entries = append(entries, entry{x.Name, rampDark, 0})
		f.rows = append(f.rows, []string{
			x.Name, number(x.First.Mean), number(x.First.Low), number(x.First.High),
			number(x.Total.Mean), number(x.Total.Low), number(x.Total.High),
		})
	}
	if high <= 0 {
		return nil, fmt.Errorf("%w: no factor has an index above 0: the outcome does not spread", ErrNoData)
	}
	f.caption = s.caption("What the spread of "+found.Outcome+" comes from.",
		"Dark bars are the share of the variance that a factor makes alone, light bars the share that it has any part in.", whiskers, wide, strings.Join(found.Notes, " "))

	names := nameRows(entries, 0.42*f.width, 2)
	names.row = max(names.row, 15)
	const head, foot = vg.Length(30), vg.Length(16)
	f.height = head + names.height() + foot
	colours := []entry{{"alone (first order)", rampMiddle, 0}, {"with all others (total)", rampLight, 0}}
	f.draw = func(p *page) {
		top := f.height - head
		c := newPanel(p, names.width, f.width-10, top-names.height(), top)
		c.across(low, high*1.03)
		c.xAxis("")
		p.text(2, f.height-9, title.cut("Share of the variance of "+found.Outcome, f.width-4), title)
		x := c.x.from
		if s.Width == OneColumn {
			x = 2
		}
		for _, e := range colours {
			p.fill(vg.Rectangle{Min: vg.Point{X: x, Y: top + 7}, Max: vg.Point{X: x + 6, Y: top + 12}}, e.colour)
			p.text(x+8, top+7.5, e.name, note.in(ink))
			x += 8 + note.width(e.name) + 9
		}
		zero := c.x.at(0)
		c.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, zero, c.y.from, zero, c.y.to)
		for i, v := range factors {
			y := names.at(i, top)
			p.centreLines(2, y, names.lines[i], label)
			const tall = vg.Length(4.4)
			for k, index := range []sim.Interval{v.First, v.Total} {
				middle := y + tall/2 - vg.Length(k)*tall
				from, to := min(zero, c.x.at(index.Mean)), max(zero, c.x.at(index.Mean))
				p.fill(vg.Rectangle{Min: vg.Point{X: from, Y: middle - tall/2}, Max: vg.Point{X: to, Y: middle + tall/2}}, colours[k].colour)
				c.whisker(index.Low, index.High, middle, ink)
			}
		}
	}
	return f, nil
}
