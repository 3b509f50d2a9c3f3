package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/sim/control"
	"pipelag/studies"
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

// TestFactorNames: a factor is refused that is called as a column is that stands beside the
// factors' in a table.
func TestFactorNames(t *testing.T) {
	study := func(factor string) (*scenarios.Study, error) {
		path := filepath.Join(t.TempDir(), "study.yaml")
		require.NoError(t, os.WriteFile(path, fmt.Appendf(nil, "name: x\nscenario: courtyard\nsampling: grid\nfactors:\n  %s: {path: people, values: [1]}\n", factor), 0o644))
		return scenarios.LoadStudy(path)
	}
	s, err := study("own")
	require.NoError(t, err)
	for _, table := range runTables(&studies.Cases{Study: s}, "USD") {
		for _, c := range table.columns {
			if c.name == "own" {
				continue
			}
			_, err := study(c.name)
			require.ErrorContains(t, err, fmt.Sprintf("a factor is called %q, as a column of results is; give it another name", c.name))
		}
	}
}
