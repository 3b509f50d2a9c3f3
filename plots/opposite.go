package plots

import (
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

// beyond is where there is room again to the right of a panel, past the n numbers
// of the scale.
func (o *opposite) beyond(p *panel, n int) vg.Length {
	if o == nil {
		return p.x.to
	}
	scale, widest := o.scaled(p.y), vg.Length(0)
	at, decimals := ticks(scale.low, scale.high, n)
	for _, v := range at {
		widest = max(widest, note.width(tickText(v, decimals)))
	}
	return p.x.to + mark + 1 + widest + 3
}

// daily is the scale of what is told for a day.
func (o *opposite) daily() *opposite {
	if o == nil {
		return nil
	}
	d := *o
	d.unit += " a day"
	return &d
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
