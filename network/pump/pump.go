// Package pump finds the flow that a circulation pump drives round a loop, and
// what power that takes.
//
// Not modelled: start-up, air in the loop, buoyancy, draws while it runs, and
// changes of speed.
package pump

import (
	"errors"
	"fmt"
	"slices"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/hydraulics"
)

const gravity = 9.80665 // standard, exact by definition [m/s²]

// Point is one point of a pump's data sheet.
type Point struct {
	Flow  float64 // from 0 [m³/s]
	Head  float64 // from 0 [m]
	Power float64 // electricity, from 0 [W]
}

// Curve is a pump's head and power by flow, straight between its points.
type Curve struct{ points []Point }

// NewCurve checks the points of a data sheet: two or more in order of rising
// flow, the first at none, with head falling to none at the last.
func NewCurve(points ...Point) (Curve, error) {
	var wrong []error
	refuse := func(wrongly bool, format string, args ...any) {
		if wrongly {
			wrong = append(wrong, fmt.Errorf("pump curve: "+format, args...))
		}
	}
	n := len(points)
	refuse(n < 2, "%d points; at least two are needed", n)
	for i, p := range points {
		refuse(!(p.Flow >= 0 && p.Flow <= 0.1), "flow %g m³/s; must be from 0 to 0.1 m³/s", p.Flow)
		refuse(!(p.Head >= 0 && p.Head <= 100), "head %g m; must be from 0 to 100 m", p.Head)
		refuse(!(p.Power >= 0 && p.Power <= 1e4), "power %g W; must be from 0 to 10000 W", p.Power)
		if i > 0 {
			refuse(!(p.Flow > points[i-1].Flow), "flow %.4g m³/s after %.4g m³/s; it must rise", p.Flow, points[i-1].Flow)
			refuse(!(p.Head < points[i-1].Head), "head %.4g m after %.4g m; it must fall", p.Head, points[i-1].Head)
		}
	}
	if n > 0 {
		refuse(points[0].Flow != 0, "begins at a flow of %g m³/s; it must begin at 0, the head against a shut valve", points[0].Flow)
		refuse(points[n-1].Head != 0, "ends at a head of %.4g m; it must end at 0, the greatest flow", points[n-1].Head)
	}
	if err := errors.Join(wrong...); err != nil {
		return Curve{}, err
	}
	return Curve{points: slices.Clone(points)}, nil
}

// At is head [m] and power [W] at a flow [m³/s], those of the ends beyond them.
func (c Curve) At(flow float64) (head, power float64) {
	i := 1
	for i < len(c.points)-1 && c.points[i].Flow < flow {
		i++
	}
	a, b := c.points[i-1], c.points[i]
	x := min(max((flow-a.Flow)/(b.Flow-a.Flow), 0), 1)
	return a.Head + x*(b.Head-a.Head), a.Power + x*(b.Power-a.Power)
}

// Duty is where a pump works.
type Duty struct {
	Flow  float64 // [m³/s]
	Head  float64 // [m]
	Power float64 // [W]
}

// In finds the duty of a pump in a network's loop: the flow at which its head is
// what friction, fittings and check valve take.
//
//	ρ g H(q) = Σ Δp(q) + opens
//
// opens is the pressure that opens the check valve, 0 to 100 000 [Pa]. The loop is
// closed, so heights cancel. water is that in the loop, all of one temperature. An
// error if there is no loop, or the pump cannot open the valve.
//
// Source: Darcy and Weisbach, by package hydraulics; found by bisection to
// 1e-12 of the greatest flow, both sides being monotone.
func (c Curve) In(n *network.Network, water heat.Water, opens float64) (Duty, error) {
	loop := n.Loop()
	if len(loop) == 0 {
		return Duty{}, fmt.Errorf("layout %q: has no return line, so a pump cannot send water round", n.Name)
	}
	if len(c.points) == 0 {
		return Duty{}, errors.New("pump curve: has no points")
	}
	if !(opens >= 0 && opens <= 1e5) {
		return Duty{}, fmt.Errorf("check valve: opens at %g Pa; must be from 0 to 100000 Pa", opens)
	}
	weight := water.Density * gravity
	if shut := c.points[0].Head * weight; shut <= opens {
		return Duty{}, fmt.Errorf("layout %q: the pump's %.3g kPa do not open the check valve, which takes %.3g kPa", n.Name, shut/1000, opens/1000)
	}
	return c.meet(func(q float64) float64 {
		loss := opens
		for _, i := range loop {
			loss += hydraulics.Loss(n.Pipes[i], water, q)
		}
		return loss / weight
	}), nil
}

// meet finds where the curve meets a head that rises with flow [m].
func (c Curve) meet(takes func(flow float64) float64) Duty {
	most := c.points[len(c.points)-1].Flow
	low, high := 0.0, most
	for high-low > 1e-12*most {
		q := low + (high-low)/2
		if q <= low || q >= high {
			break
		}
		if head, _ := c.At(q); head > takes(q) {
			low = q
		} else {
			high = q
		}
	}
	q := low + (high-low)/2
	head, power := c.At(q)
	return Duty{Flow: q, Head: head, Power: power}
}
