package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
	"pipelag/units"
)

// NewTradeoff draws the water a layout purges against the energy it takes, with
// intervals, and marks the frontier: the layouts that no other beats in both. Those
// with a crossover have a frontier of their own, as only their cold line takes up
// heat of its surroundings; those that serve less than others are on none, and rings.
func NewTradeoff(s Set, r *sim.Result) (*Figure, error) {
	entries, err := s.layouts(r)
	if err != nil {
		return nil, err
	}
	if len(entries) == 1 {
		return nil, fmt.Errorf("%w: there is no other layout than %s", ErrNoData, entries[0].name)
	}
	purged, energy := s.measure(sim.Purged), s.measure(sim.HeaterInput)
	f := &Figure{width: s.Width.length()}
	f.header = []string{"layout", purged.column(), "purged_low", "purged_high", column("energy", energy.unit), "energy_low", "energy_high", "frontier"}
	var xs, ys []sim.Interval
	for i := range r.Layouts {
		a := &r.Layouts[i].Annual
		x := energy.interval(sum(a[sim.HeaterInput], a[sim.PumpInput]))
		y := purged.interval(a[sim.Purged])
		for _, v := range []sim.Interval{x, y} {
			if err := drawable("the result of "+entries[i].name, v.Mean, v.Low, v.High); err != nil {
				return nil, err
			}
		}
		xs, ys = append(xs, x), append(ys, y)
	}
	unlike := r.Unlike()
	var without, with []int
	for i := range r.Layouts {
		switch {
		case unlike[i] == sim.ServesLess:
		case r.Layouts[i].Crossover == nil:
			without = append(without, i)
		default:
			with = append(with, i)
		}
	}
	fronts := [][]int{frontier(xs, ys, without), frontier(xs, ys, with)}
	front := slices.Concat(fronts...)
	apart, less := "", ""
	if len(without) > 0 && len(with) > 0 {
		apart = "Layouts with a crossover have a frontier of their own, for their cold line takes up heat of its surroundings, which is left out where there is no crossover."
	}
	if slices.Contains(unlike, sim.ServesLess) {
		less = "What has a hollow dot is on no frontier: " + getsLess + "."
	}
	bold := ""
	if len(front) > 0 {
		bold = "The names in bold, and the line that joins them, are the frontier: no other layout beats them in both."
	}
	for i, e := range entries {
		f.rows = append(f.rows, []string{e.name, number(ys[i].Mean), number(ys[i].Low), number(ys[i].High), number(xs[i].Mean), number(xs[i].Low), number(xs[i].High), yesNo(slices.Contains(front, i))})
	}
	f.caption = s.caption("Water purged in a year against the energy taken by heater and pump.", takes(r),
		s.intervals("Crosses are 95 % intervals, hidden where they are narrower than the dot; that of the energy adds heater's and pump's, which makes it wide rather than narrow."),
		bold, apart, less)

	// More names than these crowd a panel: letters stand for them, and a key
	// below spells them out.
	shown, key := slices.Clone(entries), vg.Length(0)
	if len(entries) > 8 {
		key = line*vg.Length(len(entries)) + 8
		for i := range shown {
			shown[i].name = letter(i)
		}
	}
	f.height = key + 0.5*f.width
	if s.Width == OneColumn {
		f.height = key + 0.95*f.width
	}
	f.draw = func(p *page) {
		far := purged.opposite(s)
		c := newPanel(p, 34, f.width-8-far.besides(), key+24, f.height-18)
		c.across(around(xs))
		c.up(around(ys))
		c.yAxis(5)
		far.yAxis(&c, 5)
		c.xAxis("")
		c.base()
		c.text(2, f.height-9, purged.name+" a year, "+s.unit(units.Volume), title)
		c.text(c.x.to, key+4, "Energy into heater and pump a year, "+energy.unit, title.right())
		var taken []vg.Rectangle
		dots := make([]vg.Point, len(entries))
		for _, front := range fronts {
			joined := make([]vg.Point, len(front))
			for k, i := range front {
				joined[k] = vg.Point{X: c.x.at(xs[i].Mean), Y: c.y.at(ys[i].Mean)}
			}
			c.StrokeLines(draw.LineStyle{Color: muted, Width: 0.8, Dashes: []vg.Length{2.5, 2}}, joined)
			for k := 1; k < len(joined); k++ { // the frontier, in short pieces
				for t := vg.Length(0); t <= 1; t += 0.05 {
					at := joined[k-1].Scale(1 - t).Add(joined[k].Scale(t))
					taken = append(taken, vg.Rectangle{Min: at, Max: at})
				}
			}
		}
		for i, e := range entries {
			x, y := c.x.at(xs[i].Mean), c.y.at(ys[i].Mean)
			dots[i] = vg.Point{X: x, Y: y}
			arms := vg.Rectangle{Min: vg.Point{X: x - 3, Y: y - 3}, Max: vg.Point{X: x + 3, Y: y + 3}}
			taken = append(taken, arms)
			c.whisker(xs[i].Low, xs[i].High, y, e.colour)
			c.upright(ys[i].Low, ys[i].High, x, e.colour)
			if unlike[i] == sim.ServesLess {
				c.ring(x, y, e.colour)
			} else {
				c.spot(x, y, e.colour)
			}
			if !math.IsNaN(xs[i].Low) {
				taken = append(taken,
					vg.Rectangle{Min: vg.Point{X: c.x.at(xs[i].Low), Y: y - 1.6}, Max: vg.Point{X: c.x.at(xs[i].High), Y: y + 1.6}},
					vg.Rectangle{Min: vg.Point{X: x - 1.6, Y: c.y.at(ys[i].Low)}, Max: vg.Point{X: x + 1.6, Y: c.y.at(ys[i].High)}})
			}
		}
		order := make([]int, len(entries)) // from the top down, so that leaders do not cross
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ys[b].Mean, ys[a].Mean) })
		for _, i := range order {
			taken = append(taken, c.nameNear(shown[i], slices.Contains(front, i), i, dots, taken))
		}
		if key > 0 {
			for i, e := range entries {
				y := key - 4 - line*vg.Length(i+1)
				p.text(4, y, shown[i].name, title.in(e.colour))
				p.text(16, y, label.cut(e.name, f.width-20), label)
			}
		}
	}
	return f, nil
}

