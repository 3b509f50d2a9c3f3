package network

import (
	"fmt"
	"slices"
)

// WithCrossover joins the hot pipe of a fixture to its cold one in a copy of a
// layout, so that a loop returns through the cold line.
//
// The cold line runs beside the hot pipes of that fixture's way, one for one,
// and each is what cold makes of the hot pipe it follows. The mains join it at
// the heater. A fixture takes its cold water where its own hot way leaves the
// loop; the cold branch from there to it is taken to hold nothing.
func (n *Network) WithCrossover(name string, fixture int, cold func(hot Pipe) Run) (*Network, error) {
	if len(n.Return) > 0 {
		return nil, fmt.Errorf("layout %q: %q has a return line already", name, n.Name)
	}
	loop := *n
	loop.Name, loop.LoopEnd, loop.Crossover = name, n.Taps[fixture], true
	loop.Pipes, loop.routes = slices.Clone(n.Pipes), slices.Clone(n.routes)
	if n.Arrangement != "listed" {
		loop.Arrangement = "pumped"
	}
	way := n.Path(fixture)
	slices.Reverse(way)
	feed := loop.LoopEnd
	for _, i := range way {
		hot := n.Pipes[i]
		to := "cold " + hot.From
		if hot.Feed < 0 {
			to = heater
		}
		loop.Pipes = append(loop.Pipes, cold(hot).pipe(loop.end(feed), to, feed, hot.Length, -hot.Rise))
		if n.routes != nil {
			back := slices.Clone(n.routes[i])
			slices.Reverse(back)
			loop.routes = append(loop.routes, back)
		}
		feed = len(loop.Pipes) - 1
		loop.Return = append(loop.Return, feed)
	}
	if err := loop.Validate(); err != nil {
		return nil, err
	}
	return &loop, nil
}

// ColdTap is where a fixture takes its cold water from the cold line of a layout
// with a crossover: behind how many of the return's pipes, counted from the
// crossover. It is 0 at the crossover and len(Return) right at the heater.
func (n *Network) ColdTap(fixture int) int {
	loop, way := n.pathTo(n.LoopEnd), n.Path(fixture)
	shared := 0
	for shared < min(len(loop), len(way)) && loop[shared] == way[shared] {
		shared++
	}
	return len(loop) - shared
}
