package plots

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"pipelag/sim"
)

// Material is what figures are drawn from. What is nil is not at hand.
type Material struct {
	Result        *sim.Result
	Traces        []*sim.Trace
	Day           *sim.Watch
	Week          *Week
	Tubes         []Cooling
	Plans         []Plan
	Sensitivities []Sensitivity
	Targets       []Target
}

// Drawn is a figure by the name of its files: its kind and, where there
// may be several, what tells it from the others: the layout's number in the set, or
// the key of an outcome.
type Drawn struct {
	Name string
	*Figure
}

// kind is one kind of figure, what it needs, and how it is drawn of that.
type kind struct {
	name  string
	needs string
	has   func(*Material) bool
	draw  func(Set, *Material) ([]Drawn, error)
}

// kinds are all figures, in the order in which they are listed.
var kinds = []kind{
	ofResult("waits", NewWaits),
	ofResult("water", NewWater),
	ofResult("energy", NewEnergy),
	ofResult("differences", func(s Set, r *sim.Result) (*Figure, error) {
		return NewDifferences(s, r.Differences, apart(r))
	}),
	ofResult("months", NewMonths),
	ofResult("tradeoff", NewTradeoff),
	single(
		"tap", "traces of one tap",
		func(m *Material) bool { return len(m.Traces) > 0 },
		func(s Set, m *Material) (*Figure, error) { return NewTap(s, m.Traces) },
	),
	single(
		"profiles", "a single trace",
		func(m *Material) bool { return len(m.Traces) == 1 },
		func(s Set, m *Material) (*Figure, error) { return NewProfiles(s, m.Traces[0]) },
	),
	single(
		"day", "a watched day",
		func(m *Material) bool { return m.Day != nil },
		func(s Set, m *Material) (*Figure, error) { return NewDay(s, m.Day) },
	),
	single(
		"week", "the scenario beside a result",
		func(m *Material) bool { return m.Week != nil },
		func(s Set, m *Material) (*Figure, error) { return NewWeek(s, *m.Week) },
	),
	single(
		"cooldown", "the scenario beside a result",
		func(m *Material) bool { return len(m.Tubes) > 0 },
		func(s Set, m *Material) (*Figure, error) { return NewCooldown(s, m.Tubes) },
	),
	{
		"plan", "a takeoff that knows where pipes run",
		func(m *Material) bool { return len(m.Plans) > 0 },
		drawPlans,
	},
	{
		"sensitivity", "the result of a study of what an outcome depends on",
		func(m *Material) bool { return len(m.Sensitivities) > 0 },
		func(s Set, m *Material) ([]Drawn, error) {
			return each("sensitivity", m.Sensitivities, func(found Sensitivity) (string, *Figure, error) {
				f, err := NewSensitivity(s, found)
				return found.Key, f, err
			})
		},
	},
	{
		"target", "the result of a study of a limit",
		func(m *Material) bool { return len(m.Targets) > 0 },
		func(s Set, m *Material) ([]Drawn, error) {
			return each("target", m.Targets, func(t Target) (string, *Figure, error) {
				f, err := NewTarget(s, t)
				return t.Key, f, err
			})
		},
	},
}

// each draws a figure of everything that has something to draw, and names it by
// its key.
func each[T any](kind string, all []T, draw func(T) (string, *Figure, error)) ([]Drawn, error) {
	var drawn []Drawn
	var nothing error
	for _, x := range all {
		key, f, err := draw(x)
		switch {
		case errors.Is(err, ErrNoData):
			nothing = err
		case err != nil:
			return nil, err
		case key == "":
			drawn = append(drawn, Drawn{kind, f})
		default:
			drawn = append(drawn, Drawn{kind + "-" + key, f})
		}
	}
	if drawn == nil {
		return nil, nothing
	}
	return drawn, nil
}

func ofResult(name string, draw func(Set, *sim.Result) (*Figure, error)) kind {
	return single(
		name, "a result",
		func(m *Material) bool { return m.Result != nil },
		func(s Set, m *Material) (*Figure, error) { return draw(s, m.Result) },
	)
}

// single is a kind of which a material gives one.
func single(name, needs string, has func(*Material) bool, draw func(Set, *Material) (*Figure, error)) kind {
	return kind{name, needs, has, func(s Set, m *Material) ([]Drawn, error) {
		f, err := draw(s, m)
		if err != nil {
			return nil, err
		}
		return []Drawn{{name, f}}, nil
	}}
}

func drawPlans(s Set, m *Material) ([]Drawn, error) {
	var all []Drawn
	for _, p := range m.Plans {
		f, err := NewPlan(s, p)
		if err != nil {
			return nil, fmt.Errorf("the plan of %q: %w", p.Layout, err)
		}
		all = append(all, Drawn{fmt.Sprintf("plan-%d", 1+slices.Index(s.Layouts, p.Layout)), f})
	}
	return all, nil
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

// Draw draws the figures of a kind, one or more.
func (m *Material) Draw(name string, s Set) ([]Drawn, error) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return k.name == name })
	if i < 0 {
		names, _ := Kinds()
		return nil, fmt.Errorf("unknown figure %q; %s", name, known("figures", names))
	}
	if !kinds[i].has(m) {
		return nil, fmt.Errorf("figure %q is drawn from %s, which is not here; what is here gives: %s", name, kinds[i].needs, cmp.Or(strings.Join(m.Kinds(), "; "), "no figure"))
	}
	return kinds[i].draw(s, m)
}
