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
