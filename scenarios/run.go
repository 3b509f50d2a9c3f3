package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
	"pipelag/units"
)

// branches are the runs to the fixtures, in their order, and the places that
// each goes by.
func (b *builder) branches(s said[runSaid], what string) ([]network.Run, [][]network.Point) {
	var names []string
	for _, f := range b.said.fixtures {
		names = append(names, f.name)
	}
	runs, vias := make([]network.Run, len(names)), make([][]network.Point, len(names))
	usual := b.run(s, what)
	for i, name := range names {
		runs[i] = usual
		for _, e := range s.value.except {
			if e.name == name {
				runs[i] = b.run(said[runSaid]{e.value.over(s.value), e.at}, fmt.Sprintf("the run to %q", name))
				vias[i] = points(e.value.via.value)
			}
		}
	}
	for _, e := range s.value.except {
		if !slices.Contains(names, e.name) {
			b.fault(e.at, fmt.Sprintf("unknown fixture %q", e.name), suggest(e.name, "fixtures", names))
		}
	}
	return runs, vias
}

// run makes a stretch of piping; what is missing or unknown is noted.
func (b *builder) run(s said[runSaid], what string) network.Run {
	var made network.Run
	for _, need := range []struct {
		key, doc string
		has      bool
	}{
		{"tube", "tube: copper L", s.value.tube.at != nil},
		{"size", "size: 3/4", s.value.size.at != nil},
		{"zone", "zone: whose air or ground surrounds it", s.value.zone.at != nil},
	} {
		if !need.has && !b.says(s.at, need.key) {
			b.fault(s.at, fmt.Sprintf("%s has no %s", what, need.key), "add "+need.doc)
		}
	}
	if s.value.size.value == chosen {
		made.Tube = b.unsized(s.value.tube)
	} else {
		made.Tube = b.tube(s.value.tube, s.value.size)
	}
	made.Zone = b.zone(s.value.zone)
	b.wrap(&made, s.value)
	return made
}

// wrap puts insulation or ground round a stretch.
func (b *builder) wrap(made *network.Run, s runSaid) {
	made.Sleeve = b.sleeve(s.insulation)
	if made.Sleeve.Thickness > 0 {
		made.BareShare = b.or(s.bare, units.Share, defaultBare, "layouts.*.bare", "fittings and hangers; common practice, no source")
	}
	if buried := s.buried; buried.at != nil {
		made.Burial = heat.Burial{Depth: buried.value.depth.value, Conductivity: buried.value.conductivity.value}
	}
}

// chosen is the size of a tube that is to be chosen.
const chosen = "choose"

// unsized is a tube of a kind whose size is to be chosen; until then it is of the
// narrowest.
func (b *builder) unsized(kind said[string]) tubes.Tube {
	if kind.at == nil {
		return tubes.Tube{}
	}
	sizes := tubes.Sizes(kind.value)
	if len(sizes) == 0 {
		return b.tube(kind, said[string]{at: kind.at}) // notes that there is no such kind
	}
	b.assume("layouts.*.size", "3/8 in at least where it is to be chosen", "usual prescriptive minimum; common practice, no source")
	t := b.tube(kind, said[string]{sizes[0], kind.at})
	t.Size = chosen
	return t
}

// widest is a trunk's or supply's run whose size, if it is to be chosen, is taken
// to be above those of the branches: so tees are counted as passed straight along
// it.
func widest(r network.Run) network.Run {
	if r.Tube.Size != chosen {
		return r
	}
	for _, t := range tubes.All() {
		if t.Kind == r.Tube.Kind && t.Inside > r.Tube.Inside {
			r.Tube = t
		}
	}
	r.Tube.Size = chosen
	return r
}

// sleeve reads a thickness and a material, such as 1/2 in foam.
func (b *builder) sleeve(s said[string]) tubes.Sleeve {
	if s.at == nil || s.value == "none" {
		return tubes.Sleeve{}
	}
	for i, c := range s.value {
		if c != ' ' {
			continue
		}
		thickness, err := units.Parse(s.value[:i], units.Thickness)
		if err != nil {
			continue
		}
		material, err := tubes.FindSleeve(strings.TrimSpace(s.value[i:]))
		if err != nil {
			b.advise(s.at, err, "give another value")
			return tubes.Sleeve{}
		}
		if !(thickness >= 0.001 && thickness <= 0.15) {
			b.fault(s.at, fmt.Sprintf("%q is out of range", s.value), "give a thickness from 1 mm to 150 mm (6 in), or none")
			return tubes.Sleeve{}
		}
		return tubes.Sleeve{Material: material, Thickness: thickness}
	}
	b.fault(s.at, fmt.Sprintf("%q is no insulation", s.value), "write thickness and material, such as 1/2 in foam or 13 mm foam, or none")
	return tubes.Sleeve{}
}
