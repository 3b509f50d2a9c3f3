package safety

import (
	"fmt"
	"math"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The table's own rows, and the US CPSC's and the Shriners' times (read), which
// come from other readings of the same experiments: within a factor of two and
// a half.
func TestBurnAt(t *testing.T) {
	for _, r := range burns {
		b := BurnAt(r.celsius)
		check.Alike(t, r.second, b.Second, 1e-12)
		check.Alike(t, r.third, b.Third, 1e-12)
	}
	others := []struct {
		name              string
		fahrenheit, third float64
	}{
		{"CPSC", 120, 300},
		{"CPSC", 130, 30},
		{"CPSC", 140, 6},
		{"Shriners, 1.5 to 2 min", 125, 105},
		{"Shriners", 130, 30},
		{"Shriners", 135, 10},
	}
	for _, o := range others {
		ratio := BurnAt((o.fahrenheit-32)/1.8).Third / o.third
		require.True(t, ratio > 0.4 && ratio < 2.5, "%s at %g °F: %g times as long", o.name, o.fahrenheit, ratio)
	}
	require.True(t, math.IsInf(BurnAt(44.9).Second, 1))
	require.Equal(t, Burn{3, 5}, BurnAt(80))
	require.True(t, math.IsNaN(BurnAt(math.NaN()).Third))
}

func TestHotterBurnsSooner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 100).Draw(t, "a")
		b := rapid.Float64Range(a, 100).Draw(t, "b")
		x, y := BurnAt(a), BurnAt(b)
		if y.Second > x.Second || y.Third > x.Third || x.Third < x.Second {
			t.Fatalf("%g °C %v, %g °C %v", a, x, b, y)
		}
	})
}

func TestGrows(t *testing.T) {
	for celsius, want := range map[float64]bool{
		10: false, 24.9: false, 25: true, 38: true, 45: true, 45.1: false, 60: false, math.NaN(): false,
	} {
		require.Equal(t, want, Grows(celsius), "%g °C", celsius)
	}
}

func ExampleBurnAt() {
	b := BurnAt(54.4)
	fmt.Printf("%.0f s to the second degree, %.0f s to the third\n", b.Second, b.Third)
	// Output:
	// 23 s to the second degree, 42 s to the third
}
