package exact

import (
	"math"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

// The integral that defines I₀, e^(−x) I₀(x) = (1/π) ∫₀^π e^(x (cos φ − 1)) dφ
// (Abramowitz & Stegun 9.6.16, from memory), worked out without either series.
func TestScaledI0AgainstItsIntegral(t *testing.T) {
	for _, x := range []float64{0, 1e-8, 0.3, 1, 5, 12, 29.999, 30, 30.001, 100, 1e4, 1e8} {
		const panels = 400
		reach := min(math.Pi, 12/math.Sqrt(x)) // beyond, below e^(−29)
		want := 0.0
		for i := range panels {
			want += quad.Fixed(func(phi float64) float64 {
				half := math.Sin(phi / 2)
				return math.Exp(-2 * x * half * half)
			}, reach*float64(i)/panels, reach*float64(i+1)/panels, 8, quad.Legendre{}, 0) / math.Pi
		}
		got := scaledI0(x)
		check.Within(t, 1, got/want, 2e-13, "scaledI0")
	}
}

// What goes in at once passes a pipe without a wall; a wall at the inlet warms
// as a body in a bath; the first water through has given all that it could.
func TestSchumannAtItsLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.Float64Range(0, 400).Draw(t, "z")
		check.Within(t, 1, SchumannWater(0, z).Value, 1e-12, "water at the inlet")
		check.Within(t, -math.Expm1(-z), SchumannWall(0, z).Value, 1e-12, "wall at the inlet")
		check.Within(t, math.Exp(-z), SchumannWater(z, 0).Value, 1e-12, "first water")
		check.Within(t, 0, SchumannWall(z, 0).Value, 1e-12, "wall as the first water comes")
		check.Within(t, 0, SchumannWater(z, -1e-9).Value, 0, "water ahead of the front")
		check.Within(t, 0, SchumannWall(z, -1e-9).Value, 0, "wall ahead of the front")
	})
	check.Within(t, 1, SchumannWater(5, 1e4).Value, 1e-12, "water in the end")
	check.Within(t, 1, SchumannWall(5, 1e4).Value, 1e-12, "wall in the end")
	check.Within(t, 0, SchumannWater(1e4, 5).Value, 1e-12, "water far off")
}

// T + (1 − W with ξ and η exchanged) is 1 by definition of the two integrals, and
// T − W = e^(−ξ−η) I₀(2 √(ξ η)); the latter is not built into either.
func TestSchumannDifferenceIsSymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xi := rapid.Float64Range(0, 900).Draw(t, "xi")
		eta := rapid.Float64Range(0, 900).Draw(t, "eta")
		gap := math.Sqrt(xi) - math.Sqrt(eta)
		want := math.Exp(-gap*gap) * scaledI0(2*math.Sqrt(xi*eta))
		check.Within(t, want, SchumannWater(xi, eta).Value-SchumannWall(xi, eta).Value, 1e-12, "water less wall")
	})
}

// ∂T/∂ξ = W − T and ∂W/∂η = T − W: what the two functions must solve.
func TestSchumannSolvesItsEquations(t *testing.T) {
	for _, xi := range []float64{0.1, 1, 4, 20, 150} {
		for _, eta := range []float64{0.1, 1, 4, 20, 150} {
			water, wall := SchumannWater(xi, eta).Value, SchumannWall(xi, eta).Value
			along := fd.Derivative(func(x float64) float64 { return SchumannWater(x, eta).Value }, xi, &fd.Settings{Formula: fd.Central, Step: 1e-4})
			after := fd.Derivative(func(e float64) float64 { return SchumannWall(xi, e).Value }, eta, &fd.Settings{Formula: fd.Central, Step: 1e-4})
			check.Within(t, wall-water, along, 2e-8, "∂T/∂ξ")
			check.Within(t, water-wall, after, 2e-8, "∂W/∂η")
		}
	}
}

// All the heat that the water has lost when it is hot throughout, the wall has
// gained: ∫ (1 − T) dη = ξ.
func TestSchumannHeatBalance(t *testing.T) {
	for _, xi := range []float64{0.5, 3, 17, 90} {
		end := xi + 30*math.Sqrt(xi+1) + 30
		const panels = 200
		lost := 0.0
		for i := range panels {
			lost += quad.Fixed(func(eta float64) float64 { return 1 - SchumannWater(xi, eta).Value },
				end*float64(i)/panels, end*float64(i+1)/panels, 8, quad.Legendre{}, 0)
		}
		check.Within(t, xi, lost, 1e-10*xi+1e-10, "heat given")
	}
}

