package decimal

import (
	"math"
	"testing"
)

// TestLast: rounded by hand.
func TestLast(t *testing.T) {
	for _, c := range []struct {
		x             float64
		figures, want int
	}{
		{9.994, 3, -2},   // 9.99
		{9.996, 3, -1},   // 10.0
		{-9.996, 3, -1},  // -10.0
		{999.6, 3, 1},    // 1000
		{0.09996, 3, -3}, // 0.100
		{0.0999, 3, -4},  // 0.0999
		{9.6, 1, 1},      // 10
		{9.4, 1, 0},      // 9
		{1, 3, -2},
		{0, 3, -11},
	} {
		if got := Last(c.x, c.figures); got != c.want {
			t.Errorf("%g to %d figures: 10^%d, want 10^%d", c.x, c.figures, got, c.want)
		}
	}
}

func TestStep(t *testing.T) {
	for _, c := range []struct{ size, want float64 }{
		{0.031, 0.05},
		{1, 1},
		{1.01, 2},
		{4.9, 5},
		{7, 10},
		{30, 50},
		{240, 500},
		{1000, 1000},
		{0.3 / 30, 0.01},
		{0.6 / 3, 0.2},
		{math.Nextafter(20, 30), 20},
		{0, 1},
		{-3, 1},
		{math.NaN(), 1},
	} {
		if got := Step(c.size); !(math.Abs(got/c.want-1) < 1e-12) {
			t.Errorf("%g: got %g, want %g", c.size, got, c.want)
		}
	}
}
