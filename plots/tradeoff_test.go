package plots

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/recorder"

	"pipelag/sim"
	"pipelag/units"
)

// TestCrossoversApart: a layout with a crossover is beaten only by another, and beats
// none without.
func TestCrossoversApart(t *testing.T) {
	r := courtyard(t)
	require.Equal(t, []string{"home run, 3/8", "pumped continuously", "pumped on demand"}, onFrontier(t, r))
	r.Layouts[2].Crossover = &sim.CrossoverResult{At: "kitchen sink"}
	require.Equal(t, []string{"home run, 3/8", "home run, 3/8, far manifold", "pumped continuously", "pumped on demand"}, onFrontier(t, r))
}

// TestServingLessOffTheFrontier: a layout that serves less than another beats none,
// crossover or not, and is told of and drawn as a ring.
func TestServingLessOffTheFrontier(t *testing.T) {
	const why = "fixtures get less water with that layout than with another"
	drawn := func(r *sim.Result) (rings int, caption string) {
		f, err := NewTradeoff(NewSet(r, units.SI, OneColumn), r)
		require.NoError(t, err)
		w := &textWatch{}
		f.draw(newPage(w, f.width, f.height))
		for _, a := range w.Actions {
			if c, ok := a.(*recorder.SetColor); ok && c.Color == white {
				rings++
			}
		}
		return rings, f.Caption()
	}
	r := courtyard(t)
	before, caption := drawn(r)
	require.NotContains(t, caption, why)
	less := []sim.Shortfall{{Fixture: "kitchen sink", Rated: 1e-4, Passed: 5e-5}}
	r.Layouts[2].Shortfalls = less
	require.Equal(t, "home run, 3/8", r.Layouts[2].Name)
	require.Equal(t, []string{"home run, 3/8, far manifold", "pumped continuously", "pumped on demand"}, onFrontier(t, r))
	rings, caption := drawn(r)
	require.Equal(t, before+1, rings)
	require.Contains(t, caption, "What has a hollow dot is on no frontier: "+why+".")

	r.Layouts[2].Crossover = &sim.CrossoverResult{At: "kitchen sink"}
	require.NotContains(t, onFrontier(t, r), "home run, 3/8")
	_, caption = drawn(r)
	require.NotContains(t, caption, "a frontier of their own", "there is but one")

	for i := range r.Layouts { // none less than another
		r.Layouts[i].Shortfalls = less
	}
	require.Contains(t, onFrontier(t, r), "home run, 3/8")
	_, caption = drawn(r)
	require.NotContains(t, caption, why)
}

// TestNamesBesideTheirDots holds each name of a layout to stand nearer to its own dot
// than to any other, or to be led to, and within the panel.
func TestNamesBesideTheirDots(t *testing.T) {
	close := courtyard(t) // so close that no name has room beside its dot alone
	for i := range close.Layouts {
		for _, q := range []sim.Quantity{sim.Purged, sim.HeaterInput, sim.PumpInput} {
			v := &close.Layouts[i].Annual[q]
			v.Mean = close.Layouts[0].Annual[q].Mean * (1 + 0.01*float64(i%3))
			v.Low, v.High = v.Mean*0.9, v.Mean*1.1
		}
	}
	wide := courtyard(t) // as of two years
	for i := range wide.Layouts {
		for q := range wide.Layouts[i].Annual {
			v := &wide.Layouts[i].Annual[q]
			v.Low, v.High = 0.7*v.Mean, 1.3*v.Mean
		}
	}
	for k, r := range []*sim.Result{courtyard(t), close, wide} {
		for _, width := range []Width{OneColumn, TwoColumns} {
			for _, both := range []bool{false, true} {
				s := NewSet(r, units.US, width)
				s.Opposite = both
				f, err := NewTradeoff(s, r)
				require.NoError(t, err)
				w := &textWatch{}
				f.draw(newPage(w, f.width, f.height))
				var dots []vg.Point
				for _, a := range w.Actions {
					if fill, ok := a.(*recorder.Fill); ok && len(fill.Path) > 1 && fill.Path[1].Type == vg.ArcComp {
						dots = append(dots, fill.Path[1].Pos)
					}
				}
				require.Len(t, dots, len(r.Layouts))
				for i := range r.Layouts {
					name := w.whole(r.Layouts[i].Name)
					require.NotNil(t, name, r.Layouts[i].Name)
					require.LessOrEqual(t, float64(name.Max.X), float64(f.width-8-s.opposite(units.Volume).besides()), "%d %s leaves the panel", k, r.Layouts[i].Name)
					led := false
					for _, line := range w.lines {
						led = led || len(line) == 2 && line[0] == dots[i] && away(*name, line[1]) < 2
					}
					for j := range dots {
						if j != i && !led {
							require.Less(t, away(*name, dots[i]), away(*name, dots[j]), "%d %s beside the dot of %s, %v", k, r.Layouts[i].Name, r.Layouts[j].Name, both)
						}
					}
				}
			}
		}
	}
}

// onFrontier names the layouts on the frontiers.
func onFrontier(tb testing.TB, r *sim.Result) (named []string) {
	f, err := NewTradeoff(NewSet(r, units.SI, OneColumn), r)
	require.NoError(tb, err)
	_, rows := f.Data()
	for _, row := range rows {
		if row[len(row)-1] == "yes" {
			named = append(named, row[0])
		}
	}
	return named
}
