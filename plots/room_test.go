package plots

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/units"
)

// TestNothingClipped holds every text of every figure within its page and apart
// from every other text.
func TestNothingClipped(t *testing.T) {
	figures := every(t)
	many := crowded(t)
	crowd := Material{Result: many}
	for _, width := range []Width{OneColumn, TwoColumns} {
		for _, both := range []bool{false, true} {
			for _, kind := range crowd.Kinds() {
				s := NewSet(many, units.SI, width)
				s.Opposite = both
				drawn, err := crowd.Draw(kind, s)
				require.NoError(t, err)
				figures[fmt.Sprintf("crowded %s-%d-%t", kind, width+1, both)] = drawn[0].Figure
			}
		}
	}
	for _, width := range []Width{OneColumn, TwoColumns} {
		f, err := NewPlan(NewSet(courtyard(t), units.SI, width), crowdedPlan(t))
		require.NoError(t, err)
		require.LessOrEqual(t, float64(f.height), float64(235*vg.Millimeter), "taller than a page")
		figures[fmt.Sprintf("crowded plan-%d", width+1)] = f
	}
	unsure := courtyard(t) // as of two years
	for i := range unsure.Layouts {
		for q := range unsure.Layouts[i].Annual {
			v := &unsure.Layouts[i].Annual[q]
			v.Low, v.High = 0.7*v.Mean, 1.3*v.Mean
		}
	}
	for _, kind := range []string{"water", "energy", "tradeoff"} {
		drawn, err := (&Material{Result: unsure}).Draw(kind, NewSet(unsure, units.US, OneColumn))
		require.NoError(t, err)
		figures["unsure "+kind] = drawn[0].Figure
	}
	large := courtyard(t) // as of a town
	for i := range large.Layouts {
		for q := range large.Layouts[i].Annual {
			v := &large.Layouts[i].Annual[q]
			v.Mean, v.Low, v.High = 1e5*v.Mean, 1e5*v.Low, 1e5*v.High
		}
	}
	for _, kind := range []string{"water", "energy"} {
		for _, width := range []Width{OneColumn, TwoColumns} {
			drawn, err := (&Material{Result: large}).Draw(kind, NewSet(large, units.SI, width))
			require.NoError(t, err)
			figures[fmt.Sprintf("large %s-%d", kind, width+1)] = drawn[0].Figure
		}
	}
	never := traces(t)
	never[0].Openings[0].Wait, never[2].Openings[1].Wait = nil, nil
	for _, some := range [][]*sim.Trace{never, never[:1]} {
		f, err := NewTap(NewSet(many, units.SI, OneColumn), some)
		require.NoError(t, err)
		figures[fmt.Sprintf("never hot, of %d", len(some))] = f
	}
	for _, both := range []bool{false, true} {
		s := NewSet(many, units.US, OneColumn)
		s.Opposite = both
		f, err := NewWeek(s, Week{[]string{"tap"}, []schedules.Wish{{Flow: 1e-4, Duration: 60}}, 0})
		require.NoError(t, err)
		figures[fmt.Sprintf("week of a short name %t", both)] = f
	}
	for name, f := range figures {
		w := &textWatch{}
		f.draw(newPage(w, f.width, f.height))
		require.NotEmpty(t, w.seen, name)
		for i, a := range w.seen {
			inside := a.Min.X >= 0 && a.Min.Y >= 0 && a.Max.X <= f.width+0.01 && a.Max.Y <= f.height
			if !inside {
				t.Errorf("%s: %q leaves the page", name, a.text)
			}
			for _, b := range w.seen[:i] {
				over := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
				high := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
				if over > 0.2 && high > 0.2 {
					t.Errorf("%s: %q lies on %q", name, a.text, b.text)
				}
			}
		}
	}
}

// TestNumbersUncrossed holds what leads from lines to their names to begin beyond
// the column of numbers in between, and no line to cross a number.
func TestNumbersUncrossed(t *testing.T) {
	many := crowded(t)
	alike := courtyard(t) // whose lines all end at a number
	for i := range alike.Layouts {
		alike.Layouts[i].Months[11] = sim.Values{sim.Purged: 31 * 0.02}
	}
	figures := every(t)
	for name, r := range map[string]*sim.Result{"crowded": many, "alike": alike} {
		s := NewSet(r, units.US, OneColumn)
		s.Opposite = true
		f, err := NewMonths(s, r)
		require.NoError(t, err)
		figures["months "+name] = f
	}
	numbered := regexp.MustCompile(`^[-–]?[\d\x{a0}]+(\.\d+)?$`)
	for name, f := range figures {
		if kind, _, _ := strings.Cut(name, "-"); !strings.HasPrefix(kind, "months") && kind != "cooldown" && kind != "profiles" {
			continue
		}
		w := &textWatch{}
		f.draw(newPage(w, f.width, f.height))
		require.NotEmpty(t, w.lines, name)
		columns := 0
		for _, text := range w.seen {
			if !numbered.MatchString(text.text) {
				continue
			}
			column := text.Rectangle
			tied := func(line []vg.Point) bool {
				return len(line) == 2 && line[0].Y == line[1].Y && line[1].X < text.Min.X && text.Min.X-line[1].X < 1.01 && line[1].Y > text.Min.Y && line[1].Y < text.Max.Y
			}
			if slices.ContainsFunc(w.lines, tied) { // the far scale: from one number half way to the next
				columns++
				column.Min.Y, column.Max.Y = column.Min.Y-8, column.Max.Y+8
			}
			for _, line := range w.lines {
				for k := 1; k < len(line); k++ {
					if crosses(line[k-1], line[k], column) {
						t.Errorf("%s: a line from %v to %v crosses %q in %v", name, line[k-1], line[k], text.text, text.Rectangle)
					}
				}
			}
		}
		require.Equal(t, strings.HasSuffix(name, "both") || name == "months crowded" || name == "months alike", columns > 0, name)
	}
}

// TestDaily: what is told for a day is told so in both units.
func TestDaily(t *testing.T) {
	r := courtyard(t)
	s := NewSet(r, units.US, OneColumn)
	s.Opposite = true
	f, err := NewMonths(s, r)
	require.NoError(t, err)
	w := &textWatch{}
	f.draw(newPage(w, f.width, f.height))
	require.NotNil(t, w.whole("Water purged, gal a day"))
	require.NotNil(t, w.whole("L a day"))
	require.NotNil(t, w.whole("°C"))
}

// TestWrapKeepsUnits: a line is not broken between a number and its unit.
func TestWrapKeepsUnits(t *testing.T) {
	width := label.width("copper L 3/4, 0.75")
	require.Equal(t, []string{"copper L 3/4,", "0.75 in foam"}, label.wrap("copper L 3/4, 0.75 in foam", width, 2))
	require.Equal(t, []string{"one", "2", "3 in", "four"}, words("one 2 3 in four"))
}

// crosses tells whether some of a hundred points between two lie in a rectangle.
func crosses(a, b vg.Point, r vg.Rectangle) bool {
	for k := range 101 {
		share := vg.Length(k) / 100
		x, y := a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y)
		if x > r.Min.X && x < r.Max.X && y > r.Min.Y && y < r.Max.Y {
			return true
		}
	}
	return false
}
