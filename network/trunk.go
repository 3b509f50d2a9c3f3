package network

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// shared is how near two take-offs stand to share one tee: common practice, no
// source.
const shared = 0.3 * perMetre

// trunk is a plan of a trunk: a stem from the heater straight across to the
// spine, and the spine's two arms from there.
//
//	            arm           arm
//	 tee ---- tee ---- corner ---- tee
//	  |        |          | stem    |
//	branch                heater
type trunk struct {
	alongY bool     // the spine runs along y
	offset micron   // from the heater across to the spine
	stem   []tee    // from the heater outwards; the first is the heater itself
	arms   [2][]tee // from the corner outwards, the farther reaching arm first
	behind bool     // the first arm runs against the axis
	total  micron   // developed length of trunk and branches
}

// tee is a place where branches leave the trunk.
type tee struct {
	at       micron // from where its stem or arm begins
	branches []branch
}

// branch goes from a tee to a fixture.
type branch struct {
	fixture int
	at      micron // where its take-off would be with a tee to itself
	plan    micron // level length from the tee
	rise    micron
}

// TrunkAndBranch lays a trunk at the heater's level with a branch to every
// fixture, branches[i] to site.Fixtures[i].
//
// The trunk goes straight across from the heater to a spine along x or y, and
// along it as far as the last take-off on either side. Each fixture's branch
// leaves the nearest point of the trunk at a right angle, and turns up or down
// at the fixture; take-offs within 0.3 m use the tee of the one nearest the
// heater. Every spine through the heater or a fixture is tried, and the one
// with the least developed length of trunk and branches together is built; a
// tie goes to the spine nearer the heater, then to the one with the longer
// trunk, then to x and the positive side. A tree of several trunks may be
// shorter; it is not looked for.
func TrunkAndBranch(name string, site Site, trunk Run, branches []Run) (*Network, error) {
	steps, err := site.steps(site.Heater, len(branches))
	if err != nil {
		return nil, fmt.Errorf("layout %q: %w", name, err)
	}
	n := &Network{Name: name, Arrangement: "trunk-and-branch", Taps: make([]int, len(steps)), origin: site.Heater}
	n.drawTrunk(site, steps, bestTrunk(steps), trunk, branches)
	n.countTees()
	if err := n.Validate(); err != nil {
		return nil, err
	}
	return n, nil
}

// bestTrunk tries every spine through the heater or a fixture. But for what
// shared tees and the stem save, the length changes linearly with the offset
// from one of them to the next, so no spine in between is shorter.
func bestTrunk(steps []step) trunk {
	kept, spare := new(sheet), new(sheet)
	best := kept.planTrunk(steps, false, 0)
	for _, alongY := range []bool{false, true} {
		offsets := []micron{0}
		for _, s := range steps {
			offsets = append(offsets, s.turned(alongY).y)
		}
		for _, offset := range offsets {
			if t := spare.planTrunk(steps, alongY, offset); t.before(best) {
				best = t
				kept, spare = spare, kept
			}
		}
	}
	return best
}

// before orders trunks from the best down.
func (t trunk) before(u trunk) bool {
	along := 0
	if t.alongY != u.alongY {
		along = 1
		if u.alongY {
			along = -1
		}
	}
	return cmp.Or(
		cmp.Compare(t.total, u.total),
		cmp.Compare(t.offset.abs(), u.offset.abs()),
		cmp.Compare(u.length(), t.length()),
		along,
		cmp.Compare(u.offset, t.offset),
	) < 0
}

// turned swaps x and y, so that a spine along y can be planned as one along x.
func (s step) turned(turn bool) step {
	if turn {
		s.x, s.y = s.y, s.x
	}
	return s
}

// sheet is what a trunk is planned on: its stem and the arms along the axis and
// against it. The next plan overwrites it.
type sheet struct {
	branches [3][]branch
	tees     [3][]tee
}

func (p *sheet) planTrunk(steps []step, alongY bool, offset micron) trunk {
	t := trunk{alongY: alongY, offset: offset}
	across := offset.abs()
	onStem := p.branches[0][:0]
	onArm := [2][]branch{p.branches[1][:0], p.branches[2][:0]} // along the axis, and against it
	for i, s := range steps {
		s = s.turned(alongY)
		side := s.y
		if offset < 0 {
			side = -side
		}
		nearest := min(max(side, 0), across)
		toStem, toSpine := s.x.abs()+(side-nearest).abs(), (s.y - offset).abs()
		b := branch{fixture: i, rise: s.z}
		switch {
		case toStem < toSpine:
			b.at, b.plan = nearest, toStem
			onStem = append(onStem, b)
		case s.x.abs() <= shared:
			b.at, b.plan = across, toSpine+s.x.abs()
			onStem = append(onStem, b)
		case s.x > 0:
			b.at, b.plan = s.x, toSpine
			onArm[0] = append(onArm[0], b)
		default:
			b.at, b.plan = -s.x, toSpine
			onArm[1] = append(onArm[1], b)
		}
	}
	t.stem = shareTees(append(p.tees[0][:0], tee{}), onStem)
	t.arms = [2][]tee{shareTees(p.tees[1][:0], onArm[0]), shareTees(p.tees[2][:0], onArm[1])}
	p.branches = [3][]branch{onStem, onArm[0], onArm[1]}
	p.tees = [3][]tee{t.stem, t.arms[0], t.arms[1]}
	if reach(t.arms[1]) > reach(t.arms[0]) {
		t.arms[0], t.arms[1] = t.arms[1], t.arms[0]
		t.behind = true
	}
	if len(t.arms[1]) > 0 && reach(t.stem) < across {
		t.stem = append(t.stem, tee{at: across}) // where the arms part
	}
	t.total = t.length()
	for _, leg := range [][]tee{t.stem, t.arms[0], t.arms[1]} {
		for _, e := range leg {
			for _, b := range e.branches {
				t.total += b.plan + b.rise.abs()
			}
		}
	}
	return t
}

