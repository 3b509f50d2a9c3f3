package plots

import (
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/sim"
)

// Waits up to the first are called acceptable, beyond the second unacceptable.
// Source: American Society of Plumbing Engineers, Domestic Water Heating Design
// Manual, performance criteria (0–10 s acceptable, 11–30 s marginal, 31 s and
// longer unacceptable), read as quoted by others.
const (
	acceptableWait   = 10 // [s]
	unacceptableWait = 30 // [s]
)

// NewWaits draws, for each fixture and layout, the share of draws that still
// wait after any time: the whole distribution of waits.
func NewWaits(s Set, r *sim.Result) (*Figure, error) {
	entries, err := s.layouts(r)
	if err != nil {
		return nil, err
	}
	var fixtures []waitPanel
	var none []string
	f := &Figure{width: s.Width.length(), header: []string{"fixture", "layout", "t_s", "draws_waiting_longer"}}
	for k := range r.Layouts[0].Fixtures {
		w := waitPanel{name: r.Layouts[0].Fixtures[k].Name}
		draws := 0
		for i := range r.Layouts {
			if k >= len(r.Layouts[i].Fixtures) || r.Layouts[i].Fixtures[k].Name != w.name {
				return nil, fmt.Errorf("layout %q has not the fixtures of %q", r.Layouts[i].Name, r.Layouts[0].Name)
			}
			left, total, err := still(r.Layouts[i].Fixtures[k].WaitCounts)
			if err != nil {
				return nil, fmt.Errorf("waits of %s, %s: %w", w.name, r.Layouts[i].Name, err)
			}
			draws += total
			w.still = append(w.still, left)
			for t, share := range left {
				f.rows = append(f.rows, []string{w.name, r.Layouts[i].Name, number(float64(t)), number(share)})
			}
		}
		if draws == 0 {
			none = append(none, w.name)
			continue
		}
		fixtures = append(fixtures, w)
	}
	if len(fixtures) == 0 {
		return nil, ErrNoData
	}
	end := waitEnd(fixtures)
	nobody := ""
	if len(none) > 0 {
		nobody = "Nobody waits at: " + strings.Join(none, ", ") + "."
	}
	f.caption = s.caption("Waits for usable hot water by fixture and layout.",
		"The height of a shape is the share of draws that still wait after so long, the whole height all draws by people who wait.",
		"Lines stand at 10 and 30 s, the ends of what the American Society of Plumbing Engineers is quoted to call acceptable and marginal. The number is the share that waits more than 30 s.", nobody)

	across := columns(len(fixtures), 2)
	if s.Width == TwoColumns {
		across = columns(len(fixtures), 4)
	}
	names := nameRows(entries, 0.34*f.width, 2)
	names.row = max(names.row, 15)
	g := grid{panels: len(fixtures), across: across, left: names.width, right: 4, head: 24, tall: names.height(), foot: 15}
	f.height = g.height()
	f.draw = func(p *page) {
		for i := range fixtures {
			q := g.panel(p, i, 8+late)
			if g.begins(i) {
				names.draw(p, 2, q.y.to)
			}
			q.across(0, end)
			fixtures[i].draw(q, names)
		}
	}
	return f, nil
}

// late is the room for the share of long waits at the right of a panel.
const late = vg.Length(24)

// waitPanel is one fixture's waits under every layout.
type waitPanel struct {
	name  string
	still [][]float64 // by layout and whole seconds: share of draws that wait longer
}

// still is the share of draws that wait t seconds and longer, by t.
func still(counts []int) (left []float64, total int, err error) {
	for _, n := range counts {
		if n < 0 {
			return nil, 0, fmt.Errorf("a count of %d; it must be 0 or more", n)
		}
		total += n
	}
	if total == 0 {
		return nil, 0, nil
	}
	rest := total
	for _, n := range counts {
		left = append(left, float64(rest)/float64(total))
		rest -= n
	}
	return append(left, 0), total, nil
}

// waitEnd is a time by which few still wait, anywhere.
func waitEnd(fixtures []waitPanel) float64 {
	end := 1.5 * unacceptableWait
	for _, f := range fixtures {
		for _, left := range f.still {
			for t, share := range left {
				if share > 0.02 {
					end = max(end, float64(t+1))
				}
			}
		}
	}
	return min(end, 180)
}

func (w *waitPanel) draw(q panel, names rowNames) {
	q.text(q.x.from, q.y.to+13, title.cut(w.name, q.x.to+late-q.x.from), title)
	q.xAxis("s")
	for i, left := range w.still {
		y := names.at(i, q.y.to) - names.row/2 + 1
		height := names.row - 3
		q.StrokeLine2(draw.LineStyle{Color: hair, Width: fineLine}, q.x.from, y, q.x.to, y)
		if len(left) == 0 {
			continue
		}
		shape := []vg.Point{{X: q.x.from, Y: y}}
		last := q.x.from
		for t, share := range left {
			last = min(q.x.at(float64(t)), q.x.to)
			shape = append(shape, vg.Point{X: last, Y: y + vg.Length(share)*height})
			if last == q.x.to {
				break
			}
		}
		shape = append(shape, vg.Point{X: last, Y: y})
		q.FillPolygon(names.entries[i].colour, shape)
	}
	for i, mark := range []float64{acceptableWait, unacceptableWait} {
		x := q.x.at(mark)
		q.StrokeLine2(draw.LineStyle{Color: white, Width: 1}, x, q.y.from, x, q.y.to)
		q.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.6, Dashes: []vg.Length{2.5, 2}}, x, q.y.from, x, q.y.to+3)
		number := note.in(ink)
		number.across = []float64{0.8, 0.2}[i] // apart, where the panel is narrow
		q.text(x, q.y.to+4.5, tickText(mark, 0), number)
	}
	q.text(q.x.to+late, q.y.to+4.5, "> 30 s", note.right())
	for i, left := range w.still {
		text := "–"
		if len(left) > 0 {
			share := 0.0
			if len(left) > unacceptableWait+1 {
				share = left[unacceptableWait+1]
			}
			text = percent(share)
		}
		y := names.at(i, q.y.to)
		q.centreText(q.x.to+late, y, text, note.in(ink).right())
	}
}

// percent writes a share so that some is not none, nor nearly all all.
func percent(share float64) string {
	switch {
	case share > 0 && share < 0.005:
		return "<1 %"
	case share > 0.995 && share < 1:
		return ">99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}