func TestConvectiveCoolingSolvesItsEquation(t *testing.T) {
	for _, power := range []float64{0.1, 0.25, 1.0 / 3, 1} {
		const rate = 1e-3
		for _, at := range []float64{10, 1e3, 1e5} {
			share := ConvectiveCooling(rate, power, at).Value
			slope := fd.Derivative(func(t float64) float64 { return ConvectiveCooling(rate, power, t).Value }, at, &fd.Settings{Formula: fd.Central, Step: at * 1e-5})
			check.Within(t, 1, slope/(-rate*math.Pow(share, power)*share), 1e-8, "dθ/dt")
		}
	}
	check.Within(t, Cooling(1e-3, 700).Value, ConvectiveCooling(1e-3, 1e-9, 700).Value, 1e-8, "with a film that hardly weakens")
}

// A front is a sum of pulses: its slope has the variance of one. A front that was
// sharp at 0 is ½ erfc((x − u t) / (2 √(K t))) after t; Taylor, Proc. R. Soc. A 219,
// 1953, from memory.
func TestPulseVarianceIsThatOfAFront(t *testing.T) {
	const speed, dispersion, at = 0.4, 2.5e-3, 40
	front := func(x float64) float64 { return math.Erfc((x-speed*at)/(2*math.Sqrt(dispersion*at))) / 2 }
	const panels, reach = 200, 5.0
	middle, variance := speed*at, 0.0
	for i := range panels {
		variance += quad.Fixed(func(y float64) float64 { return 2 * y * front(middle+y) },
			reach*float64(i)/panels, reach*float64(i+1)/panels, 8, quad.Legendre{}, 0) * 2
	}
	check.Within(t, PulseVariance(dispersion, at).Value, variance, 1e-10, "variance")
}

func TestDevelopingVarianceAtItsLimits(t *testing.T) {
	const early, growth, time = 1e-7, 0.036, 11.0
	check.Within(t, 2*early*0.01+growth*1e-4/time, DevelopingVariance(early, growth, time, 0.01).Value, 2e-10, "at first")
	check.Within(t, PulseVariance(early+growth, 1e6).Value-2*growth*time, DevelopingVariance(early, growth, time, 1e6).Value, 1e-6, "in the end")
}

// The numbers that the comments give.
func TestExamples(t *testing.T) {
	for _, c := range []struct {
		p      Problem
		want   float64
		within float64
	}{
		{SchumannWater(2, 1), 0.3943, 5e-5},
		{SchumannWall(2, 1), 0.1826, 5e-5},
		{Cooling(1.0/3600, 1800), 0.6065, 5e-5},
		{ConvectiveCooling(1.0/3600, 0.25, 3600), 0.4096, 5e-5},
		{SteadyOutlet(50, 20, 25, 0.05e-3, 4.13e6, 0.5), 48.24, 5e-3},
		{PlugArrival(0.01994, 25), 7.81e-3, 5e-6},
		{TeeMixing([]float64{1e-4, 0.5e-4}, []float64{50, 20}), 40, 1e-9},
		{PulseVariance(2.5e-3, 40), 0.2, 1e-12},
		{DevelopingVariance(0, 0.036, 11, 5), 0.071, 5e-4},
	} {
		check.Within(t, c.want, c.p.Value, c.within, c.p.Name)
		assert.NotEmpty(t, c.p.Name)
		assert.NotEmpty(t, c.p.Formula, c.p.Name)
		assert.NotEmpty(t, c.p.Unit, c.p.Name)
		assert.NotEmpty(t, c.p.Source, c.p.Name)
		assert.NotEmpty(t, c.p.Status, c.p.Name)
	}
}

func TestWhatCannotBeIsRefused(t *testing.T) {
	nan := math.NaN()
	for name, ask := range map[string]func() Problem{
		"wall less than none":    func() Problem { return SchumannWater(-1, 1) },
		"wall of NaN":            func() Problem { return SchumannWall(nan, 1) },
		"time of NaN":            func() Problem { return SchumannWater(1, nan) },
		"endless time":           func() Problem { return SchumannWater(1, math.Inf(1)) },
		"negative time":          func() Problem { return Cooling(1, -1) },
		"no power":               func() Problem { return ConvectiveCooling(1, 0, 1) },
		"no flow":                func() Problem { return SteadyOutlet(50, 20, 1, 0, 4e6, 1) },
		"no bore":                func() Problem { return PlugArrival(0, 1) },
		"nothing meets":          func() Problem { return TeeMixing(nil, nil) },
		"a temperature too many": func() Problem { return TeeMixing([]float64{1}, []float64{1, 2}) },
		"dispersion of NaN":      func() Problem { return PulseVariance(nan, 1) },
	} {
		assert.Panics(t, func() { ask() }, name)
	}
}
