package sim

import (
	"math"
	"testing"
)

// What the accounts leave open is no difference; what is more is, whatever its size.
func TestLess(t *testing.T) {
	for name, c := range map[string]struct{ a, b, want float64 }{
		"more":            {1400, 1300, 100},
		"less":            {-2, 3, -5},
		"rounding":        {355.3, 355.3000000001, 0},
		"just above it":   {1, 1 - 2e-9, 2e-9},
		"little":          {3e-12, 1e-12, 2e-12},
		"of nothing":      {0, 0, 0},
		"nothing of some": {0, 1e-12, -1e-12},
	} {
		t.Run(name, func(t *testing.T) {
			if got := Less(c.a, c.b); !(math.Abs(got-c.want) <= 1e-6*math.Abs(c.want)) {
				t.Errorf("%g less %g is %g, want %g", c.a, c.b, got, c.want)
			}
		})
	}
	if got := Less(math.NaN(), 1); !math.IsNaN(got) {
		t.Errorf("a run that failed less another is %g", got)
	}
}
