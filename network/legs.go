package network

import (
	"errors"
	"fmt"
)

// legs are the straight pieces of a route, one after another, each along one
// axis and none in line with the one before.
type legs []step

// add is the place a step leads to.
func (s step) add(by step) step { return step{s.x + by.x, s.y + by.y, s.z + by.z} }

// less is the step from one place to another.
func (s step) less(from step) step { return step{s.x - from.x, s.y - from.y, s.z - from.z} }

// length is the developed length of a step.
func (s step) length() micron { return s.plan() + s.z.abs() }

// way is the direction of a leg, one of the six.
func (s step) way() step {
	sign := func(d micron) micron {
		switch {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	}
	return step{sign(s.x), sign(s.y), sign(s.z)}
}

// upright tells a riser or drop from a level leg.
func (s step) upright() bool { return s.z != 0 }

// append lays a leg on, in line with the last or as a new one.
func (l legs) append(leg step) legs {
	switch {
	case leg == (step{}):
		return l
	case len(l) > 0 && l[len(l)-1].way() == leg.way():
		l[len(l)-1] = l[len(l)-1].add(leg)
		return l
	}
	return append(l, leg)
}

// goTo lays the way on by a step at right angles: along x, along y, and then up
// or down.
func (l legs) goTo(by step) legs {
	return l.append(step{x: by.x}).append(step{y: by.y}).append(step{z: by.z})
}

// runsBack tells whether a leg goes back over the one before.
func (l legs) runsBack() bool {
	for i := 1; i < len(l); i++ {
		if l[i].way() == (step{}).less(l[i-1].way()) {
			return true
		}
	}
	return false
}

// route goes from a place by way of others to the last of them, at right
// angles. The first ones of places are way-points; the error names the one that is
// not on the way.
func route(from Point, places []Point, wayPoints int) (legs, error) {
	var l legs
	for i, p := range places {
		by, err := from.stepTo(p)
		if l = l.goTo(by); err == nil && l.runsBack() {
			err = errors.New("the route runs back on itself")
		}
		switch {
		case err != nil && i < wayPoints:
			return nil, fmt.Errorf("way-point %d is not on the route: %w; move it or take it out", i+1, err)
		case err != nil && i > 0:
			return nil, fmt.Errorf("way-point %d, the last, is not on the route: %w beyond it; move it or take it out", i, err)
		case err != nil:
			return nil, err
		}
		from = p
	}
	return l, nil
}

// drawLegs lays pipes along legs from the end of pipe feed to a node, a new one
// wherever the way turns from level to upright or back, since those lose heat
// differently. It counts the turns between legs as elbows.
func (n *Network) drawLegs(r Run, feed int, to string, l legs) int {
	turns := 0
	places := l.places(n.endOf(feed))
	for i := 0; i < len(l); {
		end, length, rise := i, micron(0), micron(0)
		for ; end < len(l) && l[end].upright() == l[i].upright(); end++ {
			length += l[end].length()
			rise += l[end].z
		}
		name := to
		if end < len(l) {
			turns++
			switch last := end == len(l)-1; {
			case last && l[end].z > 0:
				name = "foot of " + to
			case last && l[end].z < 0:
				name = "head of " + to
			default:
				name = fmt.Sprintf("turn %d to %s", turns, to)
			}
		}
		feed = n.draw(r, feed, name, length, rise, places[i:end+1])
		n.Pipes[feed].Fittings.Elbows += end - i - 1
		if i > 0 {
			n.Pipes[feed].Fittings.Elbows++
		}
		i = end
	}
	return feed
}
