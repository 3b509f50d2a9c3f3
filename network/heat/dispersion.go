package heat

import "math"

// dispersion is how fast a front in moving water spreads along the tube.
//
//	Re ≤ 2300:        laminar, see laminarDispersion
//	2300 < Re < 4000: straight line in Re between the two, each at its own end
//	Re ≥ 4000:        turbulent, see turbulentDispersion
//
// speed [m/s], bore [m], elapsed since the flow began or since the front
// entered [s]. One closure for every tube and flow, no constant tuned. The
// result is in m²/s and never below the diffusivity κ.
func dispersion(w Water, speed, bore, elapsed float64) float64 {
	re := reynolds(w, speed, bore)
	if re >= turbulentBegin {
		return turbulentDispersion(re, speed, bore) + w.Diffusivity()
	}
	if re <= laminarEnd {
		return laminarDispersion(w, speed, bore, elapsed)
	}
	unit := w.Viscosity / (w.Density * bore) // speed of Re 1 [m/s]
	laminar := laminarDispersion(w, laminarEnd*unit, bore, elapsed)
	turbulent := turbulentDispersion(turbulentBegin, turbulentBegin*unit, bore) + w.Diffusivity()
	return transition(re, laminar, turbulent)
}

// turbulentDispersion is the axial dispersion of turbulent flow.
//
//	K = (10.1 + 577 (Re/1000)^−2.2) r u*,  u* = u √(f/8)
//
// re [-] from 4000. The second term is a fit to tracer tests between Re 2000 and
// 50 000, which find several times Taylor's value at low Reynolds numbers; it
// fades to 1 % of the first by Re 50 000, which leaves Taylor's 10.1 r u*.
//
// Source: Taylor, The dispersion of matter in turbulent flow through a pipe,
// Proc. R. Soc. A 223, 1954, eq. 3.4, from memory; the fit after Hart, Guymer,
// Jones & Stovin, from memory and not checked. Example: Re 10 000 in 20 mm at
// 20 °C, 0.50 m/s: 4.3e-3 m²/s.
func turbulentDispersion(re, speed, bore float64) float64 {
	shear := math.Abs(speed) * math.Sqrt(friction(re)/8)
	return (10.1 + 577*math.Pow(re/1000, -2.2)) * bore / 2 * shear
}

// laminarDispersion is the axial dispersion of laminar flow as it builds up.
//
//	K(t) = κ + (u² r² / 48 κ) (1 − exp(−t/τ)),  τ = r²/(16 κ)
//
// For t ≫ τ it is Taylor's and Aris's long-time value. For t ≪ τ it is
// u² t/3, half the growth of u² t²/3, the variance that the parabolic profile
// alone gives a front: its speeds are evenly spread from 0 to 2u, with variance
// (2u)²/12. The exact sum is
//
//	K(t) = κ + (64 u² r² / κ) Σ (1 − exp(−αₙ² κ t/r²)) / αₙ⁶,  J₁(αₙ) = 0
//
// and the single exponential stays within 4 % of it.
//
// elapsed [s], 0 to infinity.
//
// Source: Taylor, Dispersion of soluble matter in solvent flowing slowly through
// a tube, Proc. R. Soc. A 219, 1953; Aris, Proc. R. Soc. A 235, 1956; from
// memory. The time dependence is derived here. Example: 20 °C, 0.1 m/s, 10 mm
// bore, 5 s: 0.013 m²/s of an eventual 0.036 m²/s.
func laminarDispersion(w Water, speed, bore, elapsed float64) float64 {
	kappa := w.Diffusivity()
	r := bore / 2
	return kappa - speed*speed*r*r/(48*kappa)*math.Expm1(-elapsed/mixingTime(w, bore))
}
