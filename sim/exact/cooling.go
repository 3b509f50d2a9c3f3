package exact

import "math"

// Cooling is the share of its excess temperature that a pipe at rest keeps.
//
//	θ/θ₀ = e^(−λ t)
//
// rate λ [1/s] and t [s] 0 or more; others panic.
//
// Source: Newton's law of cooling. Example: λ = 1/3600 s, 1800 s: 0.6065.
func Cooling(rate, t float64) Problem {
	require(rate >= 0, "the rate", rate)
	require(t >= 0, "the time", t)
	return Problem{
		Name:    "pipe at rest, constant film",
		Formula: "e^(−λ t)",
		Value:   math.Exp(-rate * t),
		Unit:    "-",
		Source:  "Newton's law of cooling",
		Status:  "derived",
	}
}

// ConvectiveCooling is the share of its excess temperature that a body keeps
// whose outside film weakens as it cools.
//
//	dθ/dt = −λ₀ (θ/θ₀)^m θ   so   θ/θ₀ = (1 + m λ₀ t)^(−1/m)
//
// rate λ₀ [1/s] is that at the start, t [s], both 0 or more; power m [-] above
// 0, a quarter for laminar free convection. Others panic.
//
// Source: derived by separating the variables. Example: λ₀ = 1/3600 s,
// m = 1/4, 3600 s: 0.4096.
func ConvectiveCooling(rate, power, t float64) Problem {
	require(rate >= 0, "the rate", rate)
	require(power > 0, "the power", power)
	require(t >= 0, "the time", t)
	return Problem{
		Name:    "body at rest, film weakening as it cools",
		Formula: "(1 + m λ₀ t)^(−1/m)",
		Value:   math.Exp(-math.Log1p(power*rate*t) / power),
		Unit:    "-",
		Source:  "separation of variables",
		Status:  "derived",
	}
}
