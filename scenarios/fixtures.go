package scenarios

import (
	"fmt"
	"slices"

	"pipelag/network"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/units"
)

// uses are the end uses as a scenario names them.
func uses() []string {
	all := make([]string, schedules.Uses)
	for u := range all {
		all[u] = schedules.Use(u).String()
	}
	return all
}

func (b *builder) buildFixtures() {
	for _, f := range b.said.fixtures {
		if f.name == outlet {
			b.misnamed = true
			b.fault(f.at, `a fixture is called "heater"`, "give it another name: pipes begin at the heater")
		}
		use := max(slices.Index(uses(), f.value.use.value), 0) // unsaid is a mistake noted already
		usable := b.or(f.value.usable, units.Temperature, defaultUsable, "fixtures.usable", "105 F, use temperature of ANSI/RESNET/ICC 301, read as quoted")
		if set := b.said.heater.value.setpoint; set.at != nil && usable >= set.value {
			at := f.value.usable.at
			if at == nil {
				at = set.at
			}
			b.fault(at, fmt.Sprintf("%q would wait for ever: usable is %s and the heater keeps %s", f.name,
				units.Both(usable, units.Temperature), units.Both(set.value, units.Temperature)), "let usable be below the heater's setpoint")
		}
		b.made.house.Fixtures = append(b.made.house.Fixtures, sim.Fixture{
			Name: f.name, Use: schedules.Use(use), Flow: f.value.flow.value, Usable: usable,
			Needs: b.needs(f.value.pressure, f.value.use.value),
		})
	}
}

// site is where things stand, or false after noting what has no place.
func (b *builder) site(layout said[string]) (network.Site, bool) {
	var site network.Site
	right := fmt.Sprintf("add at: [x, y, z], for layout %q is generated from where things stand", layout.value)
	good := true
	if h := b.said.heater; h.value.at.at == nil {
		good = false
		if h.at != nil && !b.says(h.at, "at") {
			b.fault(h.at, "the heater has no place", right)
		}
	}
	site.Heater = point(b.said.heater.value.at.value)
	for _, f := range b.said.fixtures {
		if f.value.at.at == nil {
			good = false
			if !b.says(b.itemAt(f.at), "at") {
				b.fault(f.at, fmt.Sprintf("fixture %q has no place", f.name), right)
			}
		}
		site.Fixtures = append(site.Fixtures, network.Stand{Name: f.name, At: point(f.value.at.value)})
	}
	return site, good
}

// says tells whether a mapping has a key, however wrong its value.
func (b *builder) says(n *node, key string) bool {
	return n != nil && slices.ContainsFunc(n.keys, func(k *node) bool { return k.text == key })
}

// itemAt is the fixture under a key of fixtures:.
func (b *builder) itemAt(key *node) *node {
	for i, k := range b.root.keys {
		if k.text != "fixtures" {
			continue
		}
		if j := slices.Index(b.root.items[i].keys, key); j >= 0 {
			return b.root.items[i].items[j]
		}
	}
	return nil
}

func point(p [3]float64) network.Point { return network.Point{X: p[0], Y: p[1], Z: p[2]} }

func points(places [][3]float64) []network.Point {
	var all []network.Point
	for _, p := range places {
		all = append(all, point(p))
	}
	return all
}
