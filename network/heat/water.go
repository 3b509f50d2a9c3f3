package heat

import (
	"fmt"
	"math"
)

// Water is liquid water at one temperature.
type Water struct {
	Temperature  float64 // [°C]
	Density      float64 // [kg/m³]
	SpecificHeat float64 // [J/(kg K)]
	Conductivity float64 // [W/(m K)]
	Viscosity    float64 // dynamic [Pa s]
}

// housePressure is the pressure at which water is taken: about 43 psi on a
// gauge. Common practice, no source; from 0.1 to 1 MPa the density moves by
// 0.04 %.
const housePressure = 0.4e6 // absolute [Pa]

// WaterAt gives the properties of liquid water at house pressure.
//
//	density, heat capacity: the Gibbs energy γ(π, τ) of IAPWS-IF97 region 1
//	viscosity:    μ = 10⁻⁶ Σ aᵢ (T/300 K)^bᵢ
//	conductivity: λ = Σ cᵢ (T/300 K)^dᵢ
//
// celsius [°C], 0 to 100; an error outside, and for NaN.
//
// Source: IAPWS R7-97(2012), Industrial Formulation 1997, eq. 7 and table 2;
// IAPWS SR6-08(2011), Liquid Water at 0.1 MPa, eqs. for viscosity and
// conductivity. Coefficients from memory; the first reproduce the check values
// of the formulation's table 5 to nine digits.
// Example: at 20 °C 998.3 kg/m³, 4183 J/(kg K), 0.598 W/(m K), 1.002 mPa s.
func WaterAt(celsius float64) (Water, error) {
	if !(celsius >= 0 && celsius <= 100) {
		return Water{}, fmt.Errorf("water at %g °C: liquid between 0 and 100 °C is needed", celsius)
	}
	kelvin := celsius + zeroCelsius
	v, cp := region1(housePressure, kelvin)
	reduced := kelvin / 300
	var mu, lambda float64
	for i := range viscosityTerms {
		mu += viscosityTerms[i].n * math.Pow(reduced, viscosityTerms[i].exponent)
		lambda += conductivityTerms[i].n * math.Pow(reduced, conductivityTerms[i].exponent)
	}
	return Water{
		Temperature:  celsius,
		Density:      1 / v,
		SpecificHeat: cp,
		Conductivity: lambda,
		Viscosity:    mu * 1e-6,
	}, nil
}

// Diffusivity is how fast a temperature spreads in still water.
//
//	κ = λ / (ρ c)  [m²/s]
//
// At 20 °C 1.43e-7 m²/s.
func (w Water) Diffusivity() float64 { return w.Conductivity / (w.Density * w.SpecificHeat) }

// prandtl is the ratio of the spread of momentum to that of heat, 7.0 at 20 °C.
func (w Water) prandtl() float64 { return w.Viscosity * w.SpecificHeat / w.Conductivity }

const zeroCelsius = 273.15 // [K]

var viscosityTerms = [4]struct{ n, exponent float64 }{
	{280.68, -1.9},
	{511.45, -7.7},
	{61.131, -19.6},
	{0.45903, -40},
}

var conductivityTerms = [4]struct{ n, exponent float64 }{
	{0.80201, -0.32},
	{-0.25992, -5.7},
	{0.10024, -12},
	{-0.032005, -15},
}

// region1 gives the specific volume [m³/kg] and isobaric heat capacity
// [J/(kg K)] of liquid water.
//
//	γ = Σ nᵢ (7.1 − π)^Iᵢ (τ − 1.222)^Jᵢ, π = p/16.53 MPa, τ = 1386 K/T
//	v = γ_π R T / p*,  c_p = −τ² γ_ττ R
//
// pressure [Pa] up to 100 MPa, kelvin [K] 273.15 to 623.15; not checked here.
func region1(pressure, kelvin float64) (volume, heatCapacity float64) {
	const (
		gasConstant         = 461.526 // of water [J/(kg K)]
		reducingPressure    = 16.53e6 // [Pa]
		reducingTemperature = 1386    // [K]
	)
	x := 7.1 - pressure/reducingPressure
	tau := reducingTemperature / kelvin
	y := tau - 1.222
	var gammaPi, gammaTauTau float64
	for _, t := range region1Terms {
		gammaPi -= t.n * t.i * math.Pow(x, t.i-1) * math.Pow(y, t.j)
		gammaTauTau += t.n * math.Pow(x, t.i) * t.j * (t.j - 1) * math.Pow(y, t.j-2)
	}
	return gammaPi * gasConstant * kelvin / reducingPressure, -tau * tau * gammaTauTau * gasConstant
}

// Table 2 of IAPWS R7-97(2012).
var region1Terms = [34]struct{ i, j, n float64 }{
	{0, -2, 0.14632971213167},
	{0, -1, -0.84548187169114},
	{0, 0, -0.37563603672040e1},
	{0, 1, 0.33855169168385e1},
	{0, 2, -0.95791963387872},
	{0, 3, 0.15772038513228},
	{0, 4, -0.16616417199501e-1},
	{0, 5, 0.81214629983568e-3},
	{1, -9, 0.28319080123804e-3},
	{1, -7, -0.60706301565874e-3},
	{1, -1, -0.18990068218419e-1},
	{1, 0, -0.32529748770505e-1},
	{1, 1, -0.21841717175414e-1},
	{1, 3, -0.52838357969930e-4},
	{2, -3, -0.47184321073267e-3},
	{2, 0, -0.30001780793026e-3},
	{2, 1, 0.47661393906987e-4},
	{2, 3, -0.44141845330846e-5},
	{2, 17, -0.72694996297594e-15},
	{3, -4, -0.31679644845054e-4},
	{3, 0, -0.28270797985312e-5},
	{3, 6, -0.85205128120103e-9},
	{4, -5, -0.22425281908000e-5},
	{4, -2, -0.65171222895601e-6},
	{4, 10, -0.14341729937924e-12},
	{5, -8, -0.40516996860117e-6},
	{8, -11, -0.12734301741641e-8},
	{8, -6, -0.17424871230634e-9},
	{21, -29, -0.68762131295531e-18},
	{23, -31, 0.14478307828521e-19},
	{29, -38, 0.26335781662795e-22},
	{30, -39, -0.11947622640071e-22},
	{31, -40, 0.18228094581404e-23},
	{32, -41, -0.93537087292458e-25},
}
