package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"pipelag/units"
)

// builder makes a house of what a file says. It goes on after a mistake, so
// that one reading finds them all; what it makes then is thrown away.
type builder struct {
	*reader
	root    *node
	said    house
	folder  string // that recorded draws are looked for in; empty for none
	sum     *content
	made    *Scenario
	zones   []string
	drawn   *drawn // the house's plan; nil without one
	undrawn bool   // the plan is not whole, which every layout would trip over
	laying  string // the layout that is being made; empty before and after

	misnamed bool // a fixture is called heater, which every layout would trip over
	shared   int  // mistakes in what all layouts share
}

func (b *builder) build() {
	b.made.house.Name = b.said.name.value
	b.drawHouse()
	b.buildClimate()
	b.buildSupply()
	b.buildCode()
	b.buildHeater()
	b.buildFixtures()
	b.buildCold()
	b.made.places = b.said.places.value
	b.shared = len(b.mistakes)
	b.buildLayouts()
	layouts := len(b.mistakes) - b.shared
	b.buildSpace()
	b.buildRates()
	if len(b.mistakes) == layouts {
		b.buildSchedule()
	}
	b.shared = len(b.mistakes) - layouts
}

// assume records a value that the file leaves out, once for each path.
func (b *builder) assume(path, value, why string) {
	for _, a := range b.made.Assumed {
		if a.Path == path {
			return
		}
	}
	a := Assumption{Path: path, Value: value, Why: why}
	if b.laying != "" && strings.HasPrefix(path, "layouts."+b.laying+".") {
		a.Layout = b.laying
	}
	b.made.Assumed = append(b.made.Assumed, a)
}

// or is what the file says, or a default that is then recorded.
func (b *builder) or(s said[float64], d units.Dimension, otherwise float64, path, why string) float64 {
	if s.at != nil {
		return s.value
	}
	b.assume(path, units.Both(otherwise, d), why)
	return otherwise
}

// zone is the name of a zone that exists.
func (b *builder) zone(s said[string]) string {
	if s.at != nil && b.said.climate.at != nil && !slices.Contains(b.zones, s.value) {
		b.fault(s.at, fmt.Sprintf("unknown zone %q", s.value), suggest(s.value, "zones", b.zones))
	}
	return s.value
}
