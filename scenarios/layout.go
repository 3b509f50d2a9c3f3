package scenarios

import (
	"fmt"
	"slices"

	"pipelag/network"
	"pipelag/sim"
)

// layout is a layout with what it takes over filled in.
type layout struct {
	layoutSaid
	at       *node
	skeleton string // trunk-and-branch, short-tree, home-run or listed; a pump may come on top
	pumped   bool
	broken   bool // a mistake is noted that keeps it, and those like it, from being built
}

func (b *builder) buildLayouts() {
	var earlier []layout
	for _, s := range b.said.layouts {
		for _, e := range earlier {
			if n := s.value.name; n.at != nil && e.name.at != nil && e.name.value == n.value {
				b.fault(n.at, fmt.Sprintf("layout %q stands twice, first on line %d", n.value, e.name.at.line), "give each layout a name of its own")
			}
		}
		l := b.resolve(s, earlier)
		earlier = append(earlier, l)
		if !l.broken && !b.misnamed && !b.undrawn {
			b.laying = l.name.value
			b.buildLayout(l)
			b.laying = ""
		}
	}
}

// resolve takes over an earlier layout and settles the arrangement.
func (b *builder) resolve(s said[layoutSaid], earlier []layout) layout {
	l := layout{layoutSaid: s.value, at: s.at, broken: true}
	own := s.value
	if like := own.like; like.at != nil {
		var names []string
		found := false
		for _, e := range earlier {
			names = append(names, e.name.value)
			if e.name.value == like.value {
				found = true
				l.layoutSaid = own.over(e.layoutSaid)
				l.skeleton, l.pumped = e.skeleton, e.pumped
				if e.broken {
					return l
				}
			}
		}
		if !found {
			b.fault(like.at, fmt.Sprintf("unknown layout %q", like.value), suggest(like.value, "earlier layouts", names))
			return l
		}
	}
	switch stated := own.arrangement; {
	case stated.value == pumped:
		l.pumped = true
	case stated.at != nil:
		l.skeleton, l.pumped = stated.value, false
	}
	if l.skeleton == "" {
		l.skeleton = l.guess()
	}
	if l.skeleton == "" {
		if !b.says(s.at, "pipes") && (!b.says(s.at, "arrangement") || own.arrangement.value == pumped) {
			b.fault(s.at, "the layout's arrangement is not clear", "add arrangement: trunk-and-branch, short-tree or home-run, like: an earlier layout, or pipes:")
		}
		return l
	}
	if own.pump.at != nil && l.skeleton == listed {
		l.pumped = true
	}
	if b.drawn != nil && l.skeleton == homeRun && l.manifolds == nil && l.manifold.value.at.at == nil {
		l.manifold.value.at = said[[3]float64]{b.drawn.manifold, b.drawn.at}
		if l.manifold.at == nil {
			l.manifold.at = b.drawn.at
		}
	}
	l.broken = !b.checkKeys(own, l)
	return l
}

// guess tells the arrangement from the keys there are.
func (l layout) guess() string {
	switch {
	case l.pipes != nil:
		return listed
	case l.pumped && l.trunk.at != nil:
		return trunkAndBranch
	case l.pumped && l.supply.at != nil:
		return homeRun
	}
	return ""
}

// checkKeys notes keys that do not go with the arrangement, and keys that it
// lacks.
func (b *builder) checkKeys(own layoutSaid, l layout) bool {
	good := l.name.at != nil
	var pipesAt, manifoldsAt *node
	if len(own.pipes) > 0 {
		pipesAt = own.pipes[0].at
	}
	if len(own.manifolds) > 0 {
		manifoldsAt = own.manifolds[0].at
	}
	tree := l.skeleton == trunkAndBranch || l.skeleton == shortTree
	split := len(l.heaters.value) > 1 // among heaters; home runs then begin right at each
	hung := l.skeleton == homeRun && !split
	for _, k := range []struct {
		key     string
		own     *node
		has     bool
		belongs bool
	}{
		{"heaters", own.heaters.at, true, l.skeleton != listed && !(split && l.pumped)},
		{"trunk", own.trunk.at, l.trunk.at != nil, tree},
		{"branch", own.branch.at, l.branch.at != nil, tree},
		{"longest branch", own.longest.at, true, l.skeleton == trunkAndBranch && l.pumped},
		{"manifold", own.manifold.at, l.manifold.at != nil || l.manifolds != nil, hung},
		{"manifolds", manifoldsAt, true, hung && own.manifold.at == nil},
		{"supply", own.supply.at, l.supply.at != nil || l.manifolds != nil, hung},
		{"runs", own.runs.at, l.runs.at != nil, l.skeleton == homeRun},
		{"pipes", pipesAt, l.pipes != nil, l.skeleton == listed},
		{"return", own.backLine.at, l.backLine.at != nil, l.pumped && (l.skeleton != listed || l.throughCold())},
		{"pump", own.pump.at, l.pump.at != nil, l.pumped},
	} {
		switch {
		case k.own != nil && !k.belongs && k.key == "return" && l.skeleton == listed && own.backLine.value.line.value != coldLine:
			b.fault(k.own, "a return run in a layout that lists its pipes", "list the return line's pipes with return: true")
		case k.own != nil && !k.belongs && (k.key == "return" || k.key == "pump"):
			b.fault(k.own, fmt.Sprintf("%s in a layout that is not pumped", k.key), "write arrangement: pumped, or remove it")
		case k.own != nil && !k.belongs:
			b.fault(k.own, fmt.Sprintf("%s in a layout that is %s", k.key, l.described(split)), "remove it or change the arrangement")
		case k.belongs && !k.has && !b.says(l.at, k.key):
			b.fault(l.at, fmt.Sprintf("a layout that is %s has no %s", l.arrangementText(), k.key), fmt.Sprintf("add %s:", k.key))
		}
		if k.own != nil && !k.belongs || k.belongs && !k.has {
			good = false
		}
	}
	if l.throughCold() && l.longest.at != nil {
		b.fault(l.longest.at, "a longest branch of a loop that returns through the cold line", "remove it, or give the return a line of its own")
		good = false
	}
	if split && l.pumped && own.heaters.at == nil {
		b.fault(l.at, "a pump in a layout whose like has several heaters", "give heaters: one place, or let it be like another")
		good = false
	}
	if via := l.trunk.value.via; via.at != nil && tree && (l.skeleton == shortTree || l.longest.at != nil || split) {
		b.fault(via.at, "way-points of a trunk whose way is to be found", "remove them, or write arrangement: trunk-and-branch with one heater and no longest branch")
		good = false
	}
	return good
}

