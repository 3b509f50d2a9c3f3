package heat

import (
	"fmt"
	"math"

	"pipelag/network/tubes"
)

// Line is one metre of pipe as it hangs in a house: tube, sleeve and
// surroundings. It is made by NewLine and does not change.
type Line struct {
	tube      tubes.Tube
	wall      wall
	bareShare float64 // of the length, 0 without a sleeve [-]
	sleeved   outside // the tube as sleeved; the only one without a sleeve
	bare      outside // the stretches left bare
	sleeve    float64 // resistance of the sleeve [m K/W]
}

// NewLine puts a tube into its sleeve and surroundings.
//
// bareShare is the share of a sleeved pipe left bare at fittings and hangers [-],
// 0 to 1; it does not matter without a sleeve. vertical chooses the film of a
// vertical run. Impossible dimensions and properties, NaN and infinity are
// refused.
func NewLine(tube tubes.Tube, sleeve tubes.Sleeve, bareShare float64, burial Burial, vertical bool) (Line, error) {
	if err := CheckLine(tube, sleeve, bareShare, burial); err != nil {
		return Line{}, err
	}
	w := newWall(tube)
	l := Line{
		tube:   tube,
		wall:   w,
		sleeve: sleeveResistance(sleeve, tube.Outside),
		bare: outside{
			diameter:   tube.Outside,
			resistance: w.outer,
			emissivity: tube.Material.Emissivity,
			burial:     burial,
			vertical:   vertical,
		},
	}
	l.sleeved = l.bare
	if sleeve.Thickness > 0 {
		l.bareShare = bareShare
		l.sleeved.diameter += 2 * sleeve.Thickness
		l.sleeved.resistance += l.sleeve
		l.sleeved.emissivity = sleeve.Material.Emissivity
	}
	return l, nil
}

// CheckLine tells what NewLine would refuse, without working out the wall.
func CheckLine(tube tubes.Tube, sleeve tubes.Sleeve, bareShare float64, burial Burial) error {
	name := tube.Kind + " " + tube.Size
	switch {
	case !(tube.Inside > 0 && tube.Outside > tube.Inside && tube.Outside < 1):
		return fmt.Errorf("tube %s: inside %g m, outside %g m; the bore lies above 0 and below the outside", name, tube.Inside, tube.Outside)
	case !usable(tube.Material):
		return fmt.Errorf("tube %s: material %q needs a conductivity, density and heat capacity above 0 and an emissivity up to 1", name, tube.Material.Name)
	case !(sleeve.Thickness >= 0 && sleeve.Thickness < 1):
		return fmt.Errorf("tube %s: a sleeve of %g m; its thickness is 0 or more and below 1 m", name, sleeve.Thickness)
	case sleeve.Thickness > 0 && !usable(sleeve.Material):
		return fmt.Errorf("tube %s: insulation %q needs a conductivity, density and heat capacity above 0 and an emissivity up to 1", name, sleeve.Material.Name)
	case !(bareShare >= 0 && bareShare <= 1):
		return fmt.Errorf("tube %s: a bare share of %g; it is 0 to 1", name, bareShare)
	case burial != (Burial{}) && !(burial.Depth > tube.Outside/2+sleeve.Thickness && burial.Depth < 1000):
		return fmt.Errorf("tube %s: buried %g m deep to its axis; more than half its outside diameter, %g m, is needed", name, burial.Depth, tube.Outside/2+sleeve.Thickness)
	case burial != (Burial{}) && !positive(burial.Conductivity):
		return fmt.Errorf("tube %s: ground of conductivity %g W/(m K); above 0 is needed", name, burial.Conductivity)
	}
	return nil
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }

func usable(m tubes.Material) bool {
	return positive(m.Conductivity) && positive(m.Density) && positive(m.SpecificHeat) && m.Emissivity > 0 && m.Emissivity <= 1
}

// WaterCapacity is the heat held by the water.
//
//	C_f = ρ c π d²/4  [J/(m K)]
//
// Example: 3/4 in copper L at 40 °C: 1295.
func (l *Line) WaterCapacity(w Water) float64 {
	return w.Density * w.SpecificHeat * l.area()
}

// WallCapacity is the heat held by each wall node, inside out [J/(m K)]: one
// for a metal, four for a plastic. The slice is the caller's own.
//
// Example: 3/4 in copper L: 263.
func (l *Line) WallCapacity() []float64 {
	return append([]float64(nil), l.wall.capacity...)
}

// Inner is the conductance from water to the first wall node.
//
//	g_i = 1 / (1/(π λ Nu) + R_i)  [W/(m K)]
//
// flow [m³/s], 0 at rest. R_i is the inner part of the wall, see newWall; Nu
// that of nusselt. Entrance effects are neglected, which understates g_i in the
// first twenty diameters or so of turbulent flow.
//
// Example: 3/8 in PEX, 0.0315 L/s at 40 °C: 51.5.
func (l *Line) Inner(w Water, flow float64) float64 {
	nu := nusselt(reynolds(w, l.speed(flow), l.tube.Inside), w.prandtl())
	return 1 / (1/(math.Pi*w.Conductivity*nu) + l.wall.inner)
}

// Between is the conductance from each wall node to the next, inside out
// [W/(m K)]; none with one node. The slice is the caller's own.
//
// Example: 3/8 in PEX: 26.3 and 17.4.
func (l *Line) Between() []float64 {
	list := make([]float64, len(l.wall.between))
	for i, r := range l.wall.between {
		list[i] = 1 / r
	}
	return list
}

// Outer is the conductance from the outermost wall node to the surroundings
// [W/(m K)]: through the rest of the wall and the sleeve to air or ground, the
// bare share beside it.
//
//	g_o = (1 − b) g_sleeved + b g_bare
//
// excess [K] of that node over ambient [°C], of either sign or 0. Positive,
// continuous, and growing with the size of the excess for air in a house.
//
// Example: 1/2 in copper L, bare, 25 K above 20 °C: 0.516.
func (l *Line) Outer(excess, ambient float64) float64 {
	g := l.sleeved.conductance(excess, ambient)
	if l.bareShare == 0 {
		return g
	}
	return (1-l.bareShare)*g + l.bareShare*l.bare.conductance(excess, ambient)
}

// Dispersion is the axial dispersion K of a front [m²/s]; see dispersion.
//
// flow [m³/s]; elapsed [s] since the front entered, which limits K in laminar
// flow.
//
// Example: 3/4 in copper L, 0.0732 L/s at 40 °C: 2.74e-3.
func (l *Line) Dispersion(w Water, flow, elapsed float64) float64 {
	return dispersion(w, l.speed(flow), l.tube.Inside, elapsed)
}

func (l *Line) area() float64 { return l.tube.Volume() }

func (l *Line) speed(flow float64) float64 { return flow / l.area() }