// letter numbers things by letters: a to z, then aa, ab and so on.
func letter(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// sum adds two estimates. Whatever their correlation, the interval of the sum
// is no wider than the sum of the intervals.
func sum(a, b sim.Interval) sim.Interval {
	return sim.Interval{Mean: a.Mean + b.Mean, Low: a.Low + b.Low, High: a.High + b.High}
}

// frontier is the layouts among some that no other of them beats in both, from
// little energy to much.
func frontier(xs, ys []sim.Interval, among []int) []int {
	var front []int
	for _, i := range among {
		beaten := false
		for _, j := range among {
			better := xs[j].Mean < xs[i].Mean || ys[j].Mean < ys[i].Mean
			beaten = beaten || better && xs[j].Mean <= xs[i].Mean && ys[j].Mean <= ys[i].Mean
		}
		if !beaten {
			front = append(front, i)
		}
	}
	slices.SortStableFunc(front, func(a, b int) int { return cmp.Compare(xs[a].Mean, xs[b].Mean) })
	return front
}

// around holds all intervals with a margin for names.
func around(values []sim.Interval) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		for _, x := range []float64{v.Mean, v.Low, v.High} {
			if !math.IsNaN(x) {
				low, high = min(low, x), max(high, x)
			}
		}
	}
	if low == high {
		return low - 1, high + 1
	}
	margin := 0.08 * (high - low)
	if low >= 0 && low < 0.35*high {
		return 0, high + margin // zero is near enough to be shown
	}
	return low - margin, high + margin
}

