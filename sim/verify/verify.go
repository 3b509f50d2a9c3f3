// Package verify holds the program against values found outside of it: exact
// solutions, published tables, standards, measured cases. Each check is one
// Line that says where its value comes from and whether that was read.
//
// A value from memory is shown and cannot fail; so is one whose own source is
// known to be about something a little different, which its note says.
//
// Not checked here: prices, carbon, the cautions, and anything for which no
// value from outside is known.
package verify

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Verdict is what a check came to.
type Verdict string

// The verdicts.
const (
	Pass  Verdict = "pass"
	Fail  Verdict = "FAIL"
	Shown Verdict = "shown" // not judged
)

// Line is one quantity as published and as computed.
type Line struct {
	Group     string   `json:"group"`
	Subject   string   `json:"subject"`
	Quantity  string   `json:"quantity"` // of the subject
	Unit      string   `json:"unit"`     // - for a share or a ratio
	Published float64  `json:"published"`
	Computed  float64  `json:"computed"`
	Deviation float64  `json:"deviation"` // computed less published, as a share of published where relative
	Tolerance *float64 `json:"tolerance"` // the largest deviation that passes; nil where none is set
	Relative  bool     `json:"relative"`
	Verdict   Verdict  `json:"verdict"`
	Source
}

// Source is where a value comes from.
type Source struct {
	Title  string `json:"source"`
	Status string `json:"status"`         // read, memory, derived, computed or practice
	Note   string `json:"note,omitempty"` // what a reader of the deviation must know
}

// group is a set of checks of one kind.
type group struct {
	name  string
	about string
	lines func(context.Context) ([]Line, error)
}

// In the order in which they are shown.
var groups = []group{
	{"exact", "exact solutions", exactSolutions},
	{"tables", "published tables", publishedTables},
	{"standards", "what standards prescribe", standards},
	{"measured", "measured cases", measured},
	{"solvers", "another solver", solvers},
	{"practice", "common practice", practice},
	{"controls", "controls of circulation pumps", controls},
	{"grid", "convergence of the grid", gridConvergence},
	{"balance", "balance of heat", balance},
}

// Groups are the names of the groups and what each holds, in their order.
func Groups() (names, about []string) {
	for _, g := range groups {
		names, about = append(names, g.name), append(about, g.about)
	}
	return names, about
}

// ErrGroup refuses a name that is not one of Groups.
var ErrGroup = errors.New("unknown group")

// Run works out the checks of the named groups, or of all if none is named, in
// the order of Groups. It stops, with an error, when ctx ends.
func Run(ctx context.Context, wanted ...string) ([]Line, error) {
	names, _ := Groups()
	for _, w := range wanted {
		if !slices.Contains(names, w) {
			return nil, fmt.Errorf("%w %q; there are %s", ErrGroup, w, strings.Join(names, ", "))
		}
	}
	var all []Line
	for _, g := range groups {
		if len(wanted) > 0 && !slices.Contains(wanted, g.name) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		lines, err := g.lines(ctx)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", g.about, err)
		}
		for _, l := range lines {
			l.Group = g.name
			all = append(all, l)
		}
	}
	return all, nil
}

// noTolerance stands where a deviation is shown and not judged.
const noTolerance = 0.0

// topic is a subject whose quantities have one unit.
type topic struct{ subject, unit string }

// relative compares by the deviation as a share of the published value.
func (t topic) relative(quantity string, published, computed, tolerance float64, s Source) Line {
	return judged(Line{
		Subject: t.subject, Quantity: quantity, Unit: t.unit, Published: published, Computed: computed,
		Deviation: computed/published - 1, Relative: true, Source: s,
	}, tolerance)
}

// absolute compares by the deviation in the unit of the value.
func (t topic) absolute(quantity string, published, computed, tolerance float64, s Source) Line {
	return judged(Line{
		Subject: t.subject, Quantity: quantity, Unit: t.unit, Published: published, Computed: computed,
		Deviation: computed - published, Source: s,
	}, tolerance)
}

// judged sets the tolerance and the verdict; a deviation of NaN fails.
func judged(l Line, tolerance float64) Line {
	if tolerance > 0 {
		l.Tolerance = &tolerance
	}
	switch {
	case !(math.Abs(l.Deviation) <= math.MaxFloat64):
		l.Verdict = Fail
	case l.Tolerance == nil || l.Status == "memory":
		l.Verdict = Shown
	case math.Abs(l.Deviation) <= tolerance:
		l.Verdict = Pass
	default:
		l.Verdict = Fail
	}
	return l
}
