package heat

import (
	"math"

	"pipelag/network/tubes"
)

// outside is what lies between the outermost wall node and the surroundings:
// the rest of the wall, a sleeve, then air or ground.
type outside struct {
	diameter   float64 // of the surface that meets air or ground [m]
	resistance float64 // wall node to that surface [m K/W]
	emissivity float64 // of that surface [-]
	burial     Burial
	vertical   bool
}

// conductance is the heat that leaves per kelvin of excess.
//
//	air:    g = 1 / (R + 1/G(θ)), with θ from (excess − θ)/R = G(θ) θ
//	solid:  g = 1 / (R + 1/(shape factor × k))
//
// excess [K] of the wall node over the surroundings, either sign or 0; ambient
// [°C]. θ is the excess of the surface, found by iteration. The result is positive [W/(m K)], and continuous in both arguments.
func (o *outside) conductance(excess, ambient float64) float64 {
	if o.burial.Depth > 0 {
		return 1 / (o.resistance + 1/(shapeFactor(o.burial.Depth, o.diameter)*o.burial.Conductivity))
	}
	return 1 / (o.resistance + 1/o.film(o.surface(excess, ambient), ambient))
}

// surface is the excess of the outer surface [K]: between 0 and that of the
// wall node. A step multiplies the error by
//
//	R G/(1 + R G) × d ln G / d ln θ
//
// whose first factor is below 1 and whose second lies near 0.2 and below a third,
// the exponent of turbulent convection, so a few steps suffice.
func (o *outside) surface(excess, ambient float64) float64 {
	const steps, settled = 60, 1e-13
	share := 1.0
	for range steps {
		next := 1 / (1 + o.resistance*o.film(share*excess, ambient))
		if math.Abs(next-share) <= settled*share {
			return next * excess
		}
		share = next
	}
	return share * excess
}

// film is convection and radiation from one metre of surface in still air
// [W/(m K)], at a surface excess of theta [K].
func (o *outside) film(theta, ambient float64) float64 {
	return math.Pi * o.diameter * (o.convection(theta, ambient) + o.radiation(theta, ambient))
}

// convection is the convective part of the film [W/(m² K)].
func (o *outside) convection(theta, ambient float64) float64 {
	air := airAt(ambient + theta/2)
	if o.vertical {
		rayleigh := air.rayleigh(theta, storey)
		return verticalNusselt(rayleigh, air.prandtl, storey/o.diameter) * air.conductivity / storey
	}
	return horizontalNusselt(air.rayleigh(theta, o.diameter), air.prandtl) * air.conductivity / o.diameter
}

// radiation is the radiative part of the film, to a large enclosure at the
// temperature of the air.
//
//	h_r = ε σ (T_s² + T_a²) (T_s + T_a)  [W/(m² K)]
//
// Source: Stefan–Boltzmann law, σ of CODATA 2018. Example: ε 0.9, 40 °C in
// 20 °C: 6.29.
func (o *outside) radiation(theta, ambient float64) float64 {
	const stefanBoltzmann = 5.670374419e-8 // [W/(m² K⁴)]
	cold := ambient + zeroCelsius
	warm := cold + theta
	return o.emissivity * stefanBoltzmann * (warm*warm + cold*cold) * (warm + cold)
}

// horizontalNusselt is free convection round a long horizontal cylinder, by its
// diameter.
//
//	Nu = (0.60 + 0.387 Ra^⅙ / (1 + (0.559/Pr)^(9/16))^(8/27))²
//
// rayleigh [-] 1e-5 to 1e12; below, it falls to 0.36.
//
// Source: Churchill & Chu, Correlating equations for laminar and turbulent free
// convection from a horizontal cylinder, Int. J. Heat Mass Transfer 18, 1975,
// eq. 9; from memory. Example: Ra 10 000, Pr 0.7 gives 4.37.
func horizontalNusselt(rayleigh, prandtl float64) float64 {
	root := 0.60 + 0.387*math.Pow(rayleigh, 1.0/6)/math.Pow(1+math.Pow(0.559/prandtl, 9.0/16), 8.0/27)
	return root * root
}

// storey is the height of a vertical run for its film: common practice, no
// source. Half or double changes the coefficient by less than a tenth.
const storey = 2.4 // [m]

// verticalNusselt is free convection along a slender vertical cylinder, by its
// height.
//
//	Nu = (0.825 + 0.387 Ra^⅙ / (1 + (0.492/Pr)^(9/16))^(8/27))²
//	     + 4 (272 + 315 Pr) / (35 (64 + 63 Pr)) × height/diameter
//
// The first term is the plate, the second what the curvature of a cylinder
// thinner than its boundary layer adds.
//
// Source: Churchill & Chu, Correlating equations for laminar and turbulent free
// convection from a vertical plate, Int. J. Heat Mass Transfer 18, 1975, eq. 9;
// Le Fevre & Ede, Laminar free convection from the outer surface of a vertical
// circular cylinder, 1956; both from memory, and their sum is taken here.
// Example: Ra 1e10, Pr 0.7, height 100 diameters: 304.
func verticalNusselt(rayleigh, prandtl, slenderness float64) float64 {
	root := 0.825 + 0.387*math.Pow(rayleigh, 1.0/6)/math.Pow(1+math.Pow(0.492/prandtl, 9.0/16), 8.0/27)
	return root*root + 4*(272+315*prandtl)/(35*(64+63*prandtl))*slenderness
}

// shapeFactor is conduction from a long cylinder under the flat surface of a
// solid, which is at the temperature of the surroundings.
//
//	S = 2π / arccosh(2 z/D)  [-]
//
// depth z to the axis, above half the diameter D [m].
//
// Source: exact solution by images; Incropera & DeWitt, Fundamentals of Heat and
// Mass Transfer, table of shape factors; from memory. Example: 22 mm at 0.5 m:
// 1.393.
func shapeFactor(depth, diameter float64) float64 {
	return 2 * math.Pi / math.Acosh(2*depth/diameter)
}

// sleeveResistance is conduction through a sleeve.
//
//	R = ln(1 + 2 s/D) / (2π k)  [m K/W], 0 without a sleeve
//
// inside D is the outside diameter of the tube [m]. Example: 12.7 mm of
// fibreglass on 3/4 in copper: 3.37.
func sleeveResistance(s tubes.Sleeve, inside float64) float64 {
	if s.Thickness == 0 {
		return 0
	}
	return math.Log1p(2*s.Thickness/inside) / (2 * math.Pi * s.Material.Conductivity)
}
