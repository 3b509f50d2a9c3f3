package plots

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
	"pipelag/units"
)

// Target is what a limit would do at each value it could be set to.
type Target struct {
	Key     string          // tells its files from those of other savings and homes; empty for one alone
	Homes   string          // which they are; empty for all
	Count   int             // how many there are
	Limited string          // what is limited, such as stored volume to the farthest tap
	Of      units.Dimension // of the limit
	AtLeast bool            // a home complies from the limit up, rather than up to it
	Saved   sim.Quantity    // what a home saves in a year, or a part of it that has its unit
	Called  string          // what is saved; empty for the quantity's own name
	Points  []TargetPoint   // by rising limit
	Knee    int             // the point beyond which a stricter limit buys little, −1 for none
	LeftOut []string        // sentences on the layouts that some homes cannot have
	Over    string          // what the intervals of savings are over, such as homes; empty if nobody said
}

// TargetPoint is one value of the limit.
type TargetPoint struct {
	Limit     float64      // in SI
	Complying float64      // share of homes that comply as they are [-]
	Able      float64      // share that comply as they are or piped another way [-]
	Saving    sim.Interval // in SI, with its 95 % interval
}

// NewTarget draws the share of homes that comply with a limit, that which could, and
// what it saves, against the value it is set to. All of them change where homes
// comply or cease to, and are drawn in steps.
func NewTarget(s Set, t Target) (*Figure, error) {
	if len(t.Points) < 2 {
		return nil, fmt.Errorf("%w: a curve needs limits of two values, and there are %d", ErrNoData, len(t.Points))
	}
	if t.Knee < -1 || t.Knee >= len(t.Points) {
		return nil, fmt.Errorf("the knee is point %d of %d", t.Knee+1, len(t.Points))
	}
	if _, ok := measures[t.Saved]; !ok {
		return nil, fmt.Errorf("no figure shows %s", t.Saved.Key())
	}
	saved := s.measure(t.Saved)
	name := saved.column()
	if t.Called != "" {
		saved.name, name = t.Called, column(strings.ToLower(strings.ReplaceAll(t.Called, " ", "_")), saved.unit)
	}
	unit := s.unit(t.Of)
	homes := ""
	if t.Homes != "" {
		homes = " (" + t.Homes + ")"
	}
	f := &Figure{width: s.Width.length()}
	f.header = []string{column("limit", s.System.Unit(t.Of)), "complying", "able", name, "saving_low", "saving_high", "knee"}
	var limits, shares, able, means []float64
	var savings []sim.Interval
	for i, p := range t.Points {
		what := fmt.Sprintf("the limit of %s", s.System.Format(p.Limit, t.Of))
		v := saved.interval(p.Saving)
		if err := errors.Join(finite(what, p.Limit, p.Complying, p.Able), drawable(what, v.Mean, v.Low, v.High)); err != nil {
			return nil, err
		}
		switch {
		case p.Complying < 0 || p.Complying > 1:
			return nil, fmt.Errorf("at %s a share of %g complies; it must be from 0 to 1", what, p.Complying)
		case p.Able < p.Complying || p.Able > 1:
			return nil, fmt.Errorf("at %s a share of %g can comply; it must be from the %g that does to 1", what, p.Able, p.Complying)
		case i > 0 && p.Limit <= t.Points[i-1].Limit:
			return nil, fmt.Errorf("%s comes after a greater one or twice; limits must rise", what)
		}
		limits = append(limits, s.System.Convert(p.Limit, t.Of))
		shares = append(shares, 100*p.Complying)
		able = append(able, 100*p.Able)
		means = append(means, v.Mean)
		savings = append(savings, v)
		knee := "no"
		if i == t.Knee {
			knee = "yes"
		}
		f.rows = append(f.rows, []string{number(limits[i]), number(p.Complying), number(p.Able), number(v.Mean), number(v.Low), number(v.High), knee})
	}
	low, high := savingReach(savings)
	kneeNote := ""
	if t.Knee >= 0 {
		kneeNote = "The dashed line is the knee, beyond which a stricter limit saves little more."
	}
	stay := ""
	if slices.ContainsFunc(t.Points, func(p TargetPoint) bool { return p.Able < 1 }) {
		stay = "A home that cannot meet a limit stays as it is, so a stricter one may also save less."
	}
	steps := "A limit between two that were tried is drawn as the stricter of them."
	few := len(limits) <= mostDotted
	if few {
		steps = "Dots are the limits that were tried; one between two is drawn as the stricter of them."
	}
	band := "There is no interval of what it saves."
	if slices.ContainsFunc(savings, func(v sim.Interval) bool { return !math.IsNaN(v.Low) }) {
		band = "The band is the 95 % interval of the mean."
		if t.Over != "" {
			band = "The band is the 95 % interval of the mean over " + t.Over + "."
		}
		if !slices.ContainsFunc(savings, func(v sim.Interval) bool { return v.Low != v.High }) {
			band = "The 95 % interval has no width, as all " + t.Over + " gave the same."
		}
	}
	s.Of = fmt.Sprintf("%d homes", t.Count)
	if t.Count == 1 {
		s.Of = "1 home"
	}
	f.caption = s.caption(fmt.Sprintf("Share of homes%s that comply with a limit on %s, and what it saves a home on average, against the value of the limit.", homes, t.Limited),
		"The light line is the share that comply as they are or piped another way.",
		band, steps, kneeNote, stay, strings.Join(t.LeftOut, " "))

	beyond, far := s.opposite(t.Of), saved.opposite(s)
	const tall, foot = vg.Length(80), vg.Length(26)
	head := 20 + beyond.above()
	if t.Knee >= 0 {
		head += line
	}
	margin := 0.0
	if few { // for the dots
		margin = 0.03 * (limits[len(limits)-1] - limits[0])
	}
	f.height = head + tall + 34 + tall + foot
	f.draw = func(p *page) {
		right := f.width - 10 - far.besides()
		top := newPanel(p, 30, right, f.height-head-tall, f.height-head)
		bottom := newPanel(p, 30, right, foot, foot+tall)
		for _, c := range []*panel{&top, &bottom} {
			c.across(limits[0]-margin, limits[len(limits)-1]+margin)
		}
		top.up(0, 100)
		bottom.up(low, high)
		for _, c := range []*panel{&top, &bottom} {
			c.yAxis(4)
			c.xAxis("")
			c.base()
		}
		beyond.xAxis(&top)
		far.yAxis(&bottom, 4)
		p.text(2, f.height-9, title.cut("Homes that comply, and that could (light)"+homes+", %", f.width-4), title)
		p.text(2, foot+tall+8, saved.name+", saved a year, "+saved.unit, title)
		p.text(right, foot-line-11, title.cut("Limit on "+t.Limited+", "+unit, right-2), title.right())
		bottom.within(limits, savings, t.AtLeast, mixed(rampLight, white, 0.5))
		for _, l := range []struct {
			panel
			values []float64
			colour color.Color
		}{{top, able, rampLight}, {top, shares, rampDark}, {bottom, means, rampDark}} {
			xs, ys := stepped(limits, l.values, t.AtLeast)
			l.curve(xs, ys, draw.LineStyle{Color: l.colour, Width: dataLine})
			for i, v := range l.values {
				if few {
					l.dot(l.x.at(limits[i]), l.y.at(v), l.colour)
				}
			}
		}
		if t.Knee < 0 {
			return
		}
		knee := draw.LineStyle{Color: ink, Width: 0.6, Dashes: []vg.Length{2.5, 2}}
		for _, c := range []*panel{&top, &bottom} {
			x := c.x.at(limits[t.Knee])
			c.StrokeLine2(knee, x, c.y.from, x, c.y.to)
		}
		top.dot(top.x.at(limits[t.Knee]), top.y.at(shares[t.Knee]), rampDark)
		bottom.dot(bottom.x.at(limits[t.Knee]), bottom.y.at(means[t.Knee]), rampDark)
		y := f.height - 9 - line - 1
		p.StrokeLine2(knee, 2, y+2.2, 13.5, y+2.2)
		p.text(16, y, "knee: "+s.format(t.Points[t.Knee].Limit, t.Of), note.in(ink))
	}
	return f, nil
}

