package plots

import (
	"fmt"
	"image"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
	"pipelag/units"
)

// NewDay draws one day along the way from the heater to a tap: distance against
// time of day, colour for the water's temperature. Draws send hot slugs out,
// which cool where they come to stand.
func NewDay(s Set, w *sim.Watch) (*Figure, error) {
	if err := checkWatch(w); err != nil {
		return nil, err
	}
	s.Years, s.Seed = 1, w.Seed
	f := &Figure{width: s.Width.length()}
	f.header = []string{"t_s", column("x", s.System.Unit(units.Length)), column("water", s.System.Unit(units.Temperature))}
	places := make([]float64, len(w.Distance))
	for i, x := range w.Distance {
		places[i] = s.System.Convert(x, units.Length)
	}
	var rows [][]float64
	low, high := math.Inf(1), math.Inf(-1)
	for k, row := range w.Temperature {
		shown := inSystem(s, row)
		low, high = min(low, slices.Min(shown)), max(high, slices.Max(shown))
		rows = append(rows, shown)
		for i, v := range shown {
			f.rows = append(f.rows, []string{number(w.Time[k]), number(places[i]), number(v)})
		}
	}
	if high == low {
		high++
	}
	end := places[len(places)-1]
	if n := len(places); n > 1 { // the last cell reaches on by half its length
		end += (places[n-1] - places[n-2]) / 2
	}
	own, others := hoursOf(w.Draws), hoursOf(w.Others)
	f.caption = s.caption(fmt.Sprintf("Temperature of the water along the way from the heater to %s, %s, through day %d of the year.", w.Fixture, w.Layout, w.Day),
		fmt.Sprintf("Triangles mark the draws at %s, short strokes those at other taps whose water comes along part of this way. Water is usable from %s.", w.Fixture, s.format(w.Usable, units.Temperature)))

	wide := s.Width == TwoColumns
	picture := thermograph(places, end, rows, low, high)
	usable := s.System.Convert(w.Usable, units.Temperature)
	f.height = 150
	if wide {
		f.height = 185
	}
	f.draw = func(p *page) {
		beside, far := s.opposite(units.Length), s.opposite(units.Temperature)
		const head, foot, left = vg.Length(26), vg.Length(18), vg.Length(30)
		bar := note.width("usable 000") + 14
		c := newPanel(p, left, f.width-bar-8-beside.besides()-far.besides(), foot, f.height-head)
		c.across(0, w.Time[len(w.Time)-1]/3600)
		c.up(0, end)
		c.DrawImage(c.rectangle(), picture)
		c.text(2, f.height-8, title.cut(w.Fixture+", "+w.Layout, f.width-4), title)
		c.text(2, f.height-17, "Distance from the heater, "+s.unit(units.Length), note)
		c.beside(c.y, 4, c.x.from, -1, "", nil)
		beside.yAxis(&c, 4)
		every := 6
		if wide {
			every = 3
		}
		for h := 0; float64(h) <= c.x.high+1e-9; h += every {
			x := c.x.at(float64(h))
			c.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, x, c.y.from-mark, x, c.y.from)
			c.text(x, c.y.from-mark-line+1.5, fmt.Sprintf("%d:00", h), note.centred())
		}
		for _, h := range others {
			x := c.x.at(h)
			c.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, x, c.y.to+1, x, c.y.to+4)
		}
		for _, h := range own {
			x := c.x.at(h)
			c.FillPolygon(ink, []vg.Point{{X: x, Y: c.y.to + 0.8}, {X: x - 1.9, Y: c.y.to + 5}, {X: x + 1.9, Y: c.y.to + 5}})
		}
		key := newPanel(p, f.width-bar, f.width-bar+7, foot, f.height-head)
		key.up(low, high)
		s.temperatureKey(&key, usable, far)
	}
	return f, nil
}

func checkWatch(w *sim.Watch) error {
	if w == nil || len(w.Time) < 2 || len(w.Distance) == 0 {
		return ErrNoData
	}
	if len(w.Temperature) != len(w.Time) {
		return fmt.Errorf("a day of %d times has %d rows of temperatures; it needs as many of both", len(w.Time), len(w.Temperature))
	}
	if err := finite("the day at "+w.Fixture, slices.Concat(w.Time, w.Distance, w.Draws, w.Others, []float64{w.Usable})...); err != nil {
		return err
	}
	for _, list := range [][]float64{w.Time, w.Distance} {
		for i := 1; i < len(list); i++ {
			if list[i] <= list[i-1] {
				return fmt.Errorf("in the day at %s %g comes after %g; times and distances must rise", w.Fixture, list[i], list[i-1])
			}
		}
	}
	if from, to := w.Time[0], w.Time[len(w.Time)-1]; from < 0 || to > day {
		return fmt.Errorf("the day at %s runs from %g s to %g s; a day has 0 s to %d s", w.Fixture, from, to, day)
	}
	for k, row := range w.Temperature {
		if len(row) != len(w.Distance) {
			return fmt.Errorf("after %g s there are %d temperatures at %d places; there must be one at each", w.Time[k], len(row), len(w.Distance))
		}
		if err := finite("the day at "+w.Fixture, row...); err != nil {
			return err
		}
	}
	return nil
}

func hoursOf(seconds []float64) []float64 {
	hours := make([]float64, len(seconds))
	for i, t := range seconds {
		hours[i] = t / 3600
	}
	return hours
}

// thermograph is temperatures as a picture: a column for each step of time, from
// the heater at the bottom up to end, in rows that no cell is thinner than.
func thermograph(places []float64, end float64, rows [][]float64, low, high float64) image.Image {
	const tall = 240
	picture := image.NewNRGBA(image.Rect(0, 0, len(rows)-1, tall))
	for y := range tall {
		x := (float64(tall-1-y) + 0.5) / tall * end
		i, _ := slices.BinarySearch(places, x)
		if i == len(places) || i > 0 && x-places[i-1] < places[i]-x {
			i--
		}
		for k := range len(rows) - 1 {
			picture.SetNRGBA(k, y, warmth((rows[k][i]-low)/(high-low)))
		}
	}
	return picture
}

// temperatureKey draws the scale of colours, with the usable temperature on it.
func (s Set) temperatureKey(c *panel, usable float64, far *opposite) {
	const steps = 64
	for i := range steps {
		from := c.y.from + vg.Length(i)*(c.y.to-c.y.from)/steps
		to := c.y.from + vg.Length(i+1)*(c.y.to-c.y.from)/steps
		c.fill(vg.Rectangle{Min: vg.Point{X: c.x.from, Y: from}, Max: vg.Point{X: c.x.to, Y: min(to+0.3, c.y.to)}}, warmth((float64(i)+0.5)/steps))
	}
	if far != nil { // the other system to the left of the colours
		c.beside(far.scaled(c.y), 4, c.x.from, -1, far.unit, nil)
	}
	shown := usable > c.y.low && usable < c.y.high
	c.beside(c.y, 4, c.x.to, 1, s.unit(units.Temperature), func(y vg.Length) bool {
		return shown && math.Abs(float64(y-c.y.at(usable))) <= float64(line)
	})
	if shown {
		y := c.y.at(usable)
		c.StrokeLine2(draw.LineStyle{Color: white, Width: 0.8}, c.x.from, y, c.x.to, y)
		c.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.8}, c.x.to, y, c.x.to+mark, y)
		c.centreText(c.x.to+mark+1, y, "usable "+tickText(usable, 0), note.in(ink))
	}
}
