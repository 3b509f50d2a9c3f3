package pipework

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"pipelag/internal/check"
	"pipelag/network"
)

// tree is a trunk of two pipes with a tap behind each, and one between them.
func tree(t failer) *network.Network {
	t.Helper()
	trunk, branch := mustTube(t, "copper L", "3/4"), mustTube(t, "PEX", "1/2")
	return &network.Network{Pipes: []network.Pipe{
		{Feed: -1, Length: 7, Tube: trunk, Zone: "room"},
		{Feed: 0, Length: 4, Tube: branch, Zone: "room"},
		{Feed: 0, Length: 5, Tube: trunk, Zone: "room"},
		{Feed: 2, Length: 3, Tube: branch, Zone: "room"},
		{Feed: 2, Length: 6, Tube: branch, Zone: "room"},
	}, Taps: []int{1, 3, 4}}
}

// open makes the pipes of a network carry flows to its taps.
func (w *System) open(n *network.Network, flows ...float64) {
	clear(w.Wanted)
	for tap, flow := range flows {
		for _, i := range n.Path(tap) {
			w.Wanted[i] += flow
		}
	}
	w.Route()
}

// Every pipe carries what is wanted of it, as one stream with those before it where that
// is the same.
func TestStreams(t *testing.T) {
	n := tree(t)
	w := NewSystem(mustPlan(t, n, 20, Model{}), 55, 15)
	for _, c := range []struct {
		flows   []float64
		streams []int // by pipe
	}{
		{[]float64{0, 0, 1e-4}, []int{0, -1, 0, -1, 0}},
		{[]float64{0, 2e-5, 1e-4}, []int{0, -1, 0, 1, 2}},
		{[]float64{3e-5, 2e-5, 1e-4}, []int{0, 1, 2, 3, 4}},
		{[]float64{3e-5, 0, 0}, []int{0, 0, -1, -1, -1}},
		{[]float64{0, 0, 0}, []int{-1, -1, -1, -1, -1}},
	} {
		w.open(n, c.flows...)
		if !slices.Equal(w.of, c.streams) {
			t.Errorf("flows of %v go in streams %v; %v expected", c.flows, w.of, c.streams)
		}
		for i, k := range w.of {
			if k >= 0 {
				check.Within(t, w.Wanted[i], w.streams[k].flow, 0, "flow")
			}
		}
		w.runTo(w.Now + 100)
	}
}

// Taps that open and shut anyhow leave all water and walls between the temperature of
// the room and that of the heater, and every joule is in the pipes, has left by a tap or is
// lost to the room. A rest of an instant beside hot water may leave a wall some 1e-5 K beyond:
// the slowest of its modes follows the cooling curve, and the others do not.
func TestNothingOvershoots(t *testing.T) {
	n := tree(t)
	rapid.Check(t, func(t *rapid.T) {
		const room = 12.0
		w := NewSystem(mustPlan(t, n, room, Model{Grid: Grid(rapid.Float64Range(0.1, 3).Draw(t, "grid"))}), 60, 15)
		before, in, scale := w.Stored(), 0.0, 0.0
		flows := make([]float64, len(n.Taps))
		for range rapid.IntRange(1, 12).Draw(t, "changes") {
			for tap := range flows {
				flows[tap] = 0
				if rapid.Bool().Draw(t, "opens") {
					flows[tap] = rapid.Float64Range(5e-6, 3e-4).Draw(t, "flow")
				}
			}
			w.open(n, flows...)
			end := w.Now + rapid.Float64Range(0, 400).Draw(t, "until")
			for w.Now < end {
				_, due := w.Next()
				dt := min(due, end) - w.Now
				for tap, flow := range flows {
					gives := w.volume * flow * dt
					in += gives * (w.given[0] - w.Outlet(n.Taps[tap]))
					scale += gives * w.given[0]
				}
				w.runTo(w.Now + dt)
			}
		}
		w.open(n)
		for _, lost := range w.Losses() {
			in -= lost
		}
		check.Within(t, before+in, w.Stored(), 1e-9*(before+scale), "heat in the pipes")
		for i := range w.pipes {
			for j := range w.pipes[i].nodes {
				for _, v := range w.pipes[i].temp[j] {
					if !(v >= room-1e-3 && v <= math.Max(room, w.given[0])+1e-3) {
						t.Fatalf("pipe %d, node %d holds %g °C, outside %g to %g", i, j, v, room, w.given[0])
					}
				}
			}
		}
	})
}

// What recurs through a year takes no memory once there is room for it.
func TestAllocatesNothing(t *testing.T) {
	n := tree(t)
	w := NewSystem(mustPlan(t, n, 20, Model{}), 55, 15)
	var paths [][]int
	for tap := range n.Taps {
		paths = append(paths, n.Path(tap))
	}
	round := func() {
		for tap, path := range paths {
			for _, i := range path {
				w.Wanted[i] = 1e-4
			}
			w.Route()
			w.runTo(w.Now + 60)
			w.Give(0, 55+float64(tap))
			w.Weather()
			clear(w.Wanted)
			w.Route()
			w.Now += 900
			last := n.Taps[tap]
			w.Water(last)
			w.Tip(last, w.Now+60)
			w.Standing(last)
		}
		w.Losses()
	}
	if got := testing.AllocsPerRun(10, round); got > 0 {
		t.Errorf("a round of draws allocates %g times", got)
	}
}
