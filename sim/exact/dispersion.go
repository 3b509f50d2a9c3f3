package exact

import "math"

// PulseVariance is how widely a pulse has spread along a pipe.
//
//	σ² = σ₀² + 2 K t
//
// dispersion K [m²/s] and t [s] 0 or more; others panic. σ₀ is 0 here.
//
// Source: the second moment of the equation of diffusion; for water in tubes
// Taylor, Proc. R. Soc. A 219, 1953, and Aris, Proc. R. Soc. A 235, 1956.
// Example: 2.5e-3 m²/s, 40 s: 0.2 m².
func PulseVariance(dispersion, t float64) Problem {
	return DevelopingVariance(dispersion, 0, 1, t)
}

// DevelopingVariance is how widely a pulse has spread while its dispersion
// builds up from K₀ to K₀ + K₁.
//
//	K(t) = K₀ + K₁ (1 − e^(−t/τ))
//	σ² = 2 (K₀ + K₁) t − 2 K₁ τ (1 − e^(−t/τ))
//
// first K₀ and growth K₁ [m²/s] and t [s] 0 or more, time τ [s] above 0; others
// panic. For t ≪ τ, σ² is 2 K₀ t + K₁ t²/τ.
//
// Source: derived, ∫ 2 K dt. Example: K₀ = 0, K₁ = 0.036 m²/s, τ = 11 s, 5 s:
// 0.071 m².
func DevelopingVariance(first, growth, time, t float64) Problem {
	require(first >= 0, "the dispersion", first)
	require(growth >= 0, "the growth of the dispersion", growth)
	require(time > 0, "the time of growth", time)
	require(t >= 0, "the time", t)
	return Problem{
		Name:    "variance of a pulse",
		Formula: "2 (K₀ + K₁) t − 2 K₁ τ (1 − e^(−t/τ))",
		Value:   2*(first+growth)*t + 2*growth*time*math.Expm1(-t/time),
		Unit:    "m²",
		Source:  "Taylor 1953 and Aris 1956 for K; ∫ 2 K dt",
		Status:  "derived",
	}
}
