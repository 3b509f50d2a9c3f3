package heat

import "math"

// air is dry air at atmospheric pressure and one temperature.
type air struct {
	kelvin       float64 // [K]
	conductivity float64 // [W/(m K)]
	viscosity    float64 // kinematic [m²/s]
	prandtl      float64 // [-]
}

// airAt gives the properties of dry air at 101 325 Pa.
//
//	μ = 1.716e-5 (T/273.15)^1.5 (273.15 + 110.4)/(T + 110.4)  [Pa s]
//	λ = 2.6464e-3 T^1.5 / (T + 245.4 × 10^(−12/T))             [W/(m K)]
//	ρ = p / (287.05 T)                                         [kg/m³]
//	c = 1006                                                   [J/(kg K)]
//
// celsius [°C] −50 to 80, which covers the mean of any surface of a water pipe and
// its air; not checked here.
//
// Source: Sutherland's law and the conductivity of the U.S. Standard Atmosphere
// 1976, eqs. 51 and 53; from memory. Example: at 27 °C 0.0262 W/(m K),
// 1.57e-5 m²/s, Pr 0.71.
func airAt(celsius float64) air {
	const (
		heatCapacity = 1006   // [J/(kg K)]
		gasConstant  = 287.05 // [J/(kg K)]
		atmosphere   = 101325 // [Pa]
	)
	t := celsius + zeroCelsius
	viscosity := 1.716e-5 * math.Pow(t/zeroCelsius, 1.5) * (zeroCelsius + 110.4) / (t + 110.4)
	conductivity := 2.6464e-3 * math.Pow(t, 1.5) / (t + 245.4*math.Pow(10, -12/t))
	return air{
		kelvin:       t,
		conductivity: conductivity,
		viscosity:    viscosity * gasConstant * t / atmosphere,
		prandtl:      viscosity * heatCapacity / conductivity,
	}
}

// rayleigh compares buoyancy with what holds it back.
//
//	Ra = g β |ΔT| L³ Pr / ν²,  β = 1/T
//
// theta [K] of either sign, length [m].
func (a air) rayleigh(theta, length float64) float64 {
	const gravity = 9.80665 // [m/s²]
	return gravity / a.kelvin * math.Abs(theta) * length * length * length * a.prandtl / (a.viscosity * a.viscosity)
}
