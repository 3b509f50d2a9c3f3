package scenarios

import (
	"fmt"
	"slices"

	"pipelag/network"
	"pipelag/network/limits"
	"pipelag/network/sizing"
)

// buildPlan makes of a layout what its pipes are laid from; nil after a mistake.
func (b *builder) buildPlan(l layout) *Plan {
	before := b.faults
	site, placed := b.site(l.name)
	p := &Plan{Site: site, Heaters: []network.Point{site.Heater}, name: l.name.value, skeleton: l.skeleton, design: b.design()}
	if l.heaters.at != nil {
		p.Heaters = points(l.heaters.value)
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
	if l.longest.at != nil {
		p.longest = &l.longest.value
	}
	if l.pumped {
		back := b.run(l.backLine, "the return line")
		p.back = &back
		if size := l.backLine.value.size; size.value == chosen {
			b.fault(size.at, "a return line whose size is to be chosen", "state its size: it carries what the pump sends, and no demand of fixtures")
		}
	}
	if b.faults > before || !placed || len(site.Fixtures) == 0 {
		return nil
	}
	return p
}

// design is what sizes are chosen for.
func (b *builder) design() sizing.Design {
	c := b.made.Conditions()
	return sizing.Design{
		Code: c.Code, Fixtures: c.Fixtures, Service: *c.Service, Hot: c.Hot,
		Limits: append(slices.Clone(c.Limits), usualMinimum),
	}
}

// usualMinimum keeps a size that is chosen from being one that would need an
// engineer.
var usualMinimum = limits.Limit{
	Quantity: limits.SmallestSize, Value: 3.0 / 8 * 0.0254,
	Code: "practice", Clause: "usual prescriptive minimum", Status: "practice",
}

// buildManifolds makes the manifolds of home runs.
func (b *builder) buildManifolds(l layout, p *Plan) {
	all := l.manifolds
	if all == nil {
		one := l.manifold
		one.value.name.value, one.value.supply = "manifold", l.supply
		all = []said[manifoldSaid]{one}
	} else {
		l.supply.value.via = said[[][3]float64]{} // of which manifold would it be?
	}
	for i, m := range all {
		if slices.ContainsFunc(all[:i], func(other said[manifoldSaid]) bool { return other.value.name.value == m.value.name.value }) {
			b.fault(m.at, fmt.Sprintf("manifold %q stands twice", m.value.name.value), "give each a name of its own")
		}
		supply := m.value.supply
		if l.manifolds != nil {
			supply = overRun(supply, l.supply)
		}
		if supply.at == nil {
			b.fault(m.at, "a manifold without a supply", "add supply: to it or to the layout")
			continue
		}
		made := network.Manifold{
			Name: m.value.name.value, At: point(m.value.at.value), Feed: m.value.from.value, Port: m.value.port.value,
			Supply: widest(b.run(supply, "the supply")), Via: points(supply.value.via.value),
		}
		made.Body = widest(b.run(overRun(m.value.body, supply), "the manifold's body"))
		p.Manifolds = append(p.Manifolds, made)
	}
	b.serve(all, p)
}

// serve tells the fixtures of each manifold, where any manifold names its own.
func (b *builder) serve(all []said[manifoldSaid], p *Plan) {
	if !slices.ContainsFunc(all, func(m said[manifoldSaid]) bool { return m.value.serves.at != nil }) {
		return
	}
	p.serves = slices.Repeat([]int{-1}, len(p.Site.Fixtures))
	names := make([]string, len(p.Site.Fixtures))
	for f, stand := range p.Site.Fixtures {
		names[f] = stand.Name
	}
	for k, m := range all {
		for _, name := range m.value.serves.value {
			switch f := slices.Index(names, name); {
			case f < 0:
				b.fault(m.value.serves.at, fmt.Sprintf("unknown fixture %q", name), suggest(name, "fixtures", names))
			case p.serves[f] >= 0:
				b.fault(m.value.serves.at, fmt.Sprintf("fixture %q is served twice, by %q too", name, all[p.serves[f]].value.name.value), "let one manifold serve it")
			default:
				p.serves[f] = k
			}
		}
	}
	for f, k := range p.serves {
		if k < 0 {
			b.fault(all[0].at, fmt.Sprintf("fixture %q is served by no manifold", names[f]), "add it to serves: of one, or let none say what it serves")
		}
	}
}

func points(places [][3]float64) []network.Point {
	var all []network.Point
	for _, p := range places {
		all = append(all, point(p))
	}
	return all
}
