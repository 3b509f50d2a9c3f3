package exact

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

const schumannSource = "Schumann, Heat transfer: a liquid flowing through a porous prism, J. Franklin Inst. 208, 1929"

// SchumannWater is the temperature of water that has moved through a pipe whose
// wall takes up heat, as a share of the step at the inlet: the wall begins at 0,
// the water that comes in is at 1.
//
//	T = 1 − e^(−η) ∫₀^ξ e^(−s) I₀(2 √(η s)) ds
//	ξ = g x / (C_f u),  η = g (t − x/u) / C_w
//
// xi [-] 0 or more is how much wall the water has passed; eta [-] is how long
// ago the first hot water passed, and the answer is 0 while it is negative. g is
// the conductance between water and wall [W/(m K)], C_f and C_w their heat
// capacities [J/(m K)], u the speed [m/s]; nothing is lost outside and nothing
// conducts along the pipe. The answer is good to 1e-12. A negative xi, or NaN,
// panics.
//
// Source: Schumann 1929, from memory; a test holds it to the two equations it
// solves. Example: ξ = 2, η = 1 gives 0.3943.
func SchumannWater(xi, eta float64) Problem {
	return Problem{
		Name:    "water behind a hot front, wall taking up heat",
		Formula: "1 − e^(−η) ∫₀^ξ e^(−s) I₀(2 √(η s)) ds",
		Value:   schumann(xi, eta, func() float64 { return 1 - taken(xi, eta) }),
		Unit:    "-",
		Source:  schumannSource,
		Status:  "memory",
	}
}

// SchumannWall is the temperature of the wall in SchumannWater.
//
//	W = e^(−ξ) ∫₀^η e^(−s) I₀(2 √(ξ s)) ds
//
// Arguments, range and source are those of SchumannWater. Example: ξ = 2, η = 1
// gives 0.1826.
func SchumannWall(xi, eta float64) Problem {
	return Problem{
		Name:    "wall behind a hot front",
		Formula: "e^(−ξ) ∫₀^η e^(−s) I₀(2 √(ξ s)) ds",
		Value:   schumann(xi, eta, func() float64 { return taken(eta, xi) }),
		Unit:    "-",
		Source:  schumannSource,
		Status:  "memory",
	}
}

func schumann(xi, eta float64, behind func() float64) float64 {
	require(xi >= 0 && xi <= math.MaxFloat64, "the wall passed", xi)
	require(!math.IsNaN(eta) && eta <= math.MaxFloat64, "the time since the front", eta)
	if eta < 0 {
		return 0
	}
	return behind()
}

// taken is e^(−b) ∫₀^a e^(−s) I₀(2 √(b s)) ds. With s = v² the integrand is
// 2 v e^(−(v − √b)²) I₀ₑ(2 √b v), a hump about √b that is nil eight away from it.
func taken(a, b float64) float64 {
	const (
		reach  = 8.0
		points = 24 // Gauss–Legendre, on panels not longer than 1
	)
	root := math.Sqrt(b)
	from, to := max(0, root-reach), min(math.Sqrt(a), root+reach)
	if to <= from {
		return 0
	}
	panels := math.Ceil(to - from)
	width := (to - from) / panels
	total := 0.0
	for i := range int(panels) {
		low := from + float64(i)*width
		total += quad.Fixed(func(v float64) float64 {
			return 2 * v * math.Exp(-(v-root)*(v-root)) * scaledI0(2*root*v)
		}, low, low+width, points, quad.Legendre{}, 0)
	}
	return total
}

// scaledI0 is e^(−x) I₀(x), the modified Bessel function of order zero, for x
// from 0.
//
//	I₀(x) = Σ (x²/4)^k / (k!)²                                   x < 30
//	e^(−x) I₀(x) ~ (2π x)^(−½) Σ (1² 3² … (2k−1)²) / (k! (8x)^k)  x ≥ 30
//
// Every term is positive, so nothing cancels; at 30 the second series' terms
// fall below 1e-18.
//
// Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, 9.6.12
// and 9.7.1; from memory. Example: scaledI0(1) = 0.46576.
func scaledI0(x float64) float64 {
	term, sum := 1.0, 1.0
	if x < 30 {
		for k := 1.0; term > 1e-17*sum; k++ {
			term *= x * x / (4 * k * k)
			sum += term
		}
		return sum * math.Exp(-x)
	}
	for k := 1.0; term > 1e-17; k++ {
		term *= (2*k - 1) * (2*k - 1) / (k * 8 * x)
		sum += term
	}
	return sum / math.Sqrt(2*math.Pi*x)
}
