package network

import (
	"fmt"
	"slices"
)

// Part is the piping of one heater among several, laid out from places.
type Part struct {
	Network  *Network
	Heater   Point
	Fixtures []int // which of the house's fixtures its taps are, in their order
}

// Join makes one layout of the piping of several heaters, or of one that does
// not stand where the house's heater stands. Every part's pipes begin at the
// node heater; Climb tells the heights of their heaters apart. Nodes of the
// second part on are named after their heater.
func Join(name string, heaterAt Point, fixtures int, parts ...Part) (*Network, error) {
	n := &Network{Name: name, Taps: slices.Repeat([]int{-1}, fixtures), LoopEnd: -1, origin: heaterAt}
	for h, part := range parts {
		by, err := heaterAt.stepTo(part.Heater)
		if err != nil {
			return nil, fmt.Errorf("layout %q, heater %d: %w", name, h+1, err)
		}
		n.Arrangement = part.Network.Arrangement
		first := len(n.Pipes)
		called := func(i int) string {
			node := part.Network.end(i)
			if h == 0 || node == heater || slices.Contains(part.Network.Taps, i) {
				return node
			}
			return fmt.Sprintf("%s, heater %d", node, h+1)
		}
		for i, p := range part.Network.Pipes {
			p.From, p.To, p.Heater = called(p.Feed), called(i), h
			if p.Feed >= 0 {
				p.Feed += first
			}
			n.Pipes = append(n.Pipes, p)
			var route []step
			for _, at := range part.Network.routes[i] {
				route = append(route, at.add(by))
			}
			n.routes = append(n.routes, route)
		}
		for k, f := range part.Fixtures {
			n.Taps[f] = first + part.Network.Taps[k]
		}
		if len(parts) == 1 {
			n.Return, n.LoopEnd = part.Network.Return, part.Network.LoopEnd
		}
	}
	if err := n.Validate(); err != nil {
		return nil, err
	}
	return n, nil
}
