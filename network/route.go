package network

import (
	"fmt"
	"slices"
	"strings"
)

// Route is where a pipe runs, from its beginning by its turns to its end; nil in
// a layout listed pipe by pipe, unless At has told the places. It stands still
// between the ports of a manifold.
func (n *Network) Route(pipe int) []Point {
	if pipe >= len(n.routes) {
		return nil
	}
	var places []Point
	for _, s := range n.routes[pipe] {
		places = append(places, n.origin.add(s))
	}
	return places
}

// Climb is the height a pipe gains, and for one that leaves a heater how much
// higher that heater stands than the house's [m].
func (n *Network) Climb(pipe int) float64 {
	p := n.Pipes[pipe]
	if p.Feed >= 0 || pipe >= len(n.routes) {
		return p.Rise
	}
	return p.Rise + n.routes[pipe][0].z.metres()
}

// At is a copy of a listed layout with the places of its heater and nodes told,
// so that it can be shown. Pipes then run along x, along y and up or down, as
// those of other layouts do; their lengths and rises stay as listed. The error
// names the nodes without a place.
func (n *Network) At(heaterAt Point, nodes map[string]Point) (*Network, error) {
	shown := *n
	shown.origin, shown.routes = heaterAt, nil
	var unknown []string
	for _, p := range n.Pipes {
		to, known := nodes[p.To]
		if p.To == heater {
			to, known = heaterAt, true
		}
		if !known {
			unknown = append(unknown, p.To)
		}
		by, err := heaterAt.stepTo(to)
		if err != nil {
			return nil, err
		}
		from := shown.endOf(p.Feed)
		shown.routes = append(shown.routes, legs(nil).goTo(by.less(from)).places(from))
	}
	if unknown != nil {
		return nil, fmt.Errorf("layout %q: it is not said where it has %s", n.Name, strings.Join(unknown, ", "))
	}
	return &shown, nil
}

// endOf is where a pipe whose route is known ends; −1 is the heater's outlet.
func (n *Network) endOf(pipe int) step {
	if pipe < 0 {
		return step{}
	}
	r := n.routes[pipe]
	return r[len(r)-1]
}

// add is the place a step leads to.
func (p Point) add(s step) Point {
	return Point{p.X + s.x.metres(), p.Y + s.y.metres(), p.Z + s.z.metres()}
}

// places are where a way turns and ends, begun at a place that stands first.
func (l legs) places(from step) []step {
	all := make([]step, 1, len(l)+1)
	all[0] = from
	for _, leg := range l {
		from = from.add(leg)
		all = append(all, from)
	}
	return all
}

// backAlong is the level way home from the end of a pipe, beneath or above the
// way out.
func (n *Network) backAlong(pipe int) []step {
	var out legs
	for _, i := range n.pathTo(pipe) {
		for k := 1; k < len(n.routes[i]); k++ {
			by := n.routes[i][k].less(n.routes[i][k-1])
			out = out.append(step{x: by.x, y: by.y})
		}
	}
	back := out.places(step{})
	slices.Reverse(back)
	return back
}
