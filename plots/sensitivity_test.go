package plots

import (
	"strings"
	"testing"

	"pipelag/sim"
)

// Indices that too few samples give, wider than all that they can be, are doubted in the
// caption; usual ones are not. What is said besides ends it.
func TestSensitivityCaption(t *testing.T) {
	usual, doubtful := shares(), shares()
	usual.Notes = []string{"One is left out."}
	doubtful.Factors = append(doubtful.Factors, Factor{"climate", sim.Interval{Mean: 0.4, Low: -0.1, High: 0.95}, sim.Interval{Mean: 1.5, Low: -0.8, High: 3.9}})
	for of, want := range map[*Sensitivity]bool{&usual: false, &doubtful: true} {
		f, err := NewSensitivity(Set{}, *of)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(f.Caption(), "too few samples"); got != want {
			t.Errorf("%t in %q", got, f.Caption())
		}
		if got := strings.Contains(f.Caption(), "One is left out."); got == want {
			t.Errorf("%t in %q", got, f.Caption())
		}
	}
}