// described is the arrangement with what may keep a key from it.
func (l layout) described(split bool) string {
	text := l.skeleton
	if l.pumped {
		text = l.arrangementText()
	}
	switch {
	case split:
		text += " with several heaters"
	case l.manifold.at != nil && l.manifolds != nil:
		text += " with one manifold"
	}
	return text
}

func (l layout) arrangementText() string {
	if l.pumped {
		return pumped + " (" + l.skeleton + ")"
	}
	return l.skeleton
}

// buildLayout makes the network and the pump.
func (b *builder) buildLayout(l layout) {
	var n *network.Network
	var plan *Plan
	before := b.faults
	if l.skeleton == listed {
		n = b.buildListed(l)
	} else if plan = b.buildPlan(l); plan != nil {
		n = b.lay(l, plan.lay)
	}
	made := sim.Layout{Network: n}
	if l.pumped {
		made.Pump = b.buildPump(l, n)
	}
	if n != nil && b.faults == before {
		b.made.house.Layouts = append(b.made.house.Layouts, made)
		b.made.plans = append(b.made.plans, plan)
	}
}

// lay notes why a layout cannot be laid, or what is doubtful about it.
func (b *builder) lay(l layout, lay func() (*network.Network, []string, error)) *network.Network {
	n, doubts, err := lay()
	if err != nil {
		b.advise(l.name.at, err, "move what stands there, or list the pipes")
		return nil
	}
	for _, text := range doubts {
		b.made.warnings = append(b.made.warnings, sim.Caution{Layout: l.name.value, Text: text})
	}
	return n
}

// buildListed joins pipes listed one by one; nil after a mistake.
func (b *builder) buildListed(l layout) *network.Network {
	before := b.faults
	var fixtures []string
	for _, f := range b.said.fixtures {
		fixtures = append(fixtures, f.name)
	}
	returns, whole := false, true
	var segments []network.Segment
	for _, p := range l.pipes {
		returns = returns || p.value.back.value
		segments = append(segments, network.Segment{
			From: p.value.from.value, To: p.value.to.value,
			Length: p.value.length.value, Rise: p.value.rise.value,
			Run:    b.run(said[runSaid]{p.value.run, p.at}, "the pipe"),
			Elbows: p.value.elbows.value,
			Return: p.value.back.value,
		})
		whole = whole && p.value.from.at != nil && p.value.to.at != nil && p.value.length.at != nil
	}
	switch {
	case l.throughCold() && returns:
		b.fault(l.backLine.at, "a return through the cold line beside a return line of its own", "remove one of them: line: cold, or the pipes with return: true")
	case l.pumped && !returns && !l.throughCold():
		b.fault(l.name.at, fmt.Sprintf("layout %q has a pump and no return line", l.name.value), "mark the pipes that lead back to the heater with return: true")
	case !l.pumped && returns:
		b.fault(l.name.at, fmt.Sprintf("layout %q has a return line and no pump", l.name.value), "add pump:")
	}
	cross := b.buildCrossover(l)
	if b.faults > before || !whole || len(fixtures) == 0 {
		return nil
	}
	n, mistakes := network.Listed(l.name.value, fixtures, segments)
	for _, m := range mistakes {
		at := l.name.at
		if m.Segment >= 0 {
			at = l.pipes[m.Segment].at
		}
		b.fault(at, fmt.Sprintf("layout %q: %s", l.name.value, m.What), m.Right)
	}
	if n == nil {
		return nil
	}
	if places := b.nodes(l); places != nil {
		shown, err := n.At(point(b.said.heater.value.at.value), places)
		if err != nil {
			b.advise(l.name.at, err, "give every pipe at: where it ends, or none")
			return nil
		}
		n = shown
	}
	return b.lay(l, func() (*network.Network, []string, error) { return finish(n, b.design(), cross) })
}

// nodes are the places of the nodes of a layout that lists its pipes, where it
// says any; nil where it says none, or where the heater has no place.
func (b *builder) nodes(l layout) map[string]network.Point {
	if b.said.heater.value.at.at == nil || !slices.ContainsFunc(l.pipes, func(p said[pipeSaid]) bool { return p.value.at.at != nil }) {
		return nil
	}
	places := make(map[string]network.Point)
	for _, f := range b.said.fixtures {
		if f.value.at.at != nil {
			places[f.name] = point(f.value.at.value)
		}
	}
	for _, p := range l.pipes {
		if p.value.at.at != nil {
			places[p.value.to.value] = point(p.value.at.value)
		}
	}
	return places
}
