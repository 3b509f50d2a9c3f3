package plots

import (
	"fmt"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/units"
)

// NewMonths draws the water purged and the heat lost from pipes through the
// year, by layout, and how cold the mains are meanwhile. Values are a day, so
// that short months do not dip.
func NewMonths(s Set, r *sim.Result) (*Figure, error) {
	entries, err := s.layouts(r)
	if err != nil {
		return nil, err
	}
	quantities := []sim.Quantity{sim.Purged, sim.PipeLoss}
	f := &Figure{width: s.Width.length(), header: []string{"layout", "month"}}
	values := make([][][]float64, len(quantities)) // by quantity, layout, month
	for _, q := range quantities {
		f.header = append(f.header, s.measure(q).column()+"_per_day")
	}
	if err := finite("the temperature of the mains", r.Mains[:]...); err != nil {
		return nil, err
	}
	f.header = append(f.header, column("mains", s.System.Unit(units.Temperature)))
	mains := inSystem(s, r.Mains[:])
	for i := range r.Layouts {
		for k := range quantities {
			values[k] = append(values[k], make([]float64, 12))
		}
		for month := range 12 {
			row := []string{entries[i].name, fmt.Sprint(month + 1)}
			for k, q := range quantities {
				v := s.measure(q).shown(r.Layouts[i].Months[month][q]) / float64(schedules.MonthDays[month])
				if err := finite(q.Key()+" of "+entries[i].name, v); err != nil {
					return nil, err
				}
				values[k][i][month] = v
				row = append(row, number(v))
			}
			f.rows = append(f.rows, append(row, number(mains[month])))
		}
	}
	f.caption = s.caption("Water purged and heat lost from pipes through the year, by layout, and the temperature of the mains; means of each month.")

	// One panel wide leaves room for names at the ends of the lines.
	names := nameEnds(entries, 0.34*f.width)
	beside := vg.Length(0)
	for _, q := range quantities {
		beside = max(beside, s.opposite(measures[q].of).besides())
	}
	names.lead += beside
	right := f.width - names.width - names.lead
	const head, foot, low = vg.Length(18), vg.Length(14), vg.Length(50)
	tall := max(vg.Length(95), names.height()+8)
	each := head + tall + foot
	f.height = vg.Length(len(quantities))*each + head + low + foot + 2
	f.draw = func(p *page) {
		for k, q := range quantities {
			m := s.measure(q)
			top := f.height - vg.Length(k)*each - head
			c := newPanel(p, 26, right, top-tall, top)
			low, high := 0.0, 0.0 // below 0 where pipes take heat up
			for _, line := range values[k] {
				low, high = min(low, slices.Min(line)), max(high, slices.Max(line))
			}
			if high == low {
				high = 1
			}
			c.up(1.04*low, 1.04*high)
			c.yAxis(4)
			if low < 0 {
				zero := c.y.at(0)
				c.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, c.x.from, zero, c.x.to, zero)
			}
			c.months(m.name + ", " + m.unit + " a day")
			ends := make([]vg.Length, len(entries))
			for i, e := range entries {
				c.curve(monthNumbers, values[k][i], stroke(e.colour, e.place, dataLine))
				ends[i] = c.y.at(values[k][i][11])
			}
			far := s.opposite(measures[q].of).daily()
			names.draw(&c, c.x.at(12), ends, far, 4)
			far.yAxis(&c, 4)
		}
		c := newPanel(p, 26, right, foot+2, foot+2+low)
		least, most := slices.Min(mains), slices.Max(mains)
		margin := 0.1*(most-least) + 0.5
		c.up(least-margin, most+margin)
		c.yAxis(3)
		c.months("Mains, " + s.unit(units.Temperature))
		c.curve(monthNumbers, mains, draw.LineStyle{Color: ink, Width: dataLine})
		s.opposite(units.Temperature).yAxis(&c, 3)
	}
	return f, nil
}

// monthNumbers are where months stand on their axis.
var monthNumbers = []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}

// months names a panel and the months below it.
func (p *panel) months(name string) {
	p.across(0.5, 12.5)
	p.base()
	p.text(2, p.y.to+8, name, title)
	for i, m := range monthNumbers {
		p.text(p.x.at(m), p.y.from-line, "JFMAMJJASOND"[i:i+1], note.centred())
	}
}
