package sim

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"pipelag/units"
)

// Shortfall is a fixture to which the supply passes less than it is rated for.
type Shortfall struct {
	Fixture string  `json:"fixture"`
	Rated   float64 `json:"rated_L_per_s"`
	Passed  float64 `json:"passed_L_per_s"` // of hot water, while no other is open
}

// sameFlow is the share of a flow from which another is taken for as much: friction
// is not known to one in a hundred.
const sameFlow = 0.99

// PassedAlone is what the supply passes to each fixture of a layout of hot water, up
// to its rated flow, while no other is open [m³/s].
func PassedAlone(h *House, l *Layout) ([]float64, error) {
	passed := ratedFlows(h)
	if h.Supply == nil {
		return passed, nil
	}
	circuit, err := newCircuit(h, l)
	if err != nil {
		return nil, err
	}
	solver := circuit.NewSolver()
	wanted, got := make([]float64, len(passed)), make([]float64, len(passed))
	for f := range passed {
		wanted[f] = passed[f]
		if err := solver.Flow(wanted, 0, got); err != nil {
			return nil, err
		}
		passed[f], wanted[f] = got[f], 0
	}
	return passed, nil
}

// Shortfalls are those of a layout, that of the fixture which gets the smallest share
// of its rated flow first.
func Shortfalls(h *House, l *Layout) ([]Shortfall, error) {
	passed, err := PassedAlone(h, l)
	if err != nil {
		return nil, err
	}
	var all []Shortfall
	for f, got := range passed {
		if rated := h.Fixtures[f].Flow; got < sameFlow*rated {
			all = append(all, Shortfall{h.Fixtures[f].Name, rated / litre, got / litre})
		}
	}
	slices.SortStableFunc(all, func(a, b Shortfall) int { return cmp.Compare(a.share(), b.share()) })
	return all, nil
}

func (s Shortfall) share() float64 { return s.Passed / s.Rated }

// cautionOfFlow is what fixtures that get less than their rated flow raise.
func cautionOfFlow(short []Shortfall) string {
	const most = 3 // named
	var named []string
	for _, s := range short[:min(most, len(short))] {
		of := func(system units.System) string {
			return system.Number(s.Passed*litre, units.Flow) + " of " + system.Format(s.Rated*litre, units.Flow)
		}
		named = append(named, fmt.Sprintf("%s gets %s (%s)", s.Fixture, of(units.SI), of(units.US)))
	}
	text := "Flow: less than it is rated for reaches a fixture open alone: " + strings.Join(named, ", ")
	if more := len(short) - len(named); more > 0 {
		text += fmt.Sprintf(", and %d more get less", more)
	}
	return text + "; wider tubes or more pressure let it have that."
}
