package schedules

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCheckFixtures(t *testing.T) {
	good := Fixture{Name: "sink", Use: Kitchen, Flow: 1e-4, Usable: 40.6}
	require.NoError(t, CheckFixtures([]Fixture{good}))
	for name, c := range map[string]struct {
		spoil func(*Fixture)
		want  string
	}{
		"no name":      {func(f *Fixture) { f.Name = "" }, `fixture "": number 2 has no name`},
		"name taken":   {func(f *Fixture) { f.Name = "sink" }, `fixture "sink": the name is taken`},
		"use":          {func(f *Fixture) { f.Use = Use(Uses) }, `end use 6 is unknown`},
		"no flow":      {func(f *Fixture) { f.Flow = 0 }, `flow is 0 L/s; it must be from 0.001 to 2`},
		"NaN flow":     {func(f *Fixture) { f.Flow = math.NaN() }, `flow is NaN L/s`},
		"endless flow": {func(f *Fixture) { f.Flow = math.Inf(1) }, `flow is +Inf L/s`},
		"NaN usable":   {func(f *Fixture) { f.Usable = math.NaN() }, `usable temperature is NaN`},
		"boiling":      {func(f *Fixture) { f.Usable = 101 }, `usable temperature is 101 °C; it must be from 0 to 100`},
	} {
		t.Run(name, func(t *testing.T) {
			bad := Fixture{Name: "basin", Use: Lavatory, Flow: 1e-4, Usable: 40.6}
			c.spoil(&bad)
			require.ErrorContains(t, CheckFixtures([]Fixture{good, bad}), c.want)
		})
	}
	require.EqualError(t, CheckFixtures(nil), "no fixtures; a house needs at least one")
}

func TestNames(t *testing.T) {
	seen := map[string]bool{}
	for u := range Use(Uses) {
		seen[u.String()] = true
	}
	for k := Washing; k <= Appliance; k++ {
		seen[k.String()] = true
	}
	require.Len(t, seen, Uses+4)
}
