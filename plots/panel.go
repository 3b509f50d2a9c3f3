package plots

import (
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// axis maps values to places on the page.
type axis struct {
	low, high float64
	from, to  vg.Length
}

func (a axis) at(v float64) vg.Length {
	return a.from + vg.Length((v-a.low)/(a.high-a.low))*(a.to-a.from)
}

// ticks are round numbers between low and high, some n of them but two at least,
// as one alone tells no distance, and the decimals that tell them apart.
func ticks(low, high float64, n int) (at []float64, decimals int) {
	rough := (high - low) / float64(n)
	step := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, m := range []float64{2, 2.5, 2} { // 1, 2, 5, 10
		if step < 0.85*rough {
			step *= m
		}
	}
	// Counted from the first: far from 0 the next multiple may be the same number.
	first, last := math.Ceil(low/step-1e-9), math.Floor(high/step+1e-9)
	for k := 0.0; k <= last-first; k++ {
		at = append(at, (first+k)*step+0)
	}
	if len(at) < 2 && n < 8 {
		return ticks(low, high, n+1)
	}
	return at, max(0, -int(math.Floor(math.Log10(step)+1e-9)))
}

// tickText writes a number on an axis, with a true minus.
func tickText(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if v < 0 {
		text = "–" + text[1:] // an en dash: the fonts of PDF know no other minus
	}
	return grouped(text)
}

// grouped sets the thousands of a long number apart.
func grouped(text string) string {
	end := len(text)
	for i, r := range text {
		if r == '.' {
			end = i
			break
		}
	}
	long := len(strings.TrimPrefix(text[:end], "–")) > 4
	digits := 0
	for i := end - 1; i >= 0 && text[i] >= '0' && text[i] <= '9'; i-- {
		digits++
		if digits%3 == 0 && long && i > 0 && text[i-1] >= '0' && text[i-1] <= '9' {
			text = text[:i] + "\u00a0" + text[i:]
		}
	}
	return text
}

// panel is a field of two axes.
type panel struct {
	*page
	x, y axis
}

func newPanel(p *page, left, right, bottom, top vg.Length) panel {
	return panel{p, axis{0, 1, left, right}, axis{0, 1, bottom, top}}
}

func (p *panel) across(low, high float64) { p.x.low, p.x.high = low, high }
func (p *panel) up(low, high float64)     { p.y.low, p.y.high = low, high }

func (p *panel) rectangle() vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: p.x.from, Y: p.y.from}, Max: vg.Point{X: p.x.to, Y: p.y.to}}
}

// xAxis draws upright hairs at round numbers and the numbers below them; the
// last number carries the unit.
func (p *panel) xAxis(unit string) {
	p.numbers(p.x, unit, p.y.from-line, func(x vg.Length) {
		p.StrokeLine2(draw.LineStyle{Color: hair, Width: fineLine}, x, p.y.from, x, p.y.to)
	})
}

// numbers writes round numbers of an axis across, on one baseline, as many as
// have room, and marks the place of each.
func (p *panel) numbers(a axis, unit string, baseline vg.Length, mark func(x vg.Length)) {
	n := min(max(2, int((a.to-a.from)/28)), 8)
	at, decimals := ticks(a.low, a.high, n)
	end := vg.Length(-1e9)
	for i, v := range at {
		x := a.at(v)
		mark(x)
		text := tickText(v, decimals)
		left := x - note.width(text)/2
		if i == len(at)-1 && unit != "" {
			text += " " + unit
		}
		left = min(left, p.Max.X-1-note.width(text)) // stays on the page
		if left > end+2 {
			p.text(left, baseline, text, note)
			end = left + note.width(text)
		}
	}
}

// yAxis draws level hairs at round numbers and the numbers to their left.
func (p *panel) yAxis(n int) {
	at, decimals := ticks(p.y.low, p.y.high, n)
	for _, v := range at {
		y := p.y.at(v)
		p.StrokeLine2(draw.LineStyle{Color: hair, Width: fineLine}, p.x.from, y, p.x.to, y)
		p.centreText(p.x.from-3, y, tickText(v, decimals), note.right())
	}
}

// beside writes round numbers of an upright axis to the left (−1) or right (1) of
// x, tied to their places by short strokes; the unit stands above them. Where
// taken tells so, a number is left out.
func (p *panel) beside(a axis, n int, x, side vg.Length, unit string, taken func(y vg.Length) bool) {
	style := note
	if side < 0 {
		style = note.right()
	}
	to := x + side*(mark+1)
	at, decimals := ticks(a.low, a.high, n)
	for _, v := range at {
		y := a.at(v)
		if taken != nil && taken(y) {
			continue
		}
		p.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, x, y, x+side*mark, y)
		text := tickText(v, decimals)
		p.fillBehind(to, y, text, style.across)
		p.centreText(to, y, text, style)
	}
	p.text(to, a.to+5, unit, style)
}

// mark is a short stroke that ties a number to its place.
const mark = vg.Length(2)

// base draws the line that values are measured from.
func (p *panel) base() {
	p.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, p.x.from, p.y.from, p.x.to, p.y.from)
}

// heading names the panel above it, and above what else stands there.
func (p *panel) heading(text string, above vg.Length) {
	p.text(p.x.from, p.y.to+above+4, title.cut(text, p.Max.X-p.x.from), title)
}

// curve draws values against values, within the panel.
func (p *panel) curve(xs, ys []float64, s draw.LineStyle) {
	points := make([]vg.Point, len(xs))
	for i := range xs {
		points[i] = vg.Point{X: p.x.at(xs[i]), Y: p.y.at(ys[i])}
	}
	c := draw.Canvas{Canvas: p.Canvas, Rectangle: p.rectangle()}
	p.StrokeLines(s, c.ClipLinesXY(points)...)
}

// whisker draws an interval along x; none if it is unknown.
func (p *panel) whisker(low, high float64, y vg.Length, c color.Color) {
	if math.IsNaN(low) {
		return
	}
	s := draw.LineStyle{Color: c, Width: 0.8}
	a, b := p.x.at(low), p.x.at(high)
	p.StrokeLine2(s, a, y, b, y)
	for _, x := range []vg.Length{a, b} {
		p.StrokeLine2(s, x, y-2, x, y+2)
	}
}

// upright draws an interval along y; none if it is unknown.
func (p *panel) upright(low, high float64, x vg.Length, c color.Color) {
	if math.IsNaN(low) {
		return
	}
	s := draw.LineStyle{Color: c, Width: 0.8}
	a, b := p.y.at(low), p.y.at(high)
	p.StrokeLine2(s, x, a, x, b)
	for _, y := range []vg.Length{a, b} {
		p.StrokeLine2(s, x-2, y, x+2, y)
	}
}
