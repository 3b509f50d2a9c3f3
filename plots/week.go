package plots

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/schedules"
	"pipelag/units"
)

const day = 86400 // [s]

// Week is the draws of seven days.
type Week struct {
	Fixtures []string
	Wishes   []schedules.Wish
	First    int // day of the year that it begins on, from 0
}

// NewWeek draws the draws of seven days by fixture, as people wish for them:
// where a bar stands is when, how wide it is how long, how high how much.
func NewWeek(s Set, week Week) (*Figure, error) {
	s.Years = 1
	fixtures, wishes, first := slices.Clone(week.Fixtures), week.Wishes, week.First
	if len(fixtures) == 0 || len(wishes) == 0 {
		return nil, ErrNoData
	}
	f := &Figure{width: s.Width.length()}
	volume := s.unit(units.Volume)
	f.header = []string{"fixture", "day", "start_s", "duration_s", column("volume", volume)}
	type bar struct{ fixture, start, duration, volume float64 }
	var bars []bar
	most := 0.0
	begin := float64(first) * day
	for i, w := range wishes {
		if w.Fixture < 0 || w.Fixture >= len(fixtures) {
			return nil, fmt.Errorf("draw %d is at fixture %d; there are %d", i, w.Fixture, len(fixtures))
		}
		b := bar{float64(w.Fixture), w.Start - begin, w.Duration, w.Volume}
		switch w.Kind {
		case schedules.Washing, schedules.Brief:
			b.volume = w.Flow * w.Duration
		default:
			b.duration = w.Volume / w.Flow
		}
		if err := finite(fmt.Sprintf("draw %d", i), b.start, b.duration, b.volume); err != nil {
			return nil, err
		}
		if b.start < 0 || b.start >= 7*day || b.volume < 0 || b.duration < 0 {
			return nil, fmt.Errorf("draw %d starts %g days after the week began and takes %g L; it must lie in the seven days and take 0 L or more", i, b.start/day, b.volume*1000)
		}
		most = max(most, b.volume)
		bars = append(bars, b)
		f.rows = append(f.rows, []string{fixtures[w.Fixture], fmt.Sprint(first + 1 + int(b.start/day)), number(math.Mod(b.start, day)), number(b.duration), number(s.System.Convert(b.volume, units.Volume))})
	}
	if most == 0 {
		return nil, ErrNoData
	}
	f.caption = s.caption(fmt.Sprintf("The draws of seven days from day %d of the year, by fixture, as the household wishes for them and the same for every layout.", first+1),
		"A bar stands where a draw begins and is as wide as it lasts; its height goes with the square root of its volume, hot and cold together, or hot alone for machines.")

	entries := make([]entry, len(fixtures))
	for i, name := range fixtures {
		entries[i] = entry{name, rampDark, 0}
	}
	names := nameRows(entries, 0.3*f.width, 2)
	names.row = 19
	const head, foot = vg.Length(15), vg.Length(24)
	f.height = head + names.height() + foot
	f.draw = func(p *page) {
		top := f.height - head
		q := newPanel(p, names.width, f.width-6, top-names.height(), top)
		q.across(0, 7)
		for d := range 7 {
			x, next := q.x.at(float64(d)), q.x.at(float64(d+1))
			if d%2 == 0 {
				q.fill(vg.Rectangle{Min: vg.Point{X: x, Y: q.y.from}, Max: vg.Point{X: next, Y: q.y.to}}, band)
			}
			noon := q.x.at(float64(d) + 0.5)
			q.StrokeLine2(draw.LineStyle{Color: hair, Width: fineLine}, noon, q.y.from, noon, q.y.to)
			q.text(noon, top+5, fmt.Sprintf("day %d", first+1+d), note.centred())
		}
		for i := range fixtures {
			y := names.at(i, top)
			q.centreLines(2, y-2, names.lines[i], label)
			floor := y - names.row/2 + 1.5
			q.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, q.x.from, floor, q.x.to, floor)
		}
		high := names.row - 4
		for _, b := range bars {
			floor := names.at(int(b.fixture), top) - names.row/2 + 1.5
			x := q.x.at(b.start / day)
			wide := max(q.x.at((b.start+b.duration)/day)-x, 0.7)
			q.fill(vg.Rectangle{Min: vg.Point{X: x, Y: floor}, Max: vg.Point{X: x + wide, Y: floor + high*vg.Length(math.Sqrt(b.volume/most))}}, rampDark)
		}
		weekKey(q, s, most, high, names.width)
	}
	return f, nil
}

// weekKey shows what the heights mean.
func weekKey(q panel, s Set, most float64, high, x vg.Length) {
	y := q.y.from - high - 6
	name := "Volume, " + s.unit(units.Volume)
	q.text(2, y+1, name, note)
	x = max(x, 2+note.width(name)+6)
	full := s.System.Convert(most, units.Volume)
	// Three round volumes: near the largest, a fifth of it, a twentieth.
	at, _ := ticks(0, full, 2)
	top := at[len(at)-1]
	if top == 0 {
		top = full
	}
	for _, v := range []float64{top / 20, top / 5, top} {
		h := high * vg.Length(math.Sqrt(v/full))
		q.fill(vg.Rectangle{Min: vg.Point{X: x, Y: y}, Max: vg.Point{X: x + 1.6, Y: y + h}}, rampDark)
		text := number(v)
		if o := s.opposite(units.Volume); o != nil {
			text += fmt.Sprintf(" (%.3g %s)", v*o.factor, o.unit)
		}
		q.text(x+4, y+1, text, note)
		x += 4 + note.width(text) + 10
	}
	q.text(q.x.to, y+1, "hairs at noon", note.right())
}
