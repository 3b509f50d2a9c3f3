package plots

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"pipelag/units"
)

// opposite is the scale of the other system on the far side of a panel:
// other = factor·shown + offset. It is nil where a figure has none, and takes
// no room then.
type opposite struct {
	factor, offset float64
	unit           string
}

// opposite is the other system's scale of a dimension, if the set asks for it
// and it differs.
func (s Set) opposite(d units.Dimension) *opposite {
	other := s.other()
	if !s.Opposite || other.Unit(d) == s.System.Unit(d) {
		return nil
	}
	// Both systems' numbers are straight lines over SI.
	shown := func(y units.System) (slope, at0 float64) {
		at0 = y.Convert(0, d)
		return y.Convert(1, d) - at0, at0
	}
	a, a0 := shown(s.System)
	b, b0 := shown(other)
	o := &opposite{factor: b / a, offset: b0 - a0*b/a}
	o.unit = Set{System: other}.unit(d)
	return o
}

// other is the system that is not the set's own.
func (s Set) other() units.System {
	if s.System == units.US {
		return units.SI
	}
	return units.US
}

// besides is the room it takes to the right of a panel.
func (o *opposite) besides() vg.Length {
	if o == nil {
		return 0
	}
	return note.width("0 000") + 5
}

// above is the room it takes above a panel.
func (o *opposite) above() vg.Length {
	if o == nil {
		return 0
	}
	return line + 2
}

// yAxis draws the scale to the right of a panel; its unit stands at the head.
func (o *opposite) yAxis(p *panel, n int) {
	if o == nil {
		return
	}
	p.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, p.x.to, p.y.from, p.x.to, p.y.to)
	p.beside(o.scaled(p.y), n, p.x.to, 1, o.unit, nil)
}

// Room round what leads past numbers.
const (
	clearOfNumber = vg.Length(5)   // from its middle
	clearOfLeader = vg.Length(1.6) // from one to the next
)

// past leads from heights at a panel's edge to as near to them beyond the n
// numbers of the scale there as these let it, in the order that spread keeps. With
// no scale the edge is all there is.
func (o *opposite) past(p *panel, n int, heights []vg.Length) [][]vg.Point {
	ways := make([][]vg.Point, len(heights))
	for i, y := range heights {
		ways[i] = []vg.Point{{X: p.x.to, Y: y}}
	}
	if o == nil {
		return ways
	}
	scale := o.scaled(p.y)
	at, decimals := ticks(scale.low, scale.high, n)
	widest := vg.Length(0)
	for _, v := range at {
		widest = max(widest, note.width(tickText(v, decimals)))
	}
	least := vg.Length(math.Inf(-1))
	for _, i := range inOrder(heights) {
		y := max(heights[i], least)
		for _, v := range at {
			number := scale.at(v)
			switch below := number - clearOfNumber; {
			case y <= below || y >= number+clearOfNumber:
			case heights[i] < number && below >= least:
				y = below
			default:
				y = number + clearOfNumber
			}
		}
		least = y + clearOfLeader
		ways[i] = append(ways[i], vg.Point{X: p.x.to + mark, Y: y}, vg.Point{X: p.x.to + mark + widest + 3, Y: y})
	}
	return ways
}

// scaled is an axis in the other system.
func (o *opposite) scaled(a axis) axis {
	return axis{o.factor*a.low + o.offset, o.factor*a.high + o.offset, a.from, a.to}
}

// xAxis draws the scale above a panel; the last number carries the unit.
func (o *opposite) xAxis(p *panel) {
	if o == nil {
		return
	}
	p.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, p.x.from, p.y.to, p.x.to, p.y.to)
	p.numbers(o.scaled(p.x), o.unit, p.y.to+mark+1.5, func(at vg.Length) {
		p.StrokeLine2(draw.LineStyle{Color: muted, Width: fineLine}, at, p.y.to, at, p.y.to+mark)
	})
}
