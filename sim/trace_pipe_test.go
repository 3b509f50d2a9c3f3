package sim

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/network/heat"
)

// What a pipe of a trace states is among its coefficients explained, to the last bit.
func TestTracePipesExplained(t *testing.T) {
	trace, err := NewTrace(cottage(t), TraceOptions{})
	require.NoError(t, err)
	require.NotEmpty(t, trace.Pipes)
	for _, p := range trace.Pipes {
		for what, stated := range map[string]float64{"water": p.Water, "inner": p.Inner, "outer": p.Outer} {
			if !slices.ContainsFunc(p.Explained, func(c heat.Coefficient) bool { return c.Value == stated }) {
				t.Errorf("%s to %s, %s: %s of %g is not explained: %+v", p.From, p.To, p.Tube, what, stated, p.Explained)
			}
		}
	}
}
