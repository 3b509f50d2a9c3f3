package scenarios

import (
	"fmt"
	"strings"

	"pipelag/network"
	"pipelag/network/sizing"
	"pipelag/network/takeoff"
)

// Plan is a layout as it is laid out from where things stand. A copy in which
// something is moved lays another.
type Plan struct {
	Site      network.Site       // of the house
	Heaters   []network.Point    // the layout's own
	Manifolds []network.Manifold // of home runs; none where there are several heaters, at which the runs then part

	name     string
	skeleton string
	main     network.Run     // the trunk
	via      []network.Point // the trunk's
	branches []network.Run   // by fixture
	vias     [][]network.Point
	serves   []int        // manifold by fixture; nil for the nearest
	back     *network.Run // the return line, where it has one of its own
	cross    *crossover   // where it goes through the cold line
	longest  *float64     // branch of a loop [m]
	design   *sizing.Design
}

// buildPlan makes of a layout what its pipes are laid from; nil after a mistake.
func (b *builder) buildPlan(l layout) *Plan {
	before := b.faults
	site, placed := b.site(l.name)
	p := &Plan{Site: site, Heaters: []network.Point{site.Heater}, name: l.name.value, skeleton: l.skeleton, design: b.design()}
	if l.heaters.at != nil {
		p.Heaters = points(l.heaters.value)
	}
	if len(p.Heaters) > 1 {
		b.assume("layouts."+l.name.value+".heaters", "alike, each by itself", "all stand in the zone of the house's heater")
	}
	if l.skeleton == homeRun {
		p.branches, p.vias = b.branches(l.runs, "the run to each fixture")
		if len(p.Heaters) == 1 {
			b.buildManifolds(l, p)
		}
	} else {
		p.main = widest(b.run(l.trunk, "the trunk"))
		p.via = points(l.trunk.value.via.value)
		p.branches, _ = b.branches(l.branch, "the branch")
	}
	if l.longest.at != nil && l.pumped { // or else taken over from a layout that is
		p.longest = &l.longest.value
	}
	p.cross = b.buildCrossover(l)
	if l.pumped && !l.throughCold() {
		run := l.backLine.value.run
		back := b.run(said[runSaid]{run, l.backLine.at}, "the return line")
		p.back = &back
		if size := run.size; size.value == chosen {
			b.fault(size.at, "a return line whose size is to be chosen", "state its size: it carries what the pump sends, and no demand of fixtures")
		}
	}
	if b.faults > before || !placed || len(site.Fixtures) == 0 {
		return nil
	}
	return p
}

// design is what sizes are chosen for; nil after a mistake in what all layouts share,
// on which a choice would only draw more.
func (b *builder) design() *sizing.Design {
	if b.shared > 0 {
		return nil
	}
	c := b.made.Conditions()
	return &sizing.Design{
		Code: c.Code, Fixtures: c.Fixtures, Cold: c.Cold, Service: *c.Service, Hot: c.Hot,
		Limits: c.Limits,
	}
}

// Plan is how a layout of the house is laid out; nil for one that lists its
// pipes, and for a name that no layout has.
func (s *Scenario) Plan(layout string) *Plan {
	for i, l := range s.house.Layouts {
		if l.Network.Name == layout && s.plans[i] != nil {
			plan := *s.plans[i]
			return &plan
		}
	}
	return nil
}

// Candidates are the places that the scenario names for its heater and its
// manifold; nil for none.
func (s *Scenario) Candidates() (heater, manifold []network.Point) {
	return points(s.places.heater.value), points(s.places.manifold.value)
}

// Conditions are those under which a layout of the scenario is taken off.
func (s *Scenario) Conditions() takeoff.Conditions {
	c := takeoff.Conditions{Service: s.house.Supply, Hot: s.house.Heater.Setpoint, Code: s.code, Cold: s.cold, Limits: s.house.Limits}
	for _, z := range s.house.Climate.Zones {
		if z.Conditioned {
			c.Conditioned = append(c.Conditioned, z.Name)
		}
	}
	for _, f := range s.house.Fixtures {
		c.Fixtures = append(c.Fixtures, sizing.Fixture{Name: f.Name, Use: f.Use.String(), Rated: f.Flow, Needs: f.Needs})
	}
	return c
}

// Lay lays the pipes, and chooses the sizes that are to be chosen.
func (p *Plan) Lay() (*network.Network, error) {
	n, _, err := p.lay()
	return n, err
}

