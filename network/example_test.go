package network_test

import (
	"fmt"

	"pipelag/network"
	"pipelag/network/tubes"
)

func run(kind, size string) network.Run {
	tube, err := tubes.Find(kind, size)
	if err != nil {
		panic(err)
	}
	return network.Run{Tube: tube, Zone: "crawlspace"}
}

// Two fixtures, once on a trunk and once on a manifold.
func Example() {
	site := network.Site{Fixtures: []network.Stand{
		{Name: "kitchen sink", At: network.Point{X: 12, Y: 2, Z: 1}},
		{Name: "hall shower", At: network.Point{X: 8, Y: -3, Z: 2}},
	}}
	wide, narrow := run("copper L", "3/4"), run("PEX", "3/8")
	runs := []network.Run{narrow, narrow}

	trunk, err := network.TrunkAndBranch("trunk and branch", site, wide, runs)
	if err != nil {
		fmt.Println(err)
		return
	}
	home, err := network.HomeRuns("home run", site, []network.Manifold{{Name: "manifold", At: network.Point{X: 1}, Supply: wide}}, nil, runs, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range []*network.Network{trunk, home} {
		fmt.Printf("%s: %.1f m in all\n", n.Name, n.Length())
		for i, f := range site.Fixtures {
			fmt.Printf("  %s: %.1f m, %.2f L\n", f.Name, n.PathLength(i), 1000*n.PathVolume(i))
		}
	}
	// Output:
	// trunk and branch: 20.0 m in all
	//   kitchen sink: 15.0 m, 3.93 L
	//   hall shower: 13.0 m, 2.81 L
	// home run: 27.0 m in all
	//   kitchen sink: 15.0 m, 1.18 L
	//   hall shower: 13.0 m, 1.06 L
}

// A list of pipes says all that is wrong with it at once.
func ExampleListed() {
	run := run("copper L", "3/4")
	_, mistakes := network.Listed("as found", []string{"kitchen sink", "hall shower"}, []network.Segment{
		{From: "heater", To: "tee a", Length: 4, Run: run},
		{From: "tee b", To: "kitchen sink", Length: 18, Run: run},
		{From: "tee a", To: "hal shower", Length: -6, Run: run},
	})
	for _, m := range mistakes {
		fmt.Printf("pipe %d, fixture %d: %s; %s\n", m.Segment, m.Fixture, m.What, m.Right)
	}
	// Output:
	// pipe -1, fixture 1: no pipe of the supply ends at fixture "hall shower"; let a pipe end at "hall shower"; neither fixture nor pipe is at "hal shower"
	// pipe 1, fixture -1: no pipe ends at "tee b", where this one begins; let it begin at the heater or where another pipe ends
	// pipe 2, fixture -1: a length of -6 m; give a length above 0 and up to 1000 m
}

// The same two fixtures on a tree that shares, on a trunk that must go round by
// a wall, and on a loop with branches of 1 m at most.
func ExampleShortTree() {
	site := network.Site{Fixtures: []network.Stand{
		{Name: "kitchen sink", At: network.Point{X: 12, Y: 2, Z: 1}},
		{Name: "hall shower", At: network.Point{X: 8, Y: -3, Z: 2}},
	}}
	wide, narrow := run("copper L", "3/4"), run("PEX", "3/8")
	runs := []network.Run{narrow, narrow}
	tree, err := network.ShortTree("short tree", site, wide, runs)
	if err != nil {
		fmt.Println(err)
		return
	}
	round, err := network.TrunkByWay("by the wall", site, wide, []network.Point{{Y: -3}, {X: 12, Y: -3}, {X: 12, Y: 2}}, runs)
	if err != nil {
		fmt.Println(err)
		return
	}
	loop, err := network.LoopWithin("loop", site, wide, narrow, runs, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range []*network.Network{tree, round, loop} {
		fmt.Printf("%s: %.1f m in all, %.1f m and %.1f m to the taps\n", n.Name, n.Length(), n.PathLength(0), n.PathLength(1))
	}
	// Output:
	// short tree: 20.0 m in all, 15.0 m and 13.0 m to the taps
	// by the wall: 23.0 m in all, 21.0 m and 13.0 m to the taps
	// loop: 37.0 m in all, 21.0 m and 13.0 m to the taps
}

// Two manifolds, the second fed past the first one's ports.
func ExampleHomeRuns() {
	site := network.Site{Fixtures: []network.Stand{
		{Name: "kitchen sink", At: network.Point{X: 12, Y: 2, Z: 1}},
		{Name: "dishwasher", At: network.Point{X: 12, Y: 3, Z: 1}},
		{Name: "hall shower", At: network.Point{X: 2, Y: -3, Z: 2}},
	}}
	wide, narrow := run("copper L", "3/4"), run("PEX", "3/8")
	n, err := network.HomeRuns("two manifolds", site, []network.Manifold{
		{Name: "manifold", At: network.Point{X: 1, Z: 1}, Supply: wide, Body: wide, Port: 0.05},
		{Name: "kitchen manifold", At: network.Point{X: 11, Y: 2, Z: 1}, Feed: "manifold", Supply: wide, Body: wide, Port: 0.05},
	}, nil, []network.Run{narrow, narrow, narrow}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, f := range site.Fixtures {
		fmt.Printf("%s: %.2f m, %.2f L\n", f.Name, n.PathLength(i), 1000*n.PathVolume(i))
	}
	// Output:
	// kitchen sink: 15.00 m, 4.43 L
	// dishwasher: 16.05 m, 4.51 L
	// hall shower: 7.00 m, 0.93 L
}
