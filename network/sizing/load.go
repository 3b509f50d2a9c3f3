package sizing

import (
	"errors"
	"fmt"
	"slices"

	"pipelag/network"
)

// Fixture is what a fixture asks of the pipes.
type Fixture struct {
	Name  string
	Use   string  // shower, bath, kitchen, lavatory, dishwasher, clothes washer, bidet or laundry sink
	Rated float64 // flow [m³/s]
	Needs float64 // pressure at the tap for it [Pa]
}

// Load is what the pipes of a layout must be able to pass by a code.
type Load struct {
	Units []float64 // hot fixture units by pipe
	Pipes []float64 // demand by pipe [m³/s]
	Hot   float64   // demand at the heater's outlet [m³/s]
	House float64   // demand of hot and cold together, on the way to the heater [m³/s]
}

// Cold is what leaves before the heater at peak demand [m³/s].
func (l Load) Cold() float64 { return max(0, l.House-l.Hot) }

// Along is the load with at least a flow [m³/s] in the pipes of a way, of which a limit asks
// that flow.
func (l Load) Along(way []int, flow float64) Load {
	l.Pipes = slices.Clone(l.Pipes)
	for _, i := range way {
		l.Pipes[i] = max(l.Pipes[i], flow)
	}
	more := max(0, flow-l.Hot)
	l.Hot, l.House = l.Hot+more, l.House+more
	return l
}

// NewLoad works out a layout's load; fixtures are in the order of its taps. The
// house's total lets each fixture have its cold branch, and adds cold: the fixture
// units of what draws cold water alone, such as toilets and hose bibbs.
//
// A pipe's demand is the code's for the fixture units behind it, but not below
// the largest rated flow behind it, since one tap alone may be open, nor above
// all of them together. The house's is not above that and what cold comes to by
// itself. All are common practice, no source.
func NewLoad(n *network.Network, code Code, fixtures []Fixture, cold float64) (Load, error) {
	if len(fixtures) != len(n.Taps) {
		return Load{}, fmt.Errorf("layout %q: %d fixtures for %d taps", n.Name, len(fixtures), len(n.Taps))
	}
	var wrong []error
	load := Load{Units: make([]float64, len(n.Pipes)), Pipes: make([]float64, len(n.Pipes))}
	largest, all := make([]float64, len(n.Pipes)), make([]float64, len(n.Pipes))
	var hotUnits, totalUnits, most, every float64
	for f, fixture := range fixtures {
		hot, total, err := code.Units(fixture.Use)
		if err != nil {
			wrong = append(wrong, fmt.Errorf("fixture %q: %w", fixture.Name, err))
			continue
		}
		hotUnits += hot
		totalUnits += total
		most = max(most, fixture.Rated)
		every += fixture.Rated
		for i := n.Taps[f]; i >= 0; i = n.Pipes[i].Feed {
			load.Units[i] += hot
			largest[i] = max(largest[i], fixture.Rated)
			all[i] += fixture.Rated
		}
	}
	demand := func(units, least, most float64) float64 {
		flow, err := code.Demand(units)
		if err != nil {
			wrong = append(wrong, err)
		}
		return min(max(flow, least), most)
	}
	for i, u := range load.Units {
		load.Pipes[i] = demand(u, largest[i], all[i])
	}
	load.Hot = demand(hotUnits, most, every)
	alone, _ := code.Demand(cold) // what is beyond the table is so with the fixtures too, and told below
	load.House = demand(totalUnits+cold, most, every+alone)
	return load, errors.Join(wrong...)
}
