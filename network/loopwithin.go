package network

import (
	"fmt"
	"slices"
)

// LoopWithin lays a pumped loop that passes every fixture so near that no branch
// is longer than branch [m], and branches off it, branches[i] to
// site.Fixtures[i]. The loop is trunk as far as the last take-off and return
// line from there to the heater.
//
// It begins as a point at the heater. The fixture farthest from it pulls it near
// enough, at the place of the round where that adds least, until all are within
// reach. A shorter round may exist; it is not looked for.
//
// Source: cheapest insertion, Rosenkrantz, Stearns and Lewis, An analysis of
// several heuristics for the traveling salesman problem, SIAM J. Comput. 6,
// 1977; from memory.
func LoopWithin(name string, site Site, trunk, back Run, branches []Run, branch float64) (*Network, error) {
	steps, err := site.steps(site.Heater, len(branches))
	if err != nil {
		return nil, fmt.Errorf("layout %q: %w", name, err)
	}
	if !(branch >= 0 && branch <= longest) {
		return nil, fmt.Errorf("layout %q: a longest branch of %g m; give a length from 0 to %g m", name, branch, longest)
	}
	t := newTree()
	end := t.grow(0, roundWithin(steps, micron(branch*perMetre)), true)
	t.branchOff(steps)
	t.link()
	tail := t.cutTail(end)
	if tail[0] == 0 {
		return nil, fmt.Errorf("layout %q: every fixture is within %g m of the heater; no loop is needed", name, branch)
	}
	n := &Network{Name: name, Arrangement: "pumped", Taps: make([]int, len(steps)), LoopEnd: -1, origin: site.Heater}
	p := n.drawTree(t, site, trunk, branches)
	n.LoopEnd = p.ends[tail[0]]
	var home legs
	for i := 1; i < len(tail); i++ {
		home = home.append(t.nodes[tail[i]].at.less(t.nodes[tail[i-1]].at))
	}
	first := len(n.Pipes)
	n.drawLegs(back, n.LoopEnd, heater, home)
	for i := first; i < len(n.Pipes); i++ {
		n.Return = append(n.Return, i)
	}
	if err := n.Validate(); err != nil {
		return nil, err
	}
	return n, nil
}

// roundWithin is a round from the heater and back that passes within reach of
// every fixture.
func roundWithin(steps []step, reach micron) legs {
	stops := []step{{}, {}}
	for {
		way := newTree()
		var l legs
		for i := 1; i < len(stops); i++ {
			l = l.goTo(stops[i].less(stops[i-1]))
		}
		way.grow(0, l, true)
		far, from, farthest := -1, step{}, reach
		for f, s := range steps {
			if _, at, d := way.nearest(s); d > farthest {
				far, from, farthest = f, at, d
			}
		}
		if far < 0 {
			return l
		}
		stop := from.add(partWay(steps[far].less(from), farthest-reach))
		place, least := 0, micron(-1)
		for i := 1; i < len(stops); i++ {
			added := stop.less(stops[i-1]).length() + stops[i].less(stop).length() - stops[i].less(stops[i-1]).length()
			if least < 0 || added < least {
				place, least = i, added
			}
		}
		stops = slices.Insert(stops, place, stop)
	}
}

// partWay is the first part of a step along x, y and z, of a given length.
func partWay(by step, length micron) step {
	var part step
	for _, axis := range []struct{ of, to *micron }{{&by.x, &part.x}, {&by.y, &part.y}, {&by.z, &part.z}} {
		d := min(axis.of.abs(), length)
		length -= d
		if *axis.of < 0 {
			d = -d
		}
		*axis.to = d
	}
	return part
}

// cutTail takes from a linked tree what lies beyond the last tee or fixture on
// the way to a dead end, and returns the nodes from there to the end.
func (t *tree) cutTail(end int) []int {
	tail := []int{end}
	for at := end; t.nodes[at].serves == 0 && t.nodes[at].parent >= 0; {
		at = t.nodes[at].parent
		tail = append(tail, at)
	}
	slices.Reverse(tail)
	if len(tail) > 1 {
		from := &t.nodes[tail[0]]
		from.children = slices.DeleteFunc(from.children, func(c int) bool { return c == tail[1] })
	}
	return tail
}
