package network

import (
	"fmt"
	"strings"
)

// tree is a branching route being laid out: places joined by straight edges
// along the axes, from the heater outwards.
type tree struct {
	nodes []node
}

// node is a place in a tree and the edge that leads to it. The first node is
// the heater.
type node struct {
	at       step // from the heater
	parent   int  // −1 for the heater
	trunk    bool // the edge from the parent belongs to a trunk laid out beforehand
	fixtures []int
	children []int // filled in by link
	serves   int   // fixtures at and beyond it, filled in by link
}

func newTree() *tree { return &tree{nodes: []node{{parent: -1}}} }

// grow adds legs from a node and returns the last node.
func (t *tree) grow(from int, l legs, trunk bool) int {
	for _, leg := range l {
		t.nodes = append(t.nodes, node{at: t.nodes[from].at.add(leg), parent: from, trunk: trunk})
		from = len(t.nodes) - 1
	}
	return from
}

// nearest is the place of a tree nearest to p by developed length, and the node
// whose edge it is on; of equals the one laid first.
func (t *tree) nearest(p step) (edge int, at step, apart micron) {
	at, apart = t.nodes[0].at, p.less(t.nodes[0].at).length()
	for i, n := range t.nodes[1:] {
		q := clampTo(p, t.nodes[n.parent].at, n.at)
		if d := p.less(q).length(); d < apart {
			edge, at, apart = i+1, q, d
		}
	}
	return edge, at, apart
}

// clampTo is the place nearest to p in the box between two corners.
func clampTo(p, a, b step) step {
	within := func(p, a, b micron) micron { return min(max(p, min(a, b)), max(a, b)) }
	return step{within(p.x, a.x, b.x), within(p.y, a.y, b.y), within(p.z, a.z, b.z)}
}

// nodeAt is the node at a place on an edge, made if need be. A place within
// the distance of tees that are shared takes the end of the edge nearer to the
// heater, where there is a tee already.
func (t *tree) nodeAt(edge int, at step) int {
	if at == t.nodes[edge].at {
		return edge
	}
	parent := t.nodes[edge].parent
	if at == t.nodes[parent].at {
		return parent
	}
	if at.less(t.nodes[parent].at).length() <= shared && t.isTee(parent) {
		return parent
	}
	t.nodes = append(t.nodes, node{at: at, parent: parent, trunk: t.nodes[edge].trunk})
	t.nodes[edge].parent = len(t.nodes) - 1
	return len(t.nodes) - 1
}

// isTee tells whether more than one edge leaves a node.
func (t *tree) isTee(node int) bool {
	leaving := 0
	for _, n := range t.nodes {
		if n.parent == node {
			leaving++
		}
	}
	return leaving > 1
}

// link fills in children, in the order they were laid, and counts fixtures.
func (t *tree) link() {
	for i := range t.nodes {
		t.nodes[i].children, t.nodes[i].serves = nil, len(t.nodes[i].fixtures)
	}
	for i, n := range t.nodes {
		if n.parent >= 0 {
			t.nodes[n.parent].children = append(t.nodes[n.parent].children, i)
		}
	}
	var count func(i int) int
	count = func(i int) int {
		for _, c := range t.nodes[i].children {
			t.nodes[i].serves += count(c)
		}
		return t.nodes[i].serves
	}
	count(0)
}

// plumber draws a linked tree as pipes.
type plumber struct {
	*tree
	*Network
	site     Site
	trunk    Run
	branches []Run
	tees     int
	ends     []int // by node, the pipe that ends there; −1 for none
}

// drawTree lays trunk and branches along a linked tree. The trunk is what was laid out
// as trunk and what serves more than one fixture.
func (n *Network) drawTree(t *tree, site Site, trunk Run, branches []Run) *plumber {
	p := &plumber{tree: t, Network: n, site: site, trunk: trunk, branches: branches, ends: make([]int, len(t.nodes))}
	for i := range p.ends {
		p.ends[i] = -1
	}
	p.from(0, -1, step{})
	return p
}

// stops tells whether a pipe ends at a node: at a tee, a fixture, a dead end or
// where trunk turns into branch.
func (p *plumber) stops(i int) bool {
	n := p.nodes[i]
	return len(n.children) != 1 || len(n.fixtures) > 0 || p.isTrunk(i) != p.isTrunk(n.children[0])
}

func (p *plumber) isTrunk(i int) bool { return p.nodes[i].trunk || p.nodes[i].serves > 1 }

// from draws what leaves a node, reached along a way by pipe feed, and notes
// the fixtures there.
func (p *plumber) from(at, feed int, along step) {
	for _, f := range p.nodes[at].fixtures {
		p.Taps[f] = feed
	}
	leaving := len(p.nodes[at].children) + len(p.nodes[at].fixtures)
	for _, c := range p.nodes[at].children {
		var l legs
		end := c
		for from := at; ; {
			l = l.append(p.nodes[end].at.less(p.nodes[from].at))
			if p.stops(end) {
				break
			}
			from, end = end, p.nodes[end].children[0]
		}
		run := p.trunk
		if !p.isTrunk(end) {
			run = p.branches[p.fixtureBeyond(end)]
		}
		first := len(p.Pipes)
		pipe := p.drawLegs(run, feed, p.name(end), l)
		p.ends[end] = pipe
		switch fittings := &p.Pipes[first].Fittings; {
		case leaving > 1 && l[0].way() == along:
			fittings.TeeRuns++
		case leaving > 1:
			fittings.TeeBranches++
		case along != (step{}) && l[0].way() != along:
			fittings.Elbows++
		}
		p.from(end, pipe, l[len(l)-1].way())
	}
}

// fixtureBeyond is the one fixture a branch serves.
func (p *plumber) fixtureBeyond(i int) int {
	for len(p.nodes[i].fixtures) == 0 {
		i = p.nodes[i].children[0]
	}
	return p.nodes[i].fixtures[0]
}

// name is that of the fixtures at a node, or else a number.
func (p *plumber) name(i int) string {
	var here []string
	for _, f := range p.nodes[i].fixtures {
		here = append(here, p.site.Fixtures[f].Name)
	}
	if len(here) > 0 {
		return strings.Join(here, " and ")
	}
	p.tees++
	return fmt.Sprintf("tee %d", p.tees)
}
