package hydraulics

import "math"

// The two ends of the transition from laminar to turbulent flow, the same as
// those of the heat transfer inside the tube.
const (
	laminarEnd     = 2300 // Reynolds number [-]
	turbulentBegin = 4000 // Reynolds number [-]
)

// friction is the Darcy friction factor of a long round tube, and its
// derivative by Reynolds number.
//
//	Re ≤ 2300:        64/Re
//	2300 < Re < 4000: the straight line between the two values at its ends
//	Re ≥ 4000:        [A − (B − A)²/(C − 2B + A)]⁻²
//	                  A = −2 log10(ε/3.7 + 12/Re)
//	                  B = −2 log10(ε/3.7 + 2.51 A/Re)
//	                  C = −2 log10(ε/3.7 + 2.51 B/Re)
//
// re [-] above 0 to 1e8; relative, the roughness over the bore [-], 0 to 0.05.
// The transition is not a settled flow: the line keeps the loss continuous and
// rising. In turbulent flow it is within 0.01 % of Colebrook's equation, which
// itself holds for measured pipes to some 5 %.
//
// Source: Hagen–Poiseuille for laminar flow; Serghides, Estimate friction
// factor accurately, Chem. Eng. 91(5), 1984, from memory, and held against
// Colebrook's equation solved to 1e-10. Example: Re 100 000 and 1e-4 give
// 0.01851.
func friction(re, relative float64) (f, slope float64) {
	switch {
	case re >= turbulentBegin:
		return turbulentFriction(re, relative)
	case re <= laminarEnd:
		return 64 / re, -64 / (re * re)
	}
	end, _ := turbulentFriction(turbulentBegin, relative)
	const begin = 64.0 / laminarEnd
	slope = (end - begin) / (turbulentBegin - laminarEnd)
	return begin + slope*(re-laminarEnd), slope
}

// turbulentFriction takes its slope from Colebrook's equation:
// x = −2 log10(ε/3.7 + 2.51 x/Re), f = x⁻².
func turbulentFriction(re, relative float64) (f, slope float64) {
	rough, smooth := relative/3.7, 2.51/re
	const k = 2 / math.Ln10 // math.Log takes half the time of math.Log10
	a := -k * math.Log(rough+12/re)
	b := -k * math.Log(rough+smooth*a)
	c := -k * math.Log(rough+smooth*b)
	x := a
	if bend := c - 2*b + a; bend != 0 {
		x -= (b - a) * (b - a) / bend
	}
	argument := rough + smooth*x
	dx := k * smooth * x / re / (argument + k*smooth)
	return 1 / (x * x), -2 * dx / (x * x * x)
}