// lay is Lay, and says what the sizes chosen fall short of.
func (p *Plan) lay() (*network.Network, []string, error) {
	n, err := p.unsized()
	if err != nil {
		return nil, nil, err
	}
	return finish(n, p.design, p.cross)
}

// finish chooses the sizes that are to be chosen, says what they fall short of,
// and lets the return line, where there is one, through the cold line. There is no
// network where sizes are to be chosen for no design.
func finish(n *network.Network, d *sizing.Design, c *crossover) (*network.Network, []string, error) {
	n, doubts, err := choose(n, d)
	if n == nil || err != nil {
		return nil, nil, err
	}
	n, err = c.lay(n)
	return n, doubts, err
}

// choose gives a size to the pipes that have none, and says what the sizes there
// are fall short of.
func choose(n *network.Network, d *sizing.Design) (*network.Network, []string, error) {
	free, some := make([]bool, len(n.Pipes)), false
	for i, pipe := range n.Pipes {
		free[i] = pipe.Tube.Size == chosen
		some = some || free[i]
	}
	if !some {
		return n, nil, nil
	}
	if d == nil {
		return nil, nil, nil
	}
	sized, err := sizing.Choose(n, free, *d)
	if err != nil {
		return nil, nil, fmt.Errorf("layout %q: %w", n.Name, err)
	}
	var doubts, places []string
	for _, f := range sized.Short {
		places = append(places, d.Fixtures[f].Name)
	}
	if len(places) > 0 {
		doubts = append(doubts, fmt.Sprintf("layout %q: at the code's demand no choice of sizes leaves enough pressure at: %s; raise pressure, or let pipes be shorter", n.Name, strings.Join(places, ", ")))
	}
	for _, i := range sized.Fast {
		p := sized.Network.Pipes[i]
		doubts = append(doubts, fmt.Sprintf("layout %q: at the code's demand water is above a velocity limit in the pipe from %s to %s, though it is the widest %s known, %s; let another kind of tube serve there, or several pipes", n.Name, p.From, p.To, p.Tube.Kind, p.Tube.Size))
	}
	return sized.Network, doubts, nil
}

func (p *Plan) unsized() (*network.Network, error) {
	if len(p.Heaters) == 1 {
		site := network.Site{Heater: p.Heaters[0], Fixtures: p.Site.Fixtures}
		n, err := p.layAt(site, p.branches, p.vias)
		if err != nil || p.Heaters[0] == p.Site.Heater {
			return n, err
		}
		all := make([]int, len(site.Fixtures))
		for i := range all {
			all[i] = i
		}
		return network.Join(p.name, p.Site.Heater, len(all), network.Part{Network: n, Heater: p.Heaters[0], Fixtures: all})
	}
	sites, fixtures, err := p.Site.Split(p.Heaters)
	if err != nil {
		return nil, fmt.Errorf("layout %q: %w", p.name, err)
	}
	var parts []network.Part
	for h, site := range sites {
		var branches []network.Run
		var vias [][]network.Point
		for _, f := range fixtures[h] {
			branches = append(branches, p.branches[f])
			if p.vias != nil {
				vias = append(vias, p.vias[f])
			}
		}
		n, err := p.layAt(site, branches, vias)
		if err != nil {
			return nil, err
		}
		parts = append(parts, network.Part{Network: n, Heater: site.Heater, Fixtures: fixtures[h]})
	}
	return network.Join(p.name, p.Site.Heater, len(p.Site.Fixtures), parts...)
}

// layAt lays the pipes of one heater.
func (p *Plan) layAt(site network.Site, branches []network.Run, vias [][]network.Point) (n *network.Network, err error) {
	switch {
	case p.longest != nil:
		return network.LoopWithin(p.name, site, p.main, *p.back, branches, *p.longest)
	case p.skeleton == shortTree:
		n, err = network.ShortTree(p.name, site, p.main, branches)
	case p.skeleton == homeRun:
		manifolds := p.Manifolds
		if len(p.Heaters) > 1 {
			manifolds = []network.Manifold{{Name: "manifold", At: site.Heater}}
		}
		n, err = network.HomeRuns(p.name, site, manifolds, p.serves, branches, vias)
	case p.via != nil:
		n, err = network.TrunkByWay(p.name, site, p.main, p.via, branches)
	default:
		n, err = network.TrunkAndBranch(p.name, site, p.main, branches)
	}
	if err != nil || p.back == nil {
		return n, err
	}
	return n.WithReturn(p.name, site, *p.back)
}
