package estimate

import (
	"math"
	"testing"

	"pipelag/internal/check"
)

// TestMean: t(0.975, 4) = 2.776 (Student's table, as in any textbook), and the
// deviation of 1 to 5 is √2.5.
func TestMean(t *testing.T) {
	i := Mean([]float64{1, 2, 3, 4, 5})
	check.Within(t, 3, i.Mean, 1e-12, "mean")
	check.Within(t, 2.776*math.Sqrt(2.5/5), i.HalfWidth(), 5e-4, "half-width")
	if one := Mean([]float64{7}); one.Mean != 7 || !math.IsNaN(one.Low) || !math.IsNaN(one.High) {
		t.Errorf("of one: %+v", one)
	}
	if none := Mean(nil); !math.IsNaN(none.Mean) {
		t.Errorf("of none: %+v", none)
	}
}

func TestQuantiles(t *testing.T) {
	q := Quantiles([]float64{40, 10, 30, 20, 50}, 0, 0.1, 0.5, 1)
	for i, want := range []float64{10, 14, 30, 50} {
		check.Within(t, want, q[i], 1e-12, "quantile")
	}
	if !math.IsNaN(Quantiles(nil, 0.5)[0]) {
		t.Error("a quantile of none")
	}
}
