package plots

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
)

// NewWater draws where the water of a year goes: stacked accounts by layout.
func NewWater(s Set, r *sim.Result) (*Figure, error) {
	return newAccounts(s, r, "Where the water of a year goes, by layout.", []stack{
		{"Water a year", []sim.Quantity{sim.Purged, sim.LeftRunning, sim.Used}, []string{"purged", "left running", "used"}},
	})
}

// NewEnergy draws where the heat of a year is lost, and the energy that heater
// and pump take: stacked accounts by layout.
func NewEnergy(s Set, r *sim.Result) (*Figure, error) {
	return newAccounts(s, r, "Where heat is lost in a year, and the energy taken in, by layout.", []stack{
		{"Heat lost a year", []sim.Quantity{sim.PipeLoss, sim.Drain, sim.TankLoss}, []string{"from pipes", "run to waste", "from the heater"}},
		{"Energy taken in a year", []sim.Quantity{sim.HeaterInput, sim.PumpInput}, []string{"heater", "pump"}},
	})
}

// stack is accounts that add up.
type stack struct {
	title    string
	accounts []sim.Quantity
	names    []string
}

func newAccounts(s Set, r *sim.Result, what string, stacks []stack) (*Figure, error) {
	entries, err := s.layouts(r)
	if err != nil {
		return nil, err
	}
	f := &Figure{width: s.Width.length(), header: []string{"layout", "account", "mean", "low", "high", "unit"}}
	values := make([][][]sim.Interval, len(stacks)) // by stack, layout, account
	for k, st := range stacks {
		for i := range r.Layouts {
			var row []sim.Interval
			for j, q := range st.accounts {
				m := s.measure(q)
				v := m.interval(r.Layouts[i].Annual[q])
				if err := drawable(q.Key()+" of "+entries[i].name, v.Mean, v.Low, v.High); err != nil {
					return nil, err
				}
				if v.Mean < 0 {
					return nil, fmt.Errorf("%s of %s is %g; an account of a stack must be 0 or more", q.Key(), entries[i].name, v.Mean)
				}
				row = append(row, v)
				f.rows = append(f.rows, []string{entries[i].name, st.names[j], number(v.Mean), number(v.Low), number(v.High), m.unit})
			}
			values[k] = append(values[k], row)
		}
	}
	f.caption = s.caption(what, "The whisker below an account's end is the 95 % interval of its mean; the number is the sum.")

	across := 1
	if s.Width == TwoColumns {
		across = len(stacks)
	}
	names := nameRows(entries, 0.34*f.width, 2)
	names.row = max(names.row, 13)
	above := vg.Length(0)
	for _, st := range stacks {
		above = max(above, st.opposite(s).above())
	}
	g := grid{panels: len(stacks), across: across, left: names.width + 2, head: 30 + above, tall: names.height(), foot: 16}
	f.height = g.height()
	f.draw = func(p *page) {
		for k, st := range stacks {
			// The sum stands to the right of its bar.
			q := g.panel(p, k, note.width("00 000")+16)
			x, top := q.x.from, q.y.to
			if g.begins(k) {
				names.draw(p, 2, top)
			}
			high := 0.0
			for _, row := range values[k] {
				high = max(high, reach(row))
			}
			if high == 0 {
				high = 1
			}
			q.across(0, high)
			q.xAxis(s.measure(st.accounts[0]).unit)
			st.opposite(s).xAxis(&q)
			q.text(x, top+20+above, st.title+", "+s.measure(st.accounts[0]).unit, title)
			st.key(q, x, top+8+above)
			for i, row := range values[k] {
				drawStack(q, row, names.at(i, top), names.row*0.55)
			}
			q.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, q.x.from, q.y.from, q.x.from, q.y.to)
		}
	}
	return f, nil
}

// key names the accounts above their bars, in the bars' order.
func (st stack) key(q panel, x, y vg.Length) {
	for j, name := range st.names {
		q.fill(vg.Rectangle{Min: vg.Point{X: x, Y: y - 0.5}, Max: vg.Point{X: x + 6, Y: y + 4.5}}, st.shade(j))
		q.text(x+8, y, name, note.in(ink))
		x += 8 + note.width(name) + 9
	}
}

func (st stack) opposite(s Set) *opposite { return s.opposite(measures[st.accounts[0]].of) }

func (st stack) shade(j int) color.NRGBA { return ramp(j, len(st.names)) }

func total(row []sim.Interval) float64 {
	t := 0.0
	for _, v := range row {
		t += v.Mean
	}
	return t
}

// reach is where a stack ends, its whiskers included.
func reach(row []sim.Interval) float64 {
	sum, end := 0.0, total(row)
	for _, v := range row {
		if !math.IsNaN(v.High) {
			end = max(end, sum+v.High)
		}
		sum += v.Mean
	}
	return end
}

func drawStack(q panel, row []sim.Interval, y, tall vg.Length) {
	sum := 0.0
	for j, v := range row {
		from, to := q.x.at(sum), q.x.at(sum+v.Mean)
		q.fill(vg.Rectangle{Min: vg.Point{X: from, Y: y - tall/2}, Max: vg.Point{X: to, Y: y + tall/2}}, ramp(j, len(row)))
		sum += v.Mean
	}
	sum = 0.0
	for _, v := range row {
		if v.High > v.Low {
			q.whisker(sum+v.Low, sum+v.High, y-tall/2-2.4, ink)
		}
		sum += v.Mean
	}
	q.centreText(q.x.at(reach(row))+4, y, tickText(total(row), 0), note.in(ink))
}