// noLeader is how near a name needs no line to its point, if no other point is as
// near.
const noLeader = 11

// nameNear writes a name, strong if on the frontier, beside its own of several dots,
// within the panel, where it and its leader cover least, and gives the place it takes.
func (p *panel) nameNear(e entry, strong bool, own int, dots []vg.Point, taken []vg.Rectangle) vg.Rectangle {
	style := label
	style.bold = strong
	lines := style.wrap(e.name, 0.45*(p.x.to-p.x.from), 2)
	width := vg.Length(0)
	for _, text := range lines {
		width = max(width, style.width(text))
	}
	tall := vg.Length(len(lines)) * style.size * 1.1
	covers := func(r vg.Rectangle) float64 {
		cost := 0.0
		for _, t := range taken {
			w := min(r.Max.X, t.Max.X) - max(r.Min.X, t.Min.X) + 2
			h := min(r.Max.Y, t.Max.Y) - max(r.Min.Y, t.Min.Y) + 1
			if w > 0 && h > 0 {
				cost += 30 + float64(w*h)
			}
		}
		return cost
	}
	at := dots[own]
	var best vg.Rectangle
	var foot vg.Point // of the leader, at the name
	leader := false
	least := math.Inf(1)
	for _, far := range []vg.Length{6, 9, 14, 24, 40} {
		for _, side := range []vg.Length{1, -1} {
			for step := range 17 {
				dy := vg.Length((step+1)/2) * 4
				if step%2 == 1 {
					dy = -dy
				}
				near := vg.Point{X: at.X + side*far, Y: at.Y + dy}
				r := vg.Rectangle{Min: vg.Point{X: near.X, Y: near.Y - tall/2}, Max: vg.Point{X: near.X + width, Y: near.Y + tall/2}}
				if side < 0 {
					r.Min.X, r.Max.X = near.X-width, near.X
				}
				cost := float64(far) + 0.9*math.Abs(float64(dy)) + covers(r)
				if side < 0 {
					cost += 3
				}
				led := math.Hypot(float64(far), float64(dy)) > noLeader
				if doubtful(r, own, dots) {
					led = true
					if far < 14 { // too short a leader to be seen
						cost += 20
					}
				}
				if led {
					for t := vg.Length(0.4); t < 1; t += 0.1 { // but not where it leaves its own point
						on := vg.Point{X: at.X + t*side*far, Y: at.Y + t*dy}
						cost += 0.3 * covers(vg.Rectangle{Min: on, Max: on})
					}
				}
				if r.Min.X < p.x.from+1 || r.Max.X > p.x.to-1 || r.Min.Y < p.y.from+1 || r.Max.Y > p.y.to-1 {
					cost += 1e6
				}
				if cost < least {
					least, best, foot, leader = cost, r, near, led
				}
			}
		}
	}
	if leader {
		end := foot.X - 1.5
		if foot.X < at.X {
			end = foot.X + 1.5
		}
		p.StrokeLine2(draw.LineStyle{Color: e.colour, Width: fineLine}, at.X, at.Y, end, foot.Y)
	}
	p.centreLines(best.Min.X, foot.Y, lines, style)
	return best
}

// doubtful tells whether a name's place is about as near to another dot as to its
// own.
func doubtful(r vg.Rectangle, own int, dots []vg.Point) bool {
	for i, at := range dots {
		if i != own && away(r, at) < 1.4*away(r, dots[own]) {
			return true
		}
	}
	return false
}

// away is how far a point is from a rectangle.
func away(r vg.Rectangle, at vg.Point) float64 {
	return math.Hypot(float64(max(r.Min.X-at.X, at.X-r.Max.X, 0)), float64(max(r.Min.Y-at.Y, at.Y-r.Max.Y, 0)))
}
