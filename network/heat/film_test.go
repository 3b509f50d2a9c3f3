package heat

import (
	"math"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
)

// Colebrook's equation for a smooth tube, solved by iteration.
func colebrook(re float64) float64 {
	inverseRoot := 6.0
	for range 50 {
		inverseRoot = -2 * math.Log10(2.51*inverseRoot/re)
	}
	return 1 / (inverseRoot * inverseRoot)
}

func TestFilonenkoAgainstColebrook(t *testing.T) {
	for re := float64(turbulentBegin); re <= 1e6; re *= 1.1 {
		limit := 0.02
		if re < 1e4 {
			limit = 0.04
		}
		check.Alike(t, colebrook(re), friction(re), limit, "friction")
	}
}

// Petukhov & Kirillov 1958, the correlation from which Gnielinski's departs:
// the two meet at high Reynolds numbers, and Gnielinski's is lower below 1e4
// where Petukhov's does not hold.
func TestGnielinskiAgainstPetukhov(t *testing.T) {
	petukhov := func(re, pr float64) float64 {
		eighth := friction(re) / 8
		return eighth * re * pr / (1.07 + 12.7*math.Sqrt(eighth)*(math.Pow(pr, 2.0/3)-1))
	}
	for _, pr := range []float64{2, 4, 7, 13} {
		for re := 1e4; re <= 1e6; re *= 1.3 {
			check.Alike(t, petukhov(re, pr), gnielinski(re, pr), 0.10, "Nusselt")
		}
		assert.Less(t, gnielinski(turbulentBegin, pr), petukhov(turbulentBegin, pr))
	}
}

func TestNusseltIsContinuousAndGrows(t *testing.T) {
	for _, pr := range []float64{1.8, 4, 7, 13.5} {
		before := nusselt(0, pr)
		check.Alike(t, 4.364, before, 1e-4, "laminar") // Nu for an even heat flux, 48/11
		for re := 1.0; re < 60000; re++ {
			nu := nusselt(re, pr)
			if !(nu >= before && nu-before < 0.2) {
				t.Fatalf("Nu jumps from %g to %g at Re %g, Pr %g", before, nu, re, pr)
			}
			before = nu
		}
	}
}
