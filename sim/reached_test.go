package sim

import (
	"math"
	"testing"

	"pipelag/internal/check"
)

// A front that closes in on its hot end exponentially, 60 − 30·e^(−t), looked at when t
// is 0, 1 and 2, has come to T at ln(30/(60−T)). A straight line goes on as one, and so
// does a front that still steepens.
func TestReached(t *testing.T) {
	front := func(t float64) float64 { return 60 - 30*math.Exp(-t) }
	for _, to := range []float64{50, 52, 54, 55.5} {
		want := math.Log(30/(60-to)) - 1
		check.Within(t, want, reached(front(0), front(1), front(2), to), 1e-9, "exponential")
	}
	for _, to := range []float64{30, 30.5, 34, 39.9, 40} {
		want := (to - 30) / 10
		check.Within(t, want, reached(20, 30, 40, to), 1e-12, "straight")
		check.Within(t, want, reached(29, 30, 40, to), 1e-12, "steepening")
		check.Within(t, want, reached(35, 30, 40, to), 1e-12, "falling before")
		check.Within(t, want, reached(30, 30, 40, to), 1e-12, "level before")
	}
	check.Within(t, 0, reached(20, 45, 40, 44), 0, "passed already")
}
