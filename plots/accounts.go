package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
)

// NewWater draws where the water of a year goes: stacked accounts by layout.
func NewWater(s Set, r *sim.Result) (*Figure, error) {
	return newAccounts(s, r, "Where the water of a year goes, by layout.", []stack{
		{title: "Water a year", accounts: []sim.Quantity{sim.Purged, sim.LeftRunning, sim.Used}, names: []string{"purged", "left running", "used"}},
	})
}

// NewEnergy draws where the heat of a year is lost, and the energy that heater
// and pump take: stacked accounts by layout. What the heater takes is told by
// carrier where there are several.
func NewEnergy(s Set, r *sim.Result) (*Figure, error) {
	taken := stack{title: "Energy taken in a year", accounts: []sim.Quantity{sim.HeaterInput}, names: []string{"heater"}}
	if several, names := carriers(r); len(several) > 1 {
		taken.accounts, taken.names = several, names
	}
	taken.accounts, taken.names = append(taken.accounts, sim.PumpInput), append(taken.names, "pump")
	return newAccounts(s, r, "Where heat is lost in a year, and the energy taken in, by layout. "+takes(r), []stack{
		{title: "Heat lost a year", accounts: []sim.Quantity{sim.PipeLoss, sim.Drain, sim.TankLoss}, names: []string{"from pipes", "run to waste", "from the heater"}, gains: true},
		taken,
	})
}

// carriers are the forms of energy that the heater takes with any layout.
func carriers(r *sim.Result) (taken []sim.Quantity, names []string) {
	for _, c := range []struct {
		sim.Quantity
		name string
	}{{sim.Electricity, "electricity"}, {sim.Gas, "gas"}, {sim.Wood, "wood"}, {sim.Sun, "sun"}} {
		if slices.ContainsFunc(r.Layouts, func(l sim.LayoutResult) bool { return l.Annual[c.Quantity].Mean > 0 }) {
			taken, names = append(taken, c.Quantity), append(names, c.name)
		}
	}
	return taken, names
}

// takes says what the energy into the heater is, for sun and wood need not be bought.
func takes(r *sim.Result) string {
	taken, names := carriers(r)
	if len(names) == 0 {
		return ""
	}
	last := len(names) - 1
	text := names[last]
	if last > 0 {
		text = strings.Join(names[:last], ", ") + " and " + text
		if taken[last] == sim.Sun || taken[last] == sim.Wood { // which come last
			text += ", and the sum holds all of it, bought or not"
		}
	}
	return "The heater takes " + text + "."
}

// stack is accounts that add up.
type stack struct {
	title    string
	accounts []sim.Quantity
	names    []string
	gains    bool // where it is warmer around, heat comes in: an account below 0
}

func newAccounts(s Set, r *sim.Result, what string, stacks []stack) (*Figure, error) {
	entries, err := s.layouts(r)
	if err != nil {
		return nil, err
	}
	f := &Figure{width: s.Width.length(), header: []string{"layout", "account", "mean", "low", "high", "unit"}}
	values := make([][][]sim.Interval, len(stacks)) // by stack, layout, account
	gained := ""
	for k, st := range stacks {
		for i := range r.Layouts {
			var row []sim.Interval
			for j, q := range st.accounts {
				m := s.measure(q)
				v := m.interval(r.Layouts[i].Annual[q])
				if err := drawable(q.Key()+" of "+entries[i].name, v.Mean, v.Low, v.High); err != nil {
					return nil, err
				}
				if v.Mean < 0 && st.gains {
					gained = "What lies to the left of 0 comes in instead."
				} else if v.Mean < 0 {
					return nil, fmt.Errorf("%s of %s is %g; an account of a stack must be 0 or more", q.Key(), entries[i].name, v.Mean)
				}
				row = append(row, v)
				f.rows = append(f.rows, []string{entries[i].name, st.names[j], number(v.Mean), number(v.Low), number(v.High), m.unit})
			}
			values[k] = append(values[k], row)
		}
	}
	f.caption = s.caption(what, s.intervals("The whisker below an account's end is the 95 % interval of its mean."), "The number is the sum.", gained)

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
	room := note.width("00 000") // of the sum, to the right of its bar
	for _, stack := range values {
		for _, row := range stack {
			room = max(room, note.width(sumText(row)))
		}
	}
	f.draw = func(p *page) {
		for k, st := range stacks {
			q := g.panel(p, k, room+16)
			x, top := q.x.from, q.y.to
			if g.begins(k) {
				names.draw(p, 2, top)
			}
			low, high := 0.0, 0.0
			for _, row := range values[k] {
				from, to := reach(row)
				low, high = min(low, from), max(high, to)
			}
			if high == low {
				high = 1
			}
			q.across(low, high)
			q.xAxis(s.measure(st.accounts[0]).unit)
			st.opposite(s).xAxis(&q)
			q.text(x, top+20+above, st.title+", "+s.measure(st.accounts[0]).unit, title)
			st.key(q, x, top+8+above)
			for i, row := range values[k] {
				drawStack(q, row, names.at(i, top), names.row*0.55)
			}
			zero := q.x.at(0)
			q.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, zero, q.y.from, zero, q.y.to)
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

// sumText is what stands beside a stack.
func sumText(row []sim.Interval) string { return tickText(total(row), 0) }

// starts is where each account of a stack begins: those above 0 go on to the right
// from there, those below to the left.
func starts(row []sim.Interval) []float64 {
	right, left := 0.0, 0.0
	at := make([]float64, len(row))
	for j, v := range row {
		end := &right
		if v.Mean < 0 {
			end = &left
		}
		at[j] = *end
		*end += v.Mean
	}
	return at
}

// reach is where a stack begins and ends, its whiskers and 0 included.
func reach(row []sim.Interval) (low, high float64) {
	for j, from := range starts(row) {
		v := row[j]
		low, high = min(low, from+v.Mean), max(high, from+v.Mean)
		if !math.IsNaN(v.High) {
			low, high = min(low, from+v.Low), max(high, from+v.High)
		}
	}
	return low, high
}

func drawStack(q panel, row []sim.Interval, y, tall vg.Length) {
	at := starts(row)
	for j, v := range row {
		from, to := q.x.at(at[j]), q.x.at(at[j]+v.Mean)
		q.fill(vg.Rectangle{Min: vg.Point{X: min(from, to), Y: y - tall/2}, Max: vg.Point{X: max(from, to), Y: y + tall/2}}, ramp(j, len(row)))
	}
	for j, v := range row {
		if v.High > v.Low {
			q.whisker(at[j]+v.Low, at[j]+v.High, y-tall/2-2.4, ink)
		}
	}
	_, end := reach(row)
	q.centreText(q.x.at(end)+4, y, sumText(row), note.in(ink))
}
