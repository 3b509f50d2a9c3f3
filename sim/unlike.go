package sim

import (
	"cmp"
	"fmt"
	"slices"
)

// Unlike is why a layout's year is not held against those of others.
type Unlike int

const (
	Alike       Unlike = iota // it is
	ServesLess                // the supply passes some fixture less than through another layout, so that water, energy and cost are those of less use
	ThroughCold               // its loop returns through the cold line, which takes up heat of its surroundings, and the first's does not, or the other way round
)

var unlikeNames = []string{"", "serves less", "cold line"}

// String is the reason as results name it; nothing where there is none.
func (u Unlike) String() string { return unlikeNames[u] }

// MarshalText writes the reason as results name it, so that what is kept of it does not
// hang on the order of the reasons.
func (u Unlike) MarshalText() ([]byte, error) { return []byte(u.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (u *Unlike) UnmarshalText(text []byte) error {
	k := slices.Index(unlikeNames, string(text))
	if k < 0 {
		return fmt.Errorf("%q is no reason why a layout is unlike the first; write %q, %q or nothing", text, ServesLess, ThroughCold)
	}
	*u = Unlike(k)
	return nil
}

// Unlike tells of each layout why it is not held against the first; of the first, why
// none is held against it. Against joins the two.
func (r *Result) Unlike() []Unlike {
	all := make([]Unlike, len(r.Layouts))
	crosses := func(layout int) bool { return r.Layouts[layout].Crossover != nil }
	for i := range all {
		switch {
		case r.servesLess(i):
			all[i] = ServesLess
		case crosses(i) != crosses(0):
			all[i] = ThroughCold
		}
	}
	return all
}

// Against is why a layout, of which this is told, is not held against a first one, of
// which first is told: for the first's sake or its own. It is Alike where it is held.
func (u Unlike) Against(first Unlike) Unlike { return cmp.Or(first, u) }

// servesLess tells whether the supply passes some fixture less through layout i than
// through another.
func (r *Result) servesLess(i int) bool {
	for _, s := range r.Layouts[i].Shortfalls {
		for k := range r.Layouts {
			if s.share() < sameFlow*r.Layouts[k].serves(s.Fixture) {
				return true
			}
		}
	}
	return false
}

// serves is the share of its rated flow that a fixture gets.
func (l *LayoutResult) serves(fixture string) float64 {
	for _, s := range l.Shortfalls {
		if s.Fixture == fixture {
			return s.share()
		}
	}
	return 1
}
