package network

import "fmt"

// TrunkByWay lays a trunk from the heater along way-points, as a house may force
// it, with a branch to every fixture from the place of the trunk nearest to it,
// branches[i] to site.Fixtures[i].
//
// From one way-point to the next the trunk goes along x, then along y, then up
// or down. It ends at the last of them.
func TrunkByWay(name string, site Site, trunk Run, via []Point, branches []Run) (*Network, error) {
	steps, err := site.steps(site.Heater, len(branches))
	if err != nil {
		return nil, fmt.Errorf("layout %q: %w", name, err)
	}
	if len(via) == 0 {
		return nil, fmt.Errorf("layout %q: a trunk by way-points has none", name)
	}
	l, err := route(site.Heater, via, len(via))
	if err != nil {
		return nil, fmt.Errorf("layout %q, trunk: %w", name, err)
	}
	t := newTree()
	end := t.grow(0, l, true)
	t.branchOff(steps)
	t.link()
	if t.nodes[end].serves == 0 {
		return nil, fmt.Errorf("layout %q, trunk: way-point %d is not on the route, since no fixture's branch leaves at it or beyond; end the trunk at the last take-off", name, len(via))
	}
	n := &Network{Name: name, Arrangement: "trunk-and-branch", Taps: make([]int, len(steps)), LoopEnd: -1, origin: site.Heater}
	n.drawTree(t, site, trunk, branches).findLoopEnd()
	if err := n.Validate(); err != nil {
		return nil, err
	}
	return n, nil
}

// branchOff joins each fixture to the trunk by a branch of its own.
func (t *tree) branchOff(steps []step) {
	joined := make([]int, len(steps))
	for f, s := range steps {
		edge, at, _ := t.nearest(s)
		joined[f] = t.nodeAt(edge, at)
	}
	for f, s := range steps {
		end := t.grow(joined[f], legs(nil).goTo(s.less(t.nodes[joined[f]].at)), false)
		t.nodes[end].fixtures = append(t.nodes[end].fixtures, f)
	}
}
