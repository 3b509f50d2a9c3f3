package plots

import (
	"fmt"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
	"pipelag/units"
)

// mostProfiles is how many lines one panel of profiles bears.
const mostProfiles = 7

// NewProfiles draws the temperature along the way from heater to tap at times
// since the tap was opened, a panel for each opening of a trace.
func NewProfiles(s Set, t *sim.Trace) (*Figure, error) {
	s.Years = 0 // nothing here is drawn by lot
	if t == nil || len(t.Openings) == 0 {
		return nil, ErrNoData
	}
	f := &Figure{width: s.Width.length()}
	f.header = []string{"opening", "t_s", column("x", s.System.Unit(units.Length)), column("water", s.System.Unit(units.Temperature))}
	end, low, high := 0.0, math.Inf(1), s.System.Convert(t.Setpoint, units.Temperature)
	usable := s.System.Convert(t.Usable, units.Temperature)
	if err := finite("the trace of "+t.Layout, high, usable); err != nil {
		return nil, err
	}
	var panels [][]sim.Profile
	for k, o := range t.Openings {
		var shown []sim.Profile
		for _, p := range thinned(o.Profiles, mostProfiles) {
			if len(p.Distance) < 2 || len(p.Distance) != len(p.Temperature) {
				return nil, fmt.Errorf("a profile %s has %d places and %d temperatures; it needs as many of both, and two at least", Opened(&t.Openings[k]), len(p.Distance), len(p.Temperature))
			}
			if err := finite("a profile "+Opened(&t.Openings[k]), append(append([]float64{p.Time}, p.Distance...), p.Temperature...)...); err != nil {
				return nil, err
			}
			q := sim.Profile{Time: p.Time, Temperature: inSystem(s, p.Temperature)}
			for i, x := range p.Distance {
				q.Distance = append(q.Distance, s.System.Convert(x, units.Length))
				f.rows = append(f.rows, []string{Opened(&t.Openings[k]), number(p.Time), number(q.Distance[i]), number(q.Temperature[i])})
				end, low, high = max(end, q.Distance[i]), min(low, q.Temperature[i]), max(high, q.Temperature[i])
			}
			shown = append(shown, q)
		}
		if len(shown) == 0 {
			return nil, ErrNoData
		}
		panels = append(panels, shown)
	}
	f.caption = s.caption(fmt.Sprintf("Temperature of the water along the way from the heater to %s, %s, at times since the tap was opened.", t.Fixture, t.Layout),
		fmt.Sprintf("The dashed line is the usable temperature, %s.", s.format(t.Usable, units.Temperature)), stillness)
	across := 1
	if s.Width == TwoColumns {
		across = columns(len(panels), 3)
	}
	beyond, far := s.opposite(units.Length), s.opposite(units.Temperature)
	g := grid{panels: len(panels), across: across, right: 2, head: 28 + beyond.above(), tall: 95, foot: 16}
	f.height = g.height()
	f.draw = func(p *page) {
		for k, shown := range panels {
			c := g.panel(p, k, note.width("0000 s")+14+far.besides())
			left, top := c.x.from, c.y.to
			c.x.from += 24
			c.across(0, end)
			c.up(low-0.04*(high-low), high+0.04*(high-low))
			c.yAxis(profileNumbers)
			c.xAxis(s.unit(units.Length))
			c.base()
			beyond.xAxis(&c)
			c.text(left+2, top+17+beyond.above(), Opened(&t.Openings[k]), title)
			c.text(left+2, top+7+beyond.above(), "Along the way, "+s.unit(units.Temperature), note)
			y := c.y.at(usable)
			c.StrokeLine2(draw.LineStyle{Color: muted, Width: 0.7, Dashes: []vg.Length{2.5, 2}}, c.x.from, y, c.x.to, y)
			ends := make([]vg.Length, len(shown))
			for i, q := range shown {
				c.curve(q.Distance, q.Temperature, draw.LineStyle{Color: ramp(len(shown)-1-i, len(shown)), Width: dataLine})
				ends[i] = c.y.at(q.Temperature[len(q.Temperature)-1])
			}
			drawTimes(&c, shown, usable, ends, far)
			far.yAxis(&c, profileNumbers)
		}
	}
	return f, nil
}

// profileNumbers is how many numbers stand along an upright axis.
const profileNumbers = 4

// drawTimes writes the time of each profile where it falls through the usable
// temperature, or beside its end at the tap where it does not, or where another
// stands there.
func drawTimes(c *panel, shown []sim.Profile, usable float64, ends []vg.Length, far *opposite) {
	var atEnd []int
	taken := vg.Length(-1e9)
	for i, q := range shown {
		text := fmt.Sprintf("%.0f s", q.Time)
		half := note.width(text) / 2
		x, ok := falls(q, usable)
		if !ok || q.Temperature[len(q.Temperature)-1] >= usable || c.x.at(x)-half < taken+2 || c.x.at(x)+half > c.x.to {
			atEnd = append(atEnd, i)
			continue
		}
		y := c.y.at(usable)
		c.fillBehind(c.x.at(x)-half, y, text, 0)
		c.centreText(c.x.at(x), y, text, note.in(ink).centred())
		taken = c.x.at(x) + half
	}
	wanted, heights := make([]vg.Length, len(atEnd)), make([]vg.Length, len(atEnd))
	for k, i := range atEnd {
		wanted[k], heights[k] = ends[i], 7.6
	}
	from, to := far.beyond(c, profileNumbers), c.x.to+7+far.besides()
	for k, y := range spread(wanted, heights, c.y.from-4, c.y.to+12) {
		i := atEnd[k]
		c.StrokeLines(draw.LineStyle{Color: ramp(len(shown)-1-i, len(shown)), Width: 0.6}, []vg.Point{{X: from, Y: wanted[k]}, {X: to, Y: y}})
		c.centreText(to+2, y, fmt.Sprintf("%.0f s", shown[i].Time), note.in(ink))
	}
}

// falls is where the water is first cooler than usable, seen from the heater.
func falls(q sim.Profile, usable float64) (float64, bool) {
	for i := 1; i < len(q.Temperature); i++ {
		a, b := q.Temperature[i-1], q.Temperature[i]
		if a >= usable && b < usable {
			return q.Distance[i-1] + (a-usable)/(a-b)*(q.Distance[i]-q.Distance[i-1]), true
		}
	}
	return 0, false
}

// thinned keeps the first and last of a list and as many between as make most.
func thinned(all []sim.Profile, most int) []sim.Profile {
	if len(all) <= most {
		return all
	}
	var out []sim.Profile
	for i := range most {
		out = append(out, all[i*(len(all)-1)/(most-1)])
	}
	return out
}
