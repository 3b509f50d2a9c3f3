package main

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/sim"
	"pipelag/sim/control"
)

// TestControlColumn: the description of a column of controls gives every word that
// it may hold, and no other.
func TestControlColumn(t *testing.T) {
	want := []string{"none"}
	for _, p := range []sim.Pump{
		{Rule: control.Continuous{}},
		{Rule: control.Clock{}},
		{Rule: control.Clock{Aquastat: &control.Aquastat{}}},
		{Rule: control.Aquastat{}},
		{Rule: control.Demand{}},
		{Rule: control.Demand{}, Button: &control.Button{}},
		{Rule: control.Demand{}, Motion: &control.Motion{}},
		{Rule: control.Demand{}, Button: &control.Button{}, Motion: &control.Motion{}},
		{Rule: control.Learning{}},
		{Rule: control.Learning{Aquastat: &control.Aquastat{}}},
	} {
		want = append(want, p.ControlName())
	}
	words := strings.TrimPrefix(controlColumn.meaning, "how its pump is switched: ")
	slices.Sort(want)
	got := regexp.MustCompile(", or |, ").Split(words, -1)
	slices.Sort(got)
	require.Equal(t, slices.Compact(want), got)
}
