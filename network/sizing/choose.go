package sizing

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/hydraulics"
	"pipelag/network/limits"
	"pipelag/network/tubes"
)

// Design is what sizes are chosen for.
type Design struct {
	Code     Code
	Fixtures []Fixture // in the order of the layout's taps
	Cold     float64   // fixture units of what draws cold water alone
	Service  hydraulics.Service
	Hot      float64     // temperature of the hot water [°C]
	Limits   limits.Book // its velocities, smallest sizes and flows of pressures bind; the rest does not bear on size
}

// Sized is a layout with sizes chosen, and what no choice could mend.
type Sized struct {
	Network *network.Network
	Short   []int // fixtures behind free pipes that lack pressure at the largest sizes there are
	Fast    []int // free pipes above a velocity limit at the largest size there is
}

// Choose gives each pipe marked free a size of its own kind of tube and keeps
// the others. The pipes of a return line are kept. Free pipes of one kind that
// follow one another without a tee or tap between, such as a run and its riser,
// get one size.
//
// Each free pipe begins at the smallest size that is not below the usual minimum,
// that a limit allows to the fixtures behind it, that keeps within every velocity
// limit, and that is no narrower than a free pipe it feeds. Then, while a fixture
// lacks pressure at the code's demand, the free pipe on the way to the fixture that
// lacks most is made one size larger whose step saves the most pressure for the water
// it adds. That is a greedy choice: small, not proved smallest.
func Choose(n *network.Network, free []bool, d Design) (*Sized, error) {
	if len(free) != len(n.Pipes) {
		return nil, fmt.Errorf("layout %q: %d marks for %d pipes", n.Name, len(free), len(n.Pipes))
	}
	load, err := NewLoad(n, d.Code, d.Fixtures, d.Cold)
	if err != nil {
		return nil, err
	}
	water, err := heat.WaterAt(d.Hot)
	if err != nil {
		return nil, err
	}
	c := &chooser{Design: d, load: load, water: water, network: *n, free: slices.Clone(free)}
	c.network.Pipes = slices.Clone(n.Pipes)
	for _, i := range n.Return {
		c.free[i] = false
	}
	c.join()
	if err := c.begin(); err != nil {
		return nil, err
	}
	for {
		pressure, err := c.pressures()
		if err != nil {
			return nil, err
		}
		if !c.enlarge(pressure) {
			return c.result(pressure), nil
		}
	}
}

// chooser is a choice under way.
type chooser struct {
	Design
	load    Load
	water   heat.Water
	network network.Network
	free    []bool
	ladders [][]tubes.Tube // by pipe, its kind from narrow to wide; nil where fixed
	rung    []int
	first   []int // by pipe, the first of those that it gets one size with
}

// join finds which pipes get one size.
func (c *chooser) join() {
	pipes := c.network.Pipes
	leaving := make([]int, len(pipes))
	for _, p := range pipes {
		if p.Feed >= 0 {
			leaving[p.Feed]++
		}
	}
	for _, i := range c.network.Taps {
		leaving[i]++
	}
	c.first = make([]int, len(pipes))
	for i, p := range pipes {
		c.first[i] = i
		if p.Feed >= 0 && leaving[p.Feed] == 1 && c.free[i] && c.free[p.Feed] && p.Tube.Kind == pipes[p.Feed].Tube.Kind {
			c.first[i] = c.first[p.Feed]
		}
	}
}

func (c *chooser) begin() error {
	pipes := c.network.Pipes
	c.ladders, c.rung = make([][]tubes.Tube, len(pipes)), make([]int, len(pipes))
	widest := make([]float64, len(pipes)) // bore of the free pipes a pipe feeds
	var wrong []error
	for i := len(pipes) - 1; i >= 0; i-- {
		if !c.free[i] {
			continue
		}
		ladder := ladderOf(pipes[i].Tube.Kind)
		if len(ladder) == 0 {
			wrong = append(wrong, fmt.Errorf("pipe from %q to %q: no table of sizes of %q to choose from; give its size", pipes[i].From, pipes[i].To, pipes[i].Tube.Kind))
			continue
		}
		least := c.smallest(i)
		k := 0
		for k < len(ladder)-1 && (ladder[k].Inside < widest[i] || below(ladder[k], least) || limits.Undersized(ladder[k]) || c.fast(i, ladder[k])) {
			k++
		}
		c.ladders[i] = ladder
		c.set(i, k)
		if feed := pipes[i].Feed; feed >= 0 {
			widest[feed] = max(widest[feed], ladder[k].Inside)
		}
	}
	return errors.Join(wrong...)
}

func (c *chooser) set(pipe, rung int) {
	c.rung[pipe] = rung
	c.network.Pipes[pipe].Tube = c.ladders[pipe][rung]
}

// widen makes a pipe, and those that get one size with it, a size larger.
func (c *chooser) widen(pipe int) {
	rung := c.rung[pipe] + 1
	for i, first := range c.first {
		if first == c.first[pipe] {
			c.set(i, rung)
		}
	}
}

