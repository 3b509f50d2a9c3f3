package plots

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/units"
)

// drawing is a plan set out on a page: plan above, elevation below, both at one
// scale, and the key.
type drawing struct {
	Plan
	set       Set
	unit      string
	beyond    *opposite // scale of lengths
	width     vg.Length
	scale     vg.Length // of a unit of length
	low, high [3]float64
	sizes     []tubeSize
	keyed     []string // what the key says
	column    vg.Length
	across    int
}

// What a page leaves for a drawing.
const (
	drawingLeft = vg.Length(24)
	drawingEdge = vg.Length(10)
	drawingMost = vg.Length(500) // both views together
	pageMost    = vg.Length(660) // with heads and key
	mostKeyed   = 20             // names one below another
	viewHead    = vg.Length(16)
	viewFoot    = vg.Length(14)
	viewMargin  = vg.Length(20) // round what is drawn, for names
)

func newDrawing(p Plan, s Set) *drawing {
	width := s.Width.length()
	d := &drawing{Plan: p, set: s, unit: s.unit(units.Length), beyond: s.opposite(units.Length), width: width, sizes: p.sizes()}
	longest := vg.Length(0)
	for i, f := range p.Fixtures {
		d.keyed = append(d.keyed, fmt.Sprintf("%d %s", i+1, f.Name))
		longest = max(longest, label.width(d.keyed[i]))
	}
	// Names in as many columns as they need, and more where they would be too many
	// rows.
	d.across = max(1, int((width-4)/(longest+10)), (len(d.keyed)+mostKeyed-1)/mostKeyed)
	d.column = (width - 4) / vg.Length(d.across)

	room := width - drawingLeft - d.edge() - 2*viewMargin
	rise := min(drawingMost, pageMost-d.keyHeight()-2*(d.head()+viewFoot)) - 4*viewMargin
	var span [3]float64
	for axis := range 3 {
		d.low[axis], d.high[axis] = p.reach(axis)
		span[axis] = d.high[axis] - d.low[axis]
	}
	d.scale = min(room/vg.Length(max(span[0], 1)), rise/vg.Length(max(span[1]+span[2], 1)))
	// Centred where the height, not the width, sets the scale.
	margin := float64((width - drawingLeft - d.edge() - vg.Length(span[0])*d.scale) / 2 / d.scale)
	d.low[0], d.high[0] = d.low[0]-margin, d.high[0]+margin
	for axis := 1; axis < 3; axis++ {
		d.low[axis] -= float64(viewMargin / d.scale)
		d.high[axis] += float64(viewMargin / d.scale)
	}
	return d
}

// head is the room above a view, and edge that to the right of one.
func (d *drawing) head() vg.Length { return viewHead + d.beyond.above() }
func (d *drawing) edge() vg.Length { return drawingEdge + d.beyond.besides() }

// tall is the height of a view of an axis.
func (d *drawing) tall(axis int) vg.Length {
	return vg.Length(d.high[axis]-d.low[axis]) * d.scale
}

func (d *drawing) keyRows() int { return (len(d.keyed) + d.across - 1) / d.across }

// keyHeight is that of the way, of the sizes and of the names.
func (d *drawing) keyHeight() vg.Length {
	return vg.Length(1+len(d.sizes)+d.keyRows())*line + 10
}

func (d *drawing) height() vg.Length {
	return 2*(d.head()+viewFoot) + d.tall(1) + d.tall(2) + d.keyHeight()
}

func (d *drawing) draw(p *page) {
	top := d.height() - d.head()
	d.view(p, "plan", 1, top)
	top -= d.tall(1) + viewFoot + d.head()
	d.view(p, "elevation", 2, top)
	d.key(p, top-d.tall(2)-viewFoot-6)
}

// view draws x across and another axis up, below top.
func (d *drawing) view(p *page, name string, up int, top vg.Length) {
	q := newPanel(p, drawingLeft, d.width-d.edge(), top-d.tall(up), top)
	q.across(d.low[0], d.high[0])
	q.up(d.low[up], d.high[up])
	marks := max(3, int(d.tall(up)/40))
	q.yAxis(marks)
	q.xAxis(d.unit)
	if d.beyond != nil {
		d.beyond.xAxis(&q)
		beside := *d.beyond
		beside.unit = "" // which the scale above ends in
		beside.yAxis(&q, marks)
	}
	view := ": " + name + ", " + d.unit
	q.text(2, top+5+d.beyond.above(), title.cut(d.Layout, d.width-4-title.width(view))+view, title)
	ways := d.lanes(q, up)
	var ground []vg.Point // of the way brought out, in one piece so that its corners are whole
	for _, i := range d.Way {
		ground = append(ground, ways[i]...)
	}
	q.StrokeLines(draw.LineStyle{Color: brought, Width: thickest + 4}, ground)
	for _, onWay := range []bool{false, true} { // what is brought out lies on top
		for i, way := range ways {
			if slices.Contains(d.Way, i) == onWay {
				q.StrokeLines(d.stroke(i), way)
			}
		}
	}
	var lines []vg.Rectangle
	for _, way := range ways {
		for k := 1; k < len(way); k++ {
			a, b := way[k-1], way[k]
			lines = append(lines, vg.Rectangle{Min: vg.Point{X: min(a.X, b.X) - 1, Y: min(a.Y, b.Y) - 1}, Max: vg.Point{X: max(a.X, b.X) + 1, Y: max(a.Y, b.Y) + 1}})
		}
	}
	var taken []vg.Rectangle
	for _, at := range d.Heaters {
		r := square(q.x.at(at[0]), q.y.at(at[up]), 3)
		q.fill(r, ink)
		taken = append(taken, r)
	}
	for i, f := range d.Fixtures {
		x, y := q.x.at(f.At[0]), q.y.at(f.At[up])
		q.DrawGlyphNoClip(draw.GlyphStyle{Color: ink, Radius: 2.4, Shape: draw.CircleGlyph{}}, vg.Point{X: x, Y: y})
		inner := white
		if i == d.To {
			inner = brought
		}
		q.DrawGlyphNoClip(draw.GlyphStyle{Color: inner, Radius: 1.7, Shape: draw.CircleGlyph{}}, vg.Point{X: x, Y: y})
		taken = append(taken, square(x, y, 2.4))
	}
	for _, at := range d.Heaters {
		taken = append(taken, q.tag("heater", q.x.at(at[0]), q.y.at(at[up]), label, taken, lines))
	}
	for i, f := range d.Fixtures {
		style := label
		style.bold = i == d.To
		taken = append(taken, q.tag(fmt.Sprint(i+1), q.x.at(f.At[0]), q.y.at(f.At[up]), style, taken, lines))
	}
}

