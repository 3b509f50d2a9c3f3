package network

import (
	"fmt"
	"slices"
)

// Manifold is a place where runs part.
type Manifold struct {
	Name   string
	At     Point
	Feed   string  // the manifold that feeds it, listed before; empty for the heater
	Supply Run     // from the heater or the feeding manifold
	Via    []Point // places the supply goes by
	Body   Run     // the manifold itself
	Port   float64 // from one port to the next [m]; 0 for a body too short to count
}

// HomeRuns lays a supply to every manifold and a run to every fixture: runs[i]
// to site.Fixtures[i] from manifolds[from[i]], by way of vias[i] where vias is
// given. With from nil each fixture is served by the manifold nearest to it, the
// first of equals.
//
// The ports stand in the order of the fixtures, the supply at one end: a
// manifold of n ports holds n − 1 spacings of water, the next manifold being fed
// past the last of them. Runs begin where the manifold stands, whatever their port.
func HomeRuns(name string, site Site, manifolds []Manifold, from []int, runs []Run, vias [][]Point) (*Network, error) {
	if _, err := site.steps(site.Heater, len(runs)); err != nil {
		return nil, fmt.Errorf("layout %q: %w", name, err)
	}
	if len(manifolds) == 0 {
		return nil, fmt.Errorf("layout %q has no manifold", name)
	}
	from, err := serve(site, manifolds, from)
	if err != nil {
		return nil, fmt.Errorf("layout %q: %w", name, err)
	}
	if vias == nil {
		vias = make([][]Point, len(runs))
	}
	if len(vias) != len(runs) {
		return nil, fmt.Errorf("layout %q: way-points of %d runs for %d fixtures", name, len(vias), len(runs))
	}
	n := &Network{Name: name, Arrangement: "home-run", Taps: make([]int, len(runs)), LoopEnd: -1, origin: site.Heater}
	ends := make([]int, len(manifolds))
	for m, manifold := range manifolds {
		feed, start := -1, site.Heater
		if manifold.Feed != "" {
			k := 0
			for k < m && manifolds[k].Name != manifold.Feed {
				k++
			}
			if k == m {
				return nil, fmt.Errorf("layout %q: manifold %q is fed by %q, which is no manifold listed before it", name, manifold.Name, manifold.Feed)
			}
			feed, start = ends[k], manifolds[k].At
		}
		l, err := route(start, append(slices.Clone(manifold.Via), manifold.At), len(manifold.Via))
		if err != nil {
			return nil, fmt.Errorf("layout %q, manifold %q: %w", name, manifold.Name, err)
		}
		if ends[m], err = n.drawManifold(manifold, n.drawLegs(manifold.Supply, feed, manifold.Name, l), site, from, m, runs, vias); err != nil {
			return nil, fmt.Errorf("layout %q: %w", name, err)
		}
	}
	if len(manifolds) == 1 && len(manifolds[0].Via) == 0 {
		n.LoopEnd = n.supplyEnd(manifolds[0].Name)
	}
	n.countTees()
	if err := n.Validate(); err != nil {
		return nil, err
	}
	return n, nil
}

// supplyEnd is the pipe that ends at a node, −1 for none.
func (n *Network) supplyEnd(node string) int {
	for i, p := range n.Pipes {
		if p.To == node {
			return i
		}
	}
	return -1
}

// serve tells which manifold serves each fixture.
func serve(site Site, manifolds []Manifold, from []int) ([]int, error) {
	if from != nil {
		if len(from) != len(site.Fixtures) {
			return nil, fmt.Errorf("manifolds for %d of %d fixtures", len(from), len(site.Fixtures))
		}
		for i, m := range from {
			if m < 0 || m >= len(manifolds) {
				return nil, fmt.Errorf("fixture %q is served by manifold %d of %d", site.Fixtures[i].Name, m, len(manifolds))
			}
		}
		return from, nil
	}
	from = make([]int, len(site.Fixtures))
	for i, f := range site.Fixtures {
		var nearest micron
		for m, manifold := range manifolds {
			by, err := manifold.At.stepTo(f.At)
			if err != nil {
				return nil, fmt.Errorf("manifold %q: %w", manifold.Name, err)
			}
			if d := by.length(); m == 0 || d < nearest {
				nearest, from[i] = d, m
			}
		}
	}
	return from, nil
}

// drawManifold lays the body of manifold m and the runs that leave it, and
// returns its far end.
func (n *Network) drawManifold(manifold Manifold, feed int, site Site, from []int, m int, runs []Run, vias [][]Point) (int, error) {
	if !(manifold.Port >= 0 && manifold.Port <= 1) {
		return 0, fmt.Errorf("manifold %q: %g m between ports; give 0 to 1 m", manifold.Name, manifold.Port)
	}
	spacing := micron(manifold.Port*perMetre + 0.5)
	port := 0
	for i, f := range site.Fixtures {
		if from[i] != m {
			continue
		}
		if port++; port > 1 {
			feed = n.draw(manifold.Body, feed, fmt.Sprintf("port %d of %s", port, manifold.Name), spacing, 0, []step{n.endOf(feed)})
		}
		l, err := route(manifold.At, append(slices.Clone(vias[i]), f.At), len(vias[i]))
		if err != nil {
			return 0, fmt.Errorf("run to %q: %w", f.Name, err)
		}
		n.Taps[i] = n.drawLegs(runs[i], feed, f.Name, l)
	}
	return feed, nil
}
