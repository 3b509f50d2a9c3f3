package plots

import (
	"fmt"
	"slices"
	"strings"

	"pipelag/sim"
)

// Material is what figures are drawn from. What is nil is not at hand.
type Material struct {
	Result      *sim.Result
	Traces      []*sim.Trace
	Day         *sim.Watch
	Week        *Week
	Tubes       []Cooling
	Sensitivity *Sensitivity
	Target      *Target
}

// kind is one figure, what it needs, and how it is drawn of that.
type kind struct {
	name  string
	needs string
	has   func(*Material) bool
	draw  func(Set, *Material) (*Figure, error)
}

// kinds are all figures, in the order in which they are listed.
var kinds = []kind{
	ofResult("waits", NewWaits),
	ofResult("water", NewWater),
	ofResult("energy", NewEnergy),
	ofResult("differences", NewDifferences),
	ofResult("months", NewMonths),
	ofResult("tradeoff", NewTradeoff),
	{
		"tap", "traces of one tap",
		func(m *Material) bool { return len(m.Traces) > 0 },
		func(s Set, m *Material) (*Figure, error) { return NewTap(s, m.Traces) },
	},
	{
		"profiles", "a single trace",
		func(m *Material) bool { return len(m.Traces) == 1 },
		func(s Set, m *Material) (*Figure, error) { return NewProfiles(s, m.Traces[0]) },
	},
	{
		"day", "a watched day",
		func(m *Material) bool { return m.Day != nil },
		func(s Set, m *Material) (*Figure, error) { return NewDay(s, m.Day) },
	},
	{
		"week", "the scenario beside a result",
		func(m *Material) bool { return m.Week != nil },
		func(s Set, m *Material) (*Figure, error) { return NewWeek(s, *m.Week) },
	},
	{
		"cooldown", "the scenario beside a result",
		func(m *Material) bool { return len(m.Tubes) > 0 },
		func(s Set, m *Material) (*Figure, error) { return NewCooldown(s, m.Tubes) },
	},
	{
		"sensitivity", "a study of what matters",
		func(m *Material) bool { return m.Sensitivity != nil },
		func(s Set, m *Material) (*Figure, error) { return NewSensitivity(s, *m.Sensitivity) },
	},
	{
		"target", "a study of a limit",
		func(m *Material) bool { return m.Target != nil },
		func(s Set, m *Material) (*Figure, error) { return NewTarget(s, *m.Target) },
	},
}

func ofResult(name string, draw func(Set, *sim.Result) (*Figure, error)) kind {
	return kind{
		name, "a result",
		func(m *Material) bool { return m.Result != nil },
		func(s Set, m *Material) (*Figure, error) { return draw(s, m.Result) },
	}
}

// Kinds names the figures that a material can give.
func (m *Material) Kinds() []string {
	var names []string
	for _, k := range kinds {
		if k.has(m) {
			names = append(names, k.name)
		}
	}
	return names
}

// Kinds names all figures, and what each is drawn from.
func Kinds() (names, needs []string) {
	for _, k := range kinds {
		names, needs = append(names, k.name), append(needs, k.needs)
	}
	return names, needs
}

// Draw draws the figure of a kind.
func (m *Material) Draw(name string, s Set) (*Figure, error) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return k.name == name })
	if i < 0 {
		names, _ := Kinds()
		return nil, fmt.Errorf("unknown figure %q; %s", name, known("figures", names))
	}
	if !kinds[i].has(m) {
		return nil, fmt.Errorf("figure %q is drawn from %s, which is not here; what is here gives: %s", name, kinds[i].needs, strings.Join(m.Kinds(), "; "))
	}
	return kinds[i].draw(s, m)
}