// mostDotted is how many limits are marked one by one.
const mostDotted = 12

// savingReach holds all savings and zero, with a margin.
func savingReach(savings []sim.Interval) (low, high float64) {
	for _, v := range savings {
		for _, x := range []float64{v.Mean, v.Low, v.High} {
			if !math.IsNaN(x) {
				low, high = min(low, x), max(high, x)
			}
		}
	}
	if low == high {
		return -1, 1
	}
	if low < 0 {
		low -= 0.05 * (high - low)
	}
	return low, high + 0.05*(high-low)
}

// stepped is a curve over limits that between two of them keeps the value of the
// stricter: the lesser, or the greater where it is a floor.
func stepped(limits, values []float64, atLeast bool) (xs, ys []float64) {
	xs, ys = []float64{limits[0]}, []float64{values[0]}
	for i := 1; i < len(limits); i++ {
		if atLeast {
			xs, ys = append(xs, limits[i-1]), append(ys, values[i])
		} else {
			xs, ys = append(xs, limits[i]), append(ys, values[i-1])
		}
		xs, ys = append(xs, limits[i]), append(ys, values[i])
	}
	return xs, ys
}

// within fills the band between the limits of intervals, where they are known, in
// the same steps.
func (p *panel) within(xs []float64, bands []sim.Interval, atLeast bool, c color.Color) {
	for from := 0; from < len(xs); from++ {
		var lows, highs []float64
		to := from
		for ; to < len(xs) && !math.IsNaN(bands[to].Low); to++ {
			lows, highs = append(lows, bands[to].Low), append(highs, bands[to].High)
		}
		if to-from > 1 {
			along, below := stepped(xs[from:to], lows, atLeast)
			_, above := stepped(xs[from:to], highs, atLeast)
			var outline []vg.Point
			for i, x := range along {
				outline = append(outline, vg.Point{X: p.x.at(x), Y: p.y.at(below[i])})
			}
			for i := len(along) - 1; i >= 0; i-- {
				outline = append(outline, vg.Point{X: p.x.at(along[i]), Y: p.y.at(above[i])})
			}
			p.FillPolygon(c, outline)
		}
		from = to
	}
}
