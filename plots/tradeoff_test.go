package plots

import (
	"testing"

	"github.com/stretchr/testify/require"
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
