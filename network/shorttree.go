package network

import "fmt"

// ShortTree lays one tree of pipe to all fixtures, short by sharing: the fixture
// nearest to what is laid is joined to the nearest place of it, again and again
// from the heater. What serves more than one fixture is trunk, the rest is
// branches, branches[i] to site.Fixtures[i].
//
// A joining pipe goes level, with one turn at most, and then up or down; of the
// two corners the one is taken that leaves the fixtures still to come nearer.
// That is a shortest rectilinear tree for up to two fixtures at one level and a
// good one beyond; the shortest of all is not looked for.
//
// Source: the growth of a tree by its nearest terminal is Prim's, Shortest
// connection networks, Bell Syst. Tech. J. 36, 1957, joined to edges as in
// Hanan, On Steiner's problem with rectilinear distance, SIAM J. Appl. Math. 14,
// 1966; from memory.
func ShortTree(name string, site Site, trunk Run, branches []Run) (*Network, error) {
	steps, err := site.steps(site.Heater, len(branches))
	if err != nil {
		return nil, fmt.Errorf("layout %q: %w", name, err)
	}
	t := growShort(steps)
	t.link()
	n := &Network{Name: name, Arrangement: "trunk-and-branch", Taps: make([]int, len(steps)), LoopEnd: -1, origin: site.Heater}
	n.drawTree(t, site, trunk, branches).findLoopEnd()
	if err := n.Validate(); err != nil {
		return nil, err
	}
	return n, nil
}

// growShort joins fixtures to a tree, the nearest first.
func growShort(steps []step) *tree {
	t := newTree()
	var waiting []int
	for i := range steps {
		waiting = append(waiting, i)
	}
	for len(waiting) > 0 {
		next, edge, at, nearest := 0, 0, step{}, micron(-1)
		for k, f := range waiting {
			if e, a, d := t.nearest(steps[f]); nearest < 0 || d < nearest {
				next, edge, at, nearest = k, e, a, d
			}
		}
		f := waiting[next]
		waiting = append(waiting[:next], waiting[next+1:]...)
		from := t.nodeAt(edge, at)
		end := t.grow(from, t.bestCorner(from, steps, f, waiting), false)
		t.nodes[end].fixtures = append(t.nodes[end].fixtures, f)
	}
	return t
}

// bestCorner chooses the way from a node to fixture f.
func (t *tree) bestCorner(from int, steps []step, f int, waiting []int) legs {
	start := t.nodes[from].at
	by := steps[f].less(start)
	var best legs
	var least micron
	for turn := range by.turns() + 1 {
		var l legs
		if turn == 0 {
			l = l.goTo(by)
		} else {
			l = l.goTo(step{y: by.y}).goTo(step{x: by.x, z: by.z})
		}
		var left micron
		for _, w := range waiting {
			nearest := steps[w].less(start).length()
			at := start
			for _, leg := range l {
				next := at.add(leg)
				nearest = min(nearest, steps[w].less(clampTo(steps[w], at, next)).length())
				at = next
			}
			left += nearest
		}
		if turn == 0 || left < least {
			best, least = l, left
		}
	}
	return best
}

// findLoopEnd sets where a return line could begin: at the trunk's end farthest
// from the heater that the trunk reaches without a detour, since a return line
// goes straight back.
func (p *plumber) findLoopEnd() {
	var farthest micron
	for i, pipe := range p.ends {
		if pipe < 0 || !p.isTrunk(i) {
			continue
		}
		var laid micron
		for k := i; p.nodes[k].parent >= 0; k = p.nodes[k].parent {
			laid += p.nodes[k].at.less(p.nodes[p.nodes[k].parent].at).length()
		}
		at := p.nodes[i].at
		if laid == at.length() && laid > farthest {
			farthest = laid
			p.LoopEnd = pipe
		}
	}
}
