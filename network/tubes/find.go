package tubes

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"pipelag/internal/spelling"
)

// Find returns the tube of a kind and size as a scenario names them: copper L
// and 3/4, or copper EN 1057 and 22x1. Capitals, spaces and a unit after the
// size do not matter. The error names the nearest kinds, or the sizes there
// are.
func Find(kind, size string) (Tube, error) {
	var sizes []string
	wantedKind, wantedSize := spoken(kind), plainSize(size)
	for _, t := range known().tubes {
		if strings.ToLower(t.Kind) != wantedKind {
			continue
		}
		if t.Size == wantedSize {
			return t, nil
		}
		sizes = append(sizes, t.Size)
	}
	if sizes == nil {
		return Tube{}, fmt.Errorf("unknown tube %q; nearest: %s", kind, strings.Join(nearest(kind, kinds()), ", "))
	}
	return Tube{}, fmt.Errorf("tube %q has no size %q; sizes: %s", kind, size, strings.Join(sizes, ", "))
}

// FindSleeve returns the insulating material of a name. The error lists the
// names there are.
func FindSleeve(name string) (Material, error) {
	var names []string
	for _, m := range known().sleeves {
		if spoken(m.Name) == spoken(name) {
			return m, nil
		}
		names = append(names, m.Name)
	}
	return Material{}, fmt.Errorf("unknown insulation %q; known: %s", name, strings.Join(names, ", "))
}

// spoken is a name as it sounds: small letters, single spaces.
func spoken(name string) string { return strings.Join(strings.Fields(strings.ToLower(name)), " ") }

// plainSize strips what people put round a size: 3/4 in, 3/4", 1 1/4, 22 × 1
// mm.
func plainSize(size string) string {
	s := strings.ReplaceAll(spoken(size), "×", "x")
	for _, unit := range []string{"inch", "in", "\"", "mm"} {
		s = strings.TrimSpace(strings.TrimSuffix(s, unit))
	}
	s = strings.ReplaceAll(strings.ReplaceAll(s, " x", "x"), "x ", "x")
	return strings.ReplaceAll(s, " ", "-")
}

// nearest lists the few names most like the one asked for: those sharing the
// most words first, then those with the fewest letters to change.
func nearest(asked string, names []string) []string {
	asked = spoken(asked)
	if letters := []rune(asked); len(letters) > 64 {
		asked = string(letters[:64]) // nobody's spelling of a tube is longer
	}
	words := strings.Fields(asked)
	likeness := func(name string) (shared, edits int) {
		name = spoken(name)
		for _, w := range strings.Fields(name) {
			if slices.Contains(words, w) {
				shared++
			}
		}
		return shared, spelling.Edits(asked, name)
	}
	sorted := slices.Clone(names)
	slices.SortStableFunc(sorted, func(a, b string) int {
		sharedA, editsA := likeness(a)
		sharedB, editsB := likeness(b)
		return cmp.Or(cmp.Compare(sharedB, sharedA), cmp.Compare(editsA, editsB))
	})
	const offered = 4
	return sorted[:min(offered, len(sorted))]
}