// shareTees sets tees along a stem or arm, after those it has, from its
// beginning outwards.
func shareTees(tees []tee, branches []branch) []tee {
	slices.SortStableFunc(branches, func(a, b branch) int { return cmp.Compare(a.at, b.at) })
	first := 0 // of the last tee's branches, which stand together
	for i := range branches {
		b := &branches[i]
		if len(tees) == 0 || b.at-reach(tees) > shared {
			tees = append(tees, tee{at: b.at})
			first = i
		}
		last := &tees[len(tees)-1]
		b.plan += b.at - last.at
		last.branches = branches[first : i+1]
	}
	return tees
}

// reach is how far the last tee is from where its stem or arm begins.
func reach(tees []tee) micron {
	if len(tees) == 0 {
		return 0
	}
	return tees[len(tees)-1].at
}

// length is the trunk's developed length.
func (t trunk) length() micron {
	stem := reach(t.stem)
	if len(t.arms[0]) > 0 {
		stem = t.offset.abs()
	}
	return stem + reach(t.arms[0]) + reach(t.arms[1])
}

// drawTrunk builds a planned trunk with its branches. Where it has one arm only
// and no branch at the corner, the corner is an elbow and no node.
func (n *Network) drawTrunk(site Site, steps []step, t trunk, run Run, branches []Run) {
	tees := 0
	leg := func(feed int, begin micron, leg []tee, place func(micron) step, goesOn bool) int {
		for k, e := range leg {
			if e.at != begin { // the stem's first is the heater itself
				way := []step{n.endOf(feed), place(e.at)}
				if begin < 0 { // round the corner
					way = []step{way[0], place(0), way[1]}
				}
				feed = n.draw(run, feed, e.name(site, &tees), e.at-begin, 0, way)
				begin = e.at
			}
			for _, b := range e.branches {
				first := len(n.Pipes)
				// Along the trunk to where it would leave by itself, and across.
				level := legs(nil).goTo(place(b.at).less(place(e.at))).goTo(steps[b.fixture].level().less(place(b.at)))
				n.Taps[b.fixture] = n.drawLevelThenUp(branches[b.fixture], feed, site.Fixtures[b.fixture].Name, level, b.rise)
				if k == len(leg)-1 && !goesOn && len(e.branches) == 1 && feed >= 0 && first < len(n.Pipes) {
					n.Pipes[first].Fittings.Elbows++ // the trunk ends and no tee is needed
				}
			}
		}
		return feed
	}
	onStem := func(at micron) step { return t.place(0, at) }
	onFirst := func(at micron) step { return t.place(at, t.offset.abs()) }
	onSecond := func(at micron) step { return t.place(-at, t.offset.abs()) }
	corner := leg(-1, 0, t.stem, onStem, len(t.arms[0]) > 0)
	arm := len(n.Pipes)
	// What is left of the stem after its last tee belongs to the first arm's first pipe.
	n.LoopEnd = leg(corner, reach(t.stem)-t.offset.abs(), t.arms[0], onFirst, false)
	if arm < len(n.Pipes) && t.offset != 0 {
		n.Pipes[arm].Fittings.Elbows++ // from the stem into the spine
	}
	leg(corner, 0, t.arms[1], onSecond, false)
}

// place is so far along the first arm's direction and the stem's.
func (t trunk) place(arm, stem micron) step {
	if t.behind {
		arm = -arm
	}
	if t.offset < 0 {
		stem = -stem
	}
	return step{x: arm, y: stem}.turned(t.alongY)
}

// name is that of the fixtures that stand right at a tee, or else a number.
func (e tee) name(site Site, count *int) string {
	var here []string
	for _, b := range e.branches {
		if b.plan == 0 && b.rise == 0 {
			here = append(here, site.Fixtures[b.fixture].Name)
		}
	}
	if len(here) > 0 {
		return strings.Join(here, " and ")
	}
	*count++
	return fmt.Sprintf("tee %d", *count)
}
