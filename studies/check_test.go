package studies

import (
	"fmt"
	"strings"
	"testing"
)

// TestEndOfRange refuses a study whose range has an end that no house can be made
// with, where the study says it. A heater keeps 35 to 90 C (scenarios: temperature
// of a set point).
func TestEndOfRange(t *testing.T) {
	wrong := func(place, end string) string {
		return fmt.Sprintf("%s: factor \"setpoint\": with %s no house can be made: %q is out of range; give a temperature from 35.0 C (95.0 F) to 90.0 C (194.0 F)", place, end, end)
	}
	for name, c := range map[string]struct {
		factor string
		want   []string
	}{
		"sound":            {"from: 45 C, to: 60 C", nil},
		"upper end":        {"from: 50 C, to: 91 C", []string{wrong("study.yaml:8:53", "91 C")}},
		"upper end, far":   {"from: 50 C, to: 160 C", []string{wrong("study.yaml:8:53", "160 C")}},
		"both ends":        {"from: 30 C, to: 95 C", []string{wrong("study.yaml:8:43", "30 C"), wrong("study.yaml:8:53", "95 C")}},
		"both ends, far":   {"from: 30 C, to: 160 C", []string{wrong("study.yaml:8:43", "30 C"), wrong("study.yaml:8:53", "160 C")}},
		"nothing is sound": {"from: 100 C, to: 160 C", []string{"study.yaml:8:3: factor"}},
	} {
		t.Run(name, func(t *testing.T) {
			err := load(t, "values: [50 C, 60 C]", c.factor, "from: 2 m", "from: 3 m").Check()
			if c.want == nil {
				if err != nil {
					t.Error(err)
				}
				return
			}
			if err == nil {
				t.Fatal("not refused")
			}
			lines := strings.Split(err.Error(), "\n")
			if len(lines) != len(c.want) {
				t.Fatal(err)
			}
			for i, line := range lines {
				if line = line[strings.LastIndex(line, "/")+1:]; !strings.HasPrefix(line, c.want[i]) {
					t.Errorf("got %s, want %s", line, c.want[i])
				}
			}
		})
	}
}

// TestEndBesideList refuses an end of a range only if it fails beside every value of the
// lists, which need not be the first. A heater must be hotter than what is usable, or
// the basin would wait for ever.
func TestEndBesideList(t *testing.T) {
	study := func(usable, more string) *Cases {
		return load(t, "values: [50 C, 60 C]", "from: 45 C, to: 60 C}\n  usable: {path: fixtures.basin.usable, values: "+usable+more, "from: 2 m", "from: 3 m")
	}
	for name, usable := range map[string]string{"first": "[40 C, 50 C]", "second": "[50 C, 40 C]", "last": "[50 C, 52 C, 40 C]"} {
		t.Run(name, func(t *testing.T) {
			if err := study(usable, "").Check(); err != nil {
				t.Error(err)
			}
		})
	}
	t.Run("other lists", func(t *testing.T) {
		if err := study("[50 C, 40 C]", "}\n  people: {path: people, values: [1, 2]").Check(); err != nil {
			t.Error(err)
		}
	})
	t.Run("none", func(t *testing.T) {
		err := study("[50 C, 49 C]", "").Check()
		if err == nil || !strings.Contains(err.Error(), `study.yaml:8:43: factor "setpoint": with 45 C no house can be made: `) || strings.Contains(err.Error(), "\n") {
			t.Error(err)
		}
	})
}

// TestEndNoMistake names the factor and the end where what keeps a house from being made
// is no mistake in a file: here the layout that is to run loses its name to a number.
func TestEndNoMistake(t *testing.T) {
	c := load(t, "narrow", "5 m", "sampling: halton\nsamples: 5", "sampling: grid", "length: {path: ['layouts[wide].pipes[1].length', 'layouts[narrow].pipes[1].length'], from: 2 m, to: 9 m}", "called: {path: 'layouts[5 m].name', from: 5 m, to: 6 m, steps: 2}")
	err := c.Check()
	want := `factor "called": with 6 m no house can be made: a factor has renamed a layout that is to run; let factors change what layouts are made of`
	if err == nil || !strings.HasSuffix(err.Error(), want) || strings.Contains(err.Error(), "\n") {
		t.Errorf("got %v, want %s", err, want)
	}
}
