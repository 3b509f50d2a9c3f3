package plots

import (
	"fmt"

	"gonum.org/v1/plot/vg"

	"pipelag/sim"
)

// monthDays are the days of the months of a year of 365.
var monthDays = [12]float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// NewMonths draws the water purged and the heat lost from pipes through the
// year, by layout. Values are a day, so that short months do not dip.
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
	for i := range r.Layouts {
		for k := range quantities {
			values[k] = append(values[k], make([]float64, 12))
		}
		for month := range 12 {
			row := []string{entries[i].name, fmt.Sprint(month + 1)}
			for k, q := range quantities {
				v := s.measure(q).shown(r.Layouts[i].Months[month][q]) / monthDays[month]
				if err := finite(q.Key()+" of "+entries[i].name, v); err != nil {
					return nil, err
				}
				values[k][i][month] = v
				row = append(row, number(v))
			}
			f.rows = append(f.rows, row)
		}
	}
	f.caption = s.caption("Water purged and heat lost from pipes through the year, by layout; means of each month, a day.")

	// One panel wide leaves room for names at the ends of the lines.
	names := nameEnds(entries, 0.34*f.width)
	const head, foot = vg.Length(18), vg.Length(14)
	tall := max(vg.Length(95), names.height()+8)
	each := head + tall + foot
	f.height = vg.Length(len(quantities))*each + 2
	f.draw = func(p *page) {
		for k, q := range quantities {
			m := s.measure(q)
			top := f.height - vg.Length(k)*each - head
			c := newPanel(p, 26, f.width-names.width-names.lead, top-tall, top)
			high := 0.0
			for _, line := range values[k] {
				for _, v := range line {
					high = max(high, v)
				}
			}
			if high == 0 {
				high = 1
			}
			c.across(0.5, 12.5)
			c.up(0, 1.04*high)
			c.yAxis(4)
			c.base()
			c.text(2, top+8, m.name+", "+m.unit+" a day", title)
			for month := range 12 {
				c.text(c.x.at(float64(month+1)), c.y.from-line, "JFMAMJJASOND"[month:month+1], note.centred())
			}
			ends := make([]vg.Length, len(entries))
			for i, e := range entries {
				at := make([]float64, 12)
				for month := range at {
					at[month] = float64(month + 1)
				}
				c.curve(at, values[k][i], stroke(e.colour, e.place, dataLine))
				ends[i] = c.y.at(values[k][i][11])
			}
			names.draw(&c, c.x.at(12), ends)
		}
	}
	return f, nil
}
