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

// branches are the runs to the fixtures, in their order.
func (b *builder) branches(s said[runSaid], what string) []network.Run {
	var names []string
	for _, f := range b.said.fixtures {
		names = append(names, f.name)
	}
	runs := make([]network.Run, len(names))
	usual := b.run(s, what)
	for i, name := range names {
		runs[i] = usual
		for _, e := range s.value.except {
			if e.name == name {
				runs[i] = b.run(said[runSaid]{e.value.over(s.value), e.at}, fmt.Sprintf("the run to %q", name))
			}
		}
	}
	for _, e := range s.value.except {
		if !slices.Contains(names, e.name) {
			b.fault(e.at, fmt.Sprintf("unknown fixture %q", e.name), suggest(e.name, "fixtures", names))
		}
	}
	return runs
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
	if tube, size := s.value.tube, s.value.size; tube.at != nil && size.at != nil {
		var err error
		if made.Tube, err = tubes.Find(tube.value, size.value); err != nil {
			at := size.at
			if strings.HasPrefix(err.Error(), "unknown") {
				at = tube.at
			}
			b.advise(at, err, "give another value")
		}
	}
	made.Zone = b.zone(s.value.zone)
	made.Sleeve = b.sleeve(s.value.insulation)
	if made.Sleeve.Thickness > 0 {
		made.BareShare = b.or(s.value.bare, units.Share, defaultBare, "layouts.*.bare", "fittings and hangers; common practice, no source")
	}
	if buried := s.value.buried; buried.at != nil {
		made.Burial = heat.Burial{Depth: buried.value.depth.value, Conductivity: buried.value.conductivity.value}
	}
	return made
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