// square is the ground of a mark.
func square(x, y, r vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: x - r, Y: y - r}, Max: vg.Point{X: x + r, Y: y + r}}
}

func (d *drawing) size(tube int) tubeSize {
	i := slices.IndexFunc(d.sizes, func(s tubeSize) bool { return s.name == d.Tubes[tube].Name })
	return d.sizes[i]
}

func (d *drawing) stroke(tube int) draw.LineStyle {
	s := draw.LineStyle{Color: d.size(tube).colour, Width: d.size(tube).width}
	if d.Tubes[tube].Return {
		s.Dashes = []vg.Length{3.5, 1.8}
	}
	return s
}

// tag writes a short text beside its point where it covers nothing that is taken
// and few lines, and gives the place it takes.
func (p *panel) tag(text string, x, y vg.Length, style letters, taken, lines []vg.Rectangle) vg.Rectangle {
	half := vg.Point{X: style.width(text)/2 + 0.6, Y: style.size/2 + 0.3}
	var best vg.Rectangle
	least := math.Inf(1)
	for _, far := range []vg.Length{4, 8, 13, 19, 26, 34, 44, 56} {
		for k := range 16 {
			angle := float64(k) * math.Pi / 8
			c := vg.Point{X: x + vg.Length(math.Cos(angle))*(far+half.X), Y: y + vg.Length(math.Sin(angle))*(far+half.Y)}
			r := vg.Rectangle{Min: vg.Point{X: c.X - half.X, Y: c.Y - half.Y}, Max: vg.Point{X: c.X + half.X, Y: c.Y + half.Y}}
			cost := float64(far) + 0.2*float64((k+14)%16) // rather above to the right
			for _, t := range taken {
				cost += 1000 * covered(r, t)
			}
			for _, t := range lines {
				cost += 6 * covered(r, t)
			}
			if r.Min.X < p.x.from || r.Max.X > p.x.to || r.Min.Y < p.y.from || r.Max.Y > p.y.to {
				cost += 1e6
			}
			if cost < least {
				least, best = cost, r
			}
		}
	}
	c := vg.Point{X: (best.Min.X + best.Max.X) / 2, Y: (best.Min.Y + best.Max.Y) / 2}
	if math.Hypot(float64(c.X-x), float64(c.Y-y)) > noLeader+4 {
		p.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, x, y, c.X, c.Y)
	}
	p.fill(best, white)
	style.across = 0.5
	p.centreText(c.X, c.Y, text, style)
	return best
}

// covered is 0 for rectangles apart, and above 1 and the more the more they
// share.
func covered(r, t vg.Rectangle) float64 {
	w, h := min(r.Max.X, t.Max.X)-max(r.Min.X, t.Min.X), min(r.Max.Y, t.Max.Y)-max(r.Min.Y, t.Min.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return 1 + float64(w*h)/100
}

// key says what is brought out, and what colours and numbers mean.
func (d *drawing) key(p *page, top vg.Length) {
	y := top
	const sample = vg.Length(20)
	row := func() vg.Length { y -= line; return y + 0.4*line }
	at := row()
	p.StrokeLine2(draw.LineStyle{Color: brought, Width: thickest + 4}, 2, at, 2+sample, at)
	p.centreText(sample+6, at, label.cut(fmt.Sprintf("way of %s, %s to %s", d.set.format(d.Length, units.Length), d.set.format(d.Stored, units.Volume), d.Fixtures[d.To].Name), d.width-sample-8), label)
	for _, s := range d.sizes {
		at := row()
		p.StrokeLine2(draw.LineStyle{Color: s.colour, Width: s.width}, 2, at, 2+sample, at)
		p.centreText(sample+6, at, label.cut(s.name+", "+d.set.holds(s.volume), d.width-sample-8), label)
	}
	y -= 2
	for i, text := range d.keyed {
		style := label
		style.bold = i == d.To
		x, at := 2+vg.Length(i/d.keyRows())*d.column, y-(vg.Length(i%d.keyRows())+0.6)*line
		p.centreText(x, at, style.cut(text, d.column-6), style)
	}
}
