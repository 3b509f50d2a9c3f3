package plots

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// endNames are names beside the ends of lines.
type endNames struct {
	entries []entry
	lines   [][]string
	width   vg.Length
	lead    vg.Length // room for the leaders from the lines' ends
	heights []vg.Length
}

func nameEnds(entries []entry, most vg.Length) endNames {
	n := endNames{entries: entries, lead: 12}
	for _, e := range entries {
		lines := label.wrap(e.name, most, 2)
		n.heights = append(n.heights, 1.3+1.1*label.size*vg.Length(len(lines)))
		for _, text := range lines {
			n.width = max(n.width, label.width(text)+3)
		}
		n.lines = append(n.lines, lines)
	}
	return n
}

// height is what the names need.
func (n endNames) height() vg.Length {
	all := vg.Length(0)
	for _, h := range n.heights {
		all += h
	}
	return all
}

// draw writes each name as near to the height of its line's end as the others
// let it, and leads it there; where a scale of so many numbers is between, from
// beyond these.
func (n endNames) draw(c *panel, from vg.Length, ends []vg.Length, between *opposite, numbers int) {
	at := spread(ends, n.heights, c.y.from-4, c.y.to+6)
	turn, to := between.beyond(c, numbers), c.x.to+n.lead
	if between != nil {
		from = turn
	}
	for i, e := range n.entries {
		s := stroke(e.colour, e.place, 0.6)
		c.StrokeLines(s, []vg.Point{{X: from, Y: ends[i]}, {X: turn, Y: ends[i]}, {X: to - 6, Y: at[i]}, {X: to - 2, Y: at[i]}})
		s.Width = 2.6
		c.StrokeLine2(draw.LineStyle{Color: e.colour, Width: 2.6}, to-5, at[i], to-2, at[i])
		c.centreLines(to, at[i], n.lines[i], label)
	}
}

// rowNames is the column of names that rows of panels share.
type rowNames struct {
	entries []entry
	lines   [][]string
	width   vg.Length // of the whole column
	row     vg.Length // height of one row
}

// swatch is the room for the mark of colour before a name.
const swatch = vg.Length(9)

// nameRows wraps names into a column no wider than most.
func nameRows(entries []entry, most vg.Length, allowed int) rowNames {
	r := rowNames{entries: entries, row: 10}
	for _, e := range entries {
		lines := label.wrap(e.name, most-swatch-9, allowed)
		if len(lines) > 1 {
			r.row = 18.5
		}
		for _, text := range lines {
			r.width = max(r.width, swatch+label.width(text)+9)
		}
		r.lines = append(r.lines, lines)
	}
	return r
}

// at is the middle of row i below top.
func (r rowNames) at(i int, top vg.Length) vg.Length {
	return top - (vg.Length(i)+0.5)*r.row
}

func (r rowNames) height() vg.Length { return vg.Length(len(r.entries)) * r.row }

// draw writes the names with their colours, rows from top down.
func (r rowNames) draw(p *page, left, top vg.Length) {
	for i, e := range r.entries {
		y := r.at(i, top)
		p.StrokeLine2(stroke(e.colour, e.place, 2.6), left, y, left+swatch-3, y)
		p.centreLines(left+swatch, y, r.lines[i], label)
	}
}
