package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/schedules"
)

// A tap that takes no hot water, as a person turns it or as its cold side is warm, wants
// nothing else until that changes: its pipes need not be looked at again.
func TestMixTellsOfChangesAlone(t *testing.T) {
	const flow = 1e-4
	cold := draw{Wish: schedules.Wish{Kind: schedules.Brief, Flow: flow}, passed: 1, stage: using}
	require.False(t, cold.mix(), "a brief opening of the cold side")
	require.Zero(t, cold.hot)

	d := draw{Wish: schedules.Wish{Kind: schedules.Washing, Flow: flow, Mixed: 40}, passed: 1, stage: using, seen: 30, cold: 10}
	require.True(t, d.mix(), "opened on the hot side")
	require.Equal(t, flow, d.hot, "which is too cool")
	require.False(t, d.mix())
	d.seen = 50
	require.True(t, d.mix(), "hot water has come")
	require.InEpsilon(t, flow*30/40, d.hot, 1e-12, "(40 − 10)/(50 − 10) of the flow")
	d.seen = 50.1
	require.False(t, d.mix(), "less than a person follows")
	d.cold = 40
	require.True(t, d.mix(), "the cold side has become as warm as is wanted")
	require.Zero(t, d.hot)
	require.False(t, d.mix())
	d.cold = 39.99
	require.True(t, d.mix(), "and is cooler again")
	require.Positive(t, d.hot)
}
