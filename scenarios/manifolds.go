package scenarios

import (
	"fmt"
	"slices"

	"pipelag/network"
)

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