// smallest is the nominal size that the limits ask for to what a pipe serves [m].
func (c *chooser) smallest(pipe int) float64 {
	least := 0.0
	for f, fixture := range c.Fixtures {
		if !slices.Contains(c.network.Path(f), pipe) {
			continue
		}
		for _, l := range c.Limits.Of(limits.SmallestSize, fixture.Use) {
			if l.Binds() {
				least = max(least, l.Value)
			}
		}
	}
	return least
}

// below tells whether a tube is of a smaller nominal size; a metric one is not,
// since the codes' tables do not list it.
func below(t tubes.Tube, size float64) bool {
	nominal, known := limits.Nominal(t.Size)
	return known && nominal < size*(1-1e-9)
}

// fast tells whether a tube in a pipe's place would break a velocity limit.
func (c *chooser) fast(pipe int, t tubes.Tube) bool {
	for _, l := range c.Limits.Velocities(t, c.Hot) {
		if l.Binds() && c.load.Pipes[pipe]/t.Volume() > l.Value*(1+1e-9) {
			return true
		}
	}
	return false
}

// pressures are those at the fixtures with the sizes as they are, at the flow that a limit
// asks where that leaves less.
func (c *chooser) pressures() ([]float64, error) {
	taps := make([]hydraulics.Tap, len(c.Fixtures))
	for f, fixture := range c.Fixtures {
		taps[f] = hydraulics.Tap{Rated: fixture.Rated, Needs: fixture.Needs}
	}
	circuit, err := hydraulics.NewCircuit(&c.network, c.Service, taps, c.Hot)
	if err != nil {
		return nil, err
	}
	pressures := circuit.Pressures(c.load.Hot, c.load.Cold(), c.load.Pipes)
	for f, fixture := range c.Fixtures {
		for _, l := range c.Limits.Of(limits.Pressure, fixture.Use) {
			if l.Binds() && l.Flow > 0 {
				load := c.load.Along(c.network.Path(f), l.Flow)
				pressures[f] = min(pressures[f], circuit.Pressures(load.Hot, load.Cold(), load.Pipes)[f])
			}
		}
	}
	return pressures, nil
}

// enlarge makes a pipe a size larger for the fixture that lacks most pressure
// and can be helped, and tells whether there was one.
func (c *chooser) enlarge(pressure []float64) bool {
	order := make([]int, len(pressure))
	for f := range order {
		order[f] = f
	}
	lack := func(f int) float64 { return c.Fixtures[f].Needs - pressure[f] }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(lack(b), lack(a)) })
	for _, f := range order {
		if !(lack(f) > 0) {
			return false
		}
		if best := c.bestStep(f); best >= 0 {
			c.widen(best)
			for i, feed := best, c.network.Pipes[best].Feed; feed >= 0; i, feed = feed, c.network.Pipes[feed].Feed {
				for c.free[feed] && c.rung[feed] < len(c.ladders[feed])-1 && c.network.Pipes[feed].Tube.Inside < c.network.Pipes[i].Tube.Inside {
					c.widen(feed)
				}
			}
			return true
		}
	}
	return false
}

// bestStep is the first of those free pipes on the way to a fixture whose next
// size saves the most pressure for the water it adds; −1 where none can be
// larger.
func (c *chooser) bestStep(f int) int {
	best, most := -1, 0.0
	path := c.network.Path(f)
	for k := 0; k < len(path); {
		first := path[k]
		var saved, added float64
		for ; k < len(path) && c.first[path[k]] == first; k++ {
			i := path[k]
			if !c.free[i] || c.rung[i] == len(c.ladders[i])-1 {
				continue
			}
			now := c.network.Pipes[i]
			next := now
			next.Tube = c.ladders[i][c.rung[i]+1]
			saved += hydraulics.Loss(now, c.water, c.load.Pipes[i]) - hydraulics.Loss(next, c.water, c.load.Pipes[i])
			added += next.Volume() - now.Volume()
		}
		if added == 0 {
			continue // fixed, or as large as there is
		}
		if worth := saved / max(added, 1e-12); best < 0 || worth > most {
			best, most = first, worth
		}
	}
	return best
}

func (c *chooser) result(pressure []float64) *Sized {
	s := &Sized{Network: &c.network}
	for f, fixture := range c.Fixtures {
		behind := slices.ContainsFunc(c.network.Path(f), func(i int) bool { return c.free[i] })
		if behind && !(pressure[f] >= fixture.Needs) {
			s.Short = append(s.Short, f)
		}
	}
	for i, p := range c.network.Pipes {
		if c.free[i] && c.fast(i, p.Tube) {
			s.Fast = append(s.Fast, i)
		}
	}
	return s
}

// ladderOf lists the tubes of a kind from narrow to wide, of one bore the first.
func ladderOf(kind string) []tubes.Tube {
	var ladder []tubes.Tube
	for _, t := range tubes.All() {
		if t.Kind == kind {
			ladder = append(ladder, t)
		}
	}
	slices.SortStableFunc(ladder, func(a, b tubes.Tube) int { return cmp.Compare(a.Inside, b.Inside) })
	return ladder
}
