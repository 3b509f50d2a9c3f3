package plots

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/sim"
	"pipelag/units"
)

// TestCrossoversApart: a layout with a crossover is beaten only by another, and beats
// none without.
func TestCrossoversApart(t *testing.T) {
	r := courtyard(t)
	onFrontier := func() []string {
		f, err := NewTradeoff(NewSet(r, units.SI, OneColumn), r)
		require.NoError(t, err)
		_, rows := f.Data()
		var named []string
		for _, row := range rows {
			if row[len(row)-1] == "yes" {
				named = append(named, row[0])
			}
		}
		return named
	}
	require.Equal(t, []string{"home run, 3/8", "pumped continuously", "pumped on demand"}, onFrontier())
	r.Layouts[2].Crossover = &sim.CrossoverResult{At: "kitchen sink"}
	require.Equal(t, []string{"home run, 3/8", "home run, 3/8, far manifold", "pumped continuously", "pumped on demand"}, onFrontier())
}
