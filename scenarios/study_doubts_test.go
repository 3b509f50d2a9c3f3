package scenarios

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pipelag/schedules"
	"pipelag/schedules/household"
)

// What a factor cannot change is told with a study's results.
func TestStudyDoubts(t *testing.T) {
	const people, both, bedrooms = "n: {path: people, values: [2, 5]}", "n: {path: [people, bedrooms], values: [2, 5]}", "n: {path: bedrooms, values: [2, 5]}"
	const flow = "n: {path: 'fixtures.*.flow', values: [1 gpm, 2 gpm]}"
	doubts := func(factors, draws string) string {
		t.Helper()
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, "a.yaml"), []byte(sound+draws), 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := readStudy(filepath.Join(folder, "s.yaml"), folder, []byte("name: A study\nscenario: a.yaml\nsampling: grid\nfactors:\n  "+factors+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(s.Doubts(), "\n")
	}
	const stated = "bedrooms: 3\n"
	for _, c := range []struct{ name, factors, draws, says string }{
		{"people by whom bedrooms go", people, "", ""},
		{"people beside bedrooms", people, stated, `Factor "n": the volume drawn goes by bedrooms, which are stated beside people`},
		{"people and bedrooms", both, stated, ""},
		{"people, with bedrooms another factor", people + "\n  m: {path: bedrooms, values: [1, 2]}", "", `Factor "n": the volume drawn goes by bedrooms`},
		{"people of a stated volume", people, "draws: {daily: 200 L}\n", `Factor "n": the volume drawn is stated as draws.daily, however many people`},
		{"people unscaled", people, "draws: {total: unscaled}\n", `unscaled, as it is published, however many people`},
		{"people of a pattern", people, "draws: {pattern: 10 CFR 430 medium}\n", `that of the pattern, however many people`},
		{"bedrooms", bedrooms, "", ""},
		{"bedrooms of the benchmark", bedrooms, "draws: {total: benchmark}\n", ""},
		{"bedrooms unscaled", bedrooms, "draws: {total: unscaled}\n", `unscaled, as it is published, whatever the bedrooms are`},
		{"flow", flow, "", `Factor "n": the volume used is the same at any flow`},
		{"a flow of one", strings.Replace(flow, "*", "kitchen sink", 1), "", `Factor "n": the volume used is the same at any flow`},
		{"what else", "n: {path: heater.setpoint, from: 120 F, to: 140 F, steps: 2}", stated, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := doubts(c.factors, c.draws); !strings.Contains(got, c.says) || c.says == "" && got != "" {
				t.Errorf("%q", got)
			}
		})
	}
}

// By what the volume goes, as the schedule has it: doubts and help tell no more than is so.
func TestWhatVolumesGoBy(t *testing.T) {
	made := func(people, rest string) *household.Household {
		t.Helper()
		s, err := Parse("a.yaml", []byte(strings.Replace(sound, "people: 3", "people: "+people, 1)+rest))
		if err != nil {
			t.Fatal(err)
		}
		return s.House().Schedule.(*household.Household)
	}
	daily := func(people, rest string) float64 {
		h := made(people, rest)
		return h.Daily(schedules.Kitchen) + h.Daily(schedules.Shower)
	}
	for _, c := range []struct {
		draws   string
		changes bool // by bedrooms, or people where these are left out
	}{
		{"draws: {total: rated}\n", true},
		{"draws: {total: benchmark}\n", true},
		{"draws: {total: unscaled}\n", false},
		{"draws: {daily: 200 L}\n", false},
	} {
		base := daily("3", c.draws)
		for what, v := range map[string]struct {
			got     float64
			changes bool
		}{
			"people":                 {daily("5", c.draws), c.changes},
			"bedrooms":               {daily("3", c.draws+"bedrooms: 5\n"), c.changes},
			"people beside bedrooms": {daily("5", c.draws+"bedrooms: 2\n"), false}, // two are what three people are taken for
		} {
			if off := math.Abs(v.got/base - 1); v.changes != (off > 1e-9) {
				t.Errorf("%s%s: %g times the volume", c.draws, what, v.got/base)
			}
		}
	}
}

// At half the flow a household's draws last twice as long, but for the luck of which of them
// wanted less than the tap passes.
func TestVolumeAtAnyFlow(t *testing.T) {
	used := func(flow string) (volume float64) {
		s, err := Parse("a.yaml", []byte(strings.NewReplacer("1.5 gpm", flow, "2.0 gpm", flow).Replace(sound)))
		if err != nil {
			t.Fatal(err)
		}
		for r := range 3 {
			year := s.House().Schedule.Year(1, r)
			for day := range schedules.DaysPerYear {
				for _, w := range year.Day(day, nil) {
					volume += w.Flow * w.Duration
				}
			}
		}
		return volume
	}
	if ratio := used("0.8 gpm") / used("1.6 gpm"); math.Abs(ratio-1) > 0.02 {
		t.Errorf("%g times the volume at half the flow", ratio)
	}
}
