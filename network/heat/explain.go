package heat

import (
	"fmt"
	"math"
)

// Coefficient is one number on the way to the heat a line exchanges, with how
// it was made.
type Coefficient struct {
	Name    string
	Symbol  string
	Value   float64
	Unit    string
	Formula string
	Source  string
}

// Explain lists the coefficients of a line in the order in which heat meets
// them, from the water outwards. The arguments are those of Inner and Outer.
func (l *Line) Explain(w Water, flow, excess, ambient float64) []Coefficient {
	list := l.explainWater(w, flow)
	list = append(list, l.explainWall(w, flow)...)
	list = append(list, l.explainOutside(excess, ambient)...)
	return append(list, Coefficient{
		"axial dispersion, fully developed", "K", l.Dispersion(w, flow, math.Inf(1)), "m²/s",
		"laminar κ + u² r²/(48 κ), reached after r²/(16 κ); turbulent (10.1 + 577 (Re/1000)^−2.2) r u*",
		"Taylor 1953, Aris 1956, Taylor 1954; fit after Hart, Guymer, Jones & Stovin (from memory)",
	})
}

func (l *Line) explainWater(w Water, flow float64) []Coefficient {
	speed := l.speed(flow)
	re := reynolds(w, speed, l.tube.Inside)
	nu := nusselt(re, w.prandtl())
	return []Coefficient{
		{"speed", "u", speed, "m/s", "flow / (π d²/4)", "definition"},
		{"Reynolds number", "Re", re, "-", "ρ u d / μ", "viscosity: IAPWS SR6-08(2011)"},
		{"Prandtl number", "Pr", w.prandtl(), "-", "μ c / λ", "IAPWS R7-97(2012), SR6-08(2011)"},
		{"Nusselt number, water side", "Nu", nu, "-", "48/11 to Re 2300; Gnielinski from 4000; straight line between", "Gnielinski 1976 and 2013, Filonenko 1954"},
		{"film coefficient, water side", "h_i", nu * w.Conductivity / l.tube.Inside, "W/(m² K)", "Nu λ / d", "definition"},
		{"water capacity", "C_f", l.WaterCapacity(w), "J/(m K)", "ρ c π d²/4", "IAPWS R7-97(2012)"},
	}
}

func (l *Line) explainWall(w Water, flow float64) []Coefficient {
	total := l.wall.inner + l.wall.outer
	for _, r := range l.wall.between {
		total += r
	}
	material := l.tube.Material.Name + ": " + l.tube.Material.Source
	list := []Coefficient{{"wall resistance", "R_w", total, "m K/W", "ln(D/d) / (2π k)", material}}
	if len(l.wall.capacity) == 1 {
		return append(
			list,
			Coefficient{"wall capacity", "C_w", l.wall.capacity[0], "J/(m K)", "ρ c π (D² − d²)/4", material},
			Coefficient{"water to wall", "g_i", l.Inner(w, flow), "W/(m K)", "1 / (1/(h_i π d) + R_1), R_1 near R_w/3", "Glueckauf 1955, with the moment of the annulus"},
		)
	}
	matched := fmt.Sprintf("Glueckauf 1955, extended to %d nodes by matching %d moments of the annulus", len(l.wall.capacity), 2*len(l.wall.capacity)-1)
	for i, c := range l.wall.capacity {
		list = append(list, Coefficient{fmt.Sprintf("capacity of wall node %d, inside out", i+1), fmt.Sprintf("C_%d", i+1), c, "J/(m K)", "a share of ρ c π (D² − d²)/4", matched})
	}
	list = append(list, Coefficient{"water to wall node 1", "g_i", l.Inner(w, flow), "W/(m K)", "1 / (1/(h_i π d) + R_1), R_1 near R_w/20", matched})
	for i, g := range l.Between() {
		list = append(list, Coefficient{fmt.Sprintf("wall node %d to %d", i+1, i+2), fmt.Sprintf("g_%d%d", i+1, i+2), g, "W/(m K)", fmt.Sprintf("1 / R_%d%d, a share of R_w", i+1, i+2), matched})
	}
	return list
}

func (l *Line) explainOutside(excess, ambient float64) []Coefficient {
	o := &l.sleeved
	var list []Coefficient
	if l.sleeve > 0 {
		list = append(list, Coefficient{"sleeve resistance", "R_s", l.sleeve, "m K/W", "ln(1 + 2 s/D) / (2π k)", "conduction through a cylinder"})
	}
	if o.burial.Depth > 0 {
		list = append(list, Coefficient{"shape factor", "S", shapeFactor(o.burial.Depth, o.diameter), "-", "2π / arccosh(2 z/D)", "exact solution by images"})
	} else {
		theta := o.surface(excess, ambient)
		shape := "Churchill & Chu 1975, horizontal cylinder"
		if o.vertical {
			shape = "Churchill & Chu 1975, vertical plate; Le Fevre & Ede 1956, curvature"
		}
		list = append(
			list,
			Coefficient{"surface above ambient", "θ", theta, "K", "(excess − θ)/R = G(θ) θ", "heat balance of the surface"},
			Coefficient{"free convection", "h_c", o.convection(theta, ambient), "W/(m² K)", "Nu(Ra, Pr) λ / length", shape},
			Coefficient{"radiation", "h_r", o.radiation(theta, ambient), "W/(m² K)", "ε σ (T_s² + T_a²) (T_s + T_a)", "Stefan–Boltzmann law; emissivity from memory"},
		)
	}
	if l.bareShare > 0 {
		list = append(list, Coefficient{"bare stretches to surroundings", "g_bare", l.bare.conductance(excess, ambient), "W/(m K)", "as g_o without the sleeve", "fittings and hangers"})
	}
	return append(list, Coefficient{"wall to surroundings", "g_o", l.Outer(excess, ambient), "W/(m K)", "1 / (outer part of R_w + R_s + 1/(π D (h_c + h_r)), or + 1/(S k)); bare share in parallel", "sum of the above"})
}
