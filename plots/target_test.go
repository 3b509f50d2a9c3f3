package plots

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/units"
)

// TestStepped counts homes at limits between those that were tried: where these are
// all values that homes have, the steps are what a count gives, of a ceiling as of a
// floor.
func TestStepped(t *testing.T) {
	homes := []float64{0, 0, 12.7, 25.4}
	tried := []float64{0, 12.7, 25.4}
	for _, floor := range []bool{true, false} {
		count := func(limit float64) float64 {
			n := 0.0
			for _, x := range homes {
				if floor && x >= limit || !floor && x <= limit {
					n++
				}
			}
			return n
		}
		var counts []float64
		for _, limit := range tried {
			counts = append(counts, count(limit))
		}
		xs, ys := stepped(tried, counts, floor)
		for _, limit := range []float64{0.1, 6.35, 12.6, 12.8, 19, 25.3} {
			found := 0
			for k := 1; k < len(xs); k++ {
				if xs[k-1] < limit && limit < xs[k] {
					found++
					require.Equal(t, ys[k-1], ys[k])
					require.Equal(t, count(limit), ys[k], "at %g, a floor: %t", limit, floor)
				}
			}
			require.Equal(t, 1, found)
		}
	}
}

// TestTargetLevel: of a floor with two values, such as no insulation and some, no
// line slopes from one to the other.
func TestTargetLevel(t *testing.T) {
	x := target()
	x.AtLeast, x.Of, x.Knee, x.Points = true, units.Thickness, 1, []TargetPoint{{0, 1, 1, x.Points[7].Saving}, {0.0127, 0, 1, x.Points[0].Saving}}
	f, err := NewTarget(NewSet(courtyard(t), units.US, OneColumn), x)
	require.NoError(t, err)
	require.Contains(t, f.Caption(), "Dots are the limits that were tried; one between two is drawn as the stricter of them.")
	w := &textWatch{}
	f.draw(newPage(w, f.width, f.height))
	require.NotEmpty(t, w.lines)
	for _, line := range w.lines {
		for k := 1; k < len(line); k++ {
			require.True(t, line[k].X == line[k-1].X || line[k].Y == line[k-1].Y, "from %v to %v", line[k-1], line[k])
		}
	}
}

// TestKneeClear holds what names the knee to stand where no line runs, wherever the
// knee is.
func TestKneeClear(t *testing.T) {
	for _, width := range []Width{OneColumn, TwoColumns} {
		for _, both := range []bool{false, true} {
			s := NewSet(courtyard(t), units.US, width)
			s.Opposite = both
			for x := target(); x.Knee >= 0; x.Knee-- {
				f, err := NewTarget(s, x)
				require.NoError(t, err)
				w := &textWatch{}
				f.draw(newPage(w, f.width, f.height))
				named := 0
				for _, text := range w.seen {
					if !strings.HasPrefix(text.text, "knee: ") {
						continue
					}
					named++
					for _, line := range w.lines {
						for k := 1; k < len(line); k++ {
							require.False(t, crosses(line[k-1], line[k], text.Rectangle), fmt.Sprint(text.text, line))
						}
					}
				}
				require.Equal(t, 1, named)
			}
		}
	}
}
