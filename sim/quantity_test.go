package sim

import (
	"encoding/json"
	"math"
	"testing"
)

// A year read back that lacks a quantity, or has a word in its place, is told by its key.
func TestYearsReadBack(t *testing.T) {
	for text, want := range map[string]string{
		`{}`:                        "no purged_L",
		`{"purged_L": "something"}`: "purged_L: json: cannot unmarshal string into Go value of type float64",
	} {
		if err := json.Unmarshal([]byte(text), new(Values)); err == nil || err.Error() != want {
			t.Errorf("%s: got %v, want %q", text, err, want)
		}
	}
	if err := json.Unmarshal([]byte(`{}`), new(Intervals)); err == nil || err.Error() != "no purged_L" {
		t.Errorf("intervals: %v", err)
	}
}

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
