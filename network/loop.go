package network

import (
	"fmt"
	"math"
	"slices"
)

// WithReturn adds a return line to a copy of a layout generated from a site:
// from the far end of the trunk, or from the manifold, along the supply back to
// the heater.
//
// It goes to the heater's level first and then along it, at right angles, so
// it is as long as the trunk it follows. Of a trunk with two arms the loop
// takes in the one that reaches farther; the other stays a dead leg.
func (n *Network) WithReturn(name string, site Site, ret Run) (*Network, error) {
	if len(n.Return) > 0 {
		return nil, fmt.Errorf("layout %q: %q has a return line already", name, n.Name)
	}
	if n.LoopEnd < 0 {
		return nil, fmt.Errorf("layout %q: %q has no trunk or supply that a return line could follow; list the return line's pipes, or move the fixtures or the manifold from the heater", name, n.Name)
	}
	back, err := n.origin.add(n.endOf(n.LoopEnd)).stepTo(site.Heater)
	if err != nil {
		return nil, fmt.Errorf("layout %q: %w", name, err)
	}
	out := n.sum(n.pathTo(n.LoopEnd), Pipe.length)
	if length := (back.plan() + back.z.abs()).metres(); math.Abs(length-out) > 1e-3 {
		return nil, fmt.Errorf("layout %q: the site is not the one %q was generated from", name, n.Name)
	}

	loop := *n
	loop.Name, loop.Arrangement = name, "pumped"
	loop.Pipes, loop.Taps, loop.routes = slices.Clone(n.Pipes), slices.Clone(n.Taps), slices.Clone(n.routes)
	turn := heater
	if back.plan() > 0 {
		turn = "turn of return"
	}
	home, start := n.backAlong(n.LoopEnd), n.endOf(n.LoopEnd)
	feed := loop.draw(ret, n.LoopEnd, turn, back.z.abs(), back.z, []step{start, home[0]})
	loop.draw(ret, feed, heater, back.plan(), 0, home)
	for i := len(n.Pipes); i < len(loop.Pipes); i++ {
		loop.Return = append(loop.Return, i)
	}
	if err := loop.Validate(); err != nil {
		return nil, err
	}
	return &loop, nil
}
