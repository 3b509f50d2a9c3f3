package plots

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"pipelag/units"
)

// Cooling is the temperature of the water in one tube while it stands still.
type Cooling struct {
	Name        string
	Time        []float64 // [s]
	Temperature []float64 // [°C]
	Zone        string
	Around      float64 // temperature of the zone [°C]
}

// NewCooldown draws how water cools in tubes. They are no layouts: their colours
// go by the order given.
func NewCooldown(s Set, tubes []Cooling) (*Figure, error) {
	s.Years = 0 // nothing here is drawn by lot
	if len(tubes) == 0 {
		return nil, ErrNoData
	}
	f := &Figure{width: s.Width.length(), header: []string{"tube", "t_s", column("water", s.System.Unit(units.Temperature))}}
	var entries []entry
	var times, temperatures [][]float64
	end, low, high := 0.0, math.Inf(1), math.Inf(-1)
	for i, c := range tubes {
		if len(c.Time) < 2 || len(c.Time) != len(c.Temperature) {
			return nil, fmt.Errorf("%s has %d times and %d temperatures; it needs as many of both, and two at least", c.Name, len(c.Time), len(c.Temperature))
		}
		if err := finite(c.Name, append(append(slices.Clone(c.Time), c.Temperature...), c.Around)...); err != nil {
			return nil, err
		}
		entries = append(entries, entry{c.Name, layoutColours[i%len(layoutColours)], i})
		minutes := make([]float64, len(c.Time))
		shown := inSystem(s, c.Temperature)
		for k, t := range c.Time {
			minutes[k] = t / 60
			f.rows = append(f.rows, []string{c.Name, number(t), number(shown[k])})
			low, high = min(low, shown[k]), max(high, shown[k])
		}
		end = max(end, slices.Max(minutes))
		times, temperatures = append(times, minutes), append(temperatures, shown)
	}
	if high == low {
		high++
	}
	if end <= 0 {
		return nil, fmt.Errorf("the times end at %g min; they must go on", end)
	}
	f.caption = s.caption("Temperature of the water in tubes that stand still, against time.", s.around(tubes))
	names := nameEnds(entries, 0.34*f.width)
	far := s.opposite(units.Temperature)
	names.lead += far.besides()
	tall := max(vg.Length(120), names.height()+8)
	f.height = 18 + tall + 16
	f.draw = func(p *page) {
		c := newPanel(p, 24, f.width-names.width-names.lead, 16, f.height-18)
		c.across(0, end)
		c.up(low-0.04*(high-low), high+0.04*(high-low))
		c.yAxis(5)
		c.xAxis("min")
		c.base()
		c.text(2, f.height-9, "Water in the tube, "+s.unit(units.Temperature), title)
		ends := make([]vg.Length, len(entries))
		for i, e := range entries {
			c.curve(times[i], temperatures[i], stroke(e.colour, e.place, dataLine))
			ends[i] = c.y.at(temperatures[i][len(temperatures[i])-1])
		}
		names.draw(&c, c.x.at(end), ends, far, 5)
		far.yAxis(&c, 5)
	}
	return f, nil
}

// around says how warm the water is at first, and what is around its tubes.
func (s Set) around(tubes []Cooling) string {
	var first, zones []string
	for _, c := range tubes {
		begin := s.format(c.Temperature[0], units.Temperature)
		if !slices.Contains(first, begin) {
			first = append(first, begin)
		}
		zone := s.format(c.Around, units.Temperature) + " in " + c.Zone
		if !slices.Contains(zones, zone) {
			zones = append(zones, zone)
		}
	}
	return fmt.Sprintf("It is at %s at first; around the tubes it stays at %s.", strings.Join(first, ", "), strings.Join(zones, ", "))
}
