// Package tubes knows what can be bought: tubes by standard and size, the
// materials their walls are made of, and the insulation that goes round them.
// Every row carries its source and whether that source was read or recalled.
//
// Dimensions are nominal. Not modelled: tolerances, prices, pressure classes,
// fittings, layers within a wall (a multilayer wall is one plastic of
// effective capacity), and the change of a material with temperature.
package tubes

import (
	"fmt"
	"math"
)

// Material is what a tube wall or an insulating sleeve is made of.
type Material struct {
	Name         string
	Conductivity float64 // [W/(m K)]
	Density      float64 // [kg/m³]
	SpecificHeat float64 // [J/(kg K)]
	Emissivity   float64 // of the outside as it is found in service [-]
	Roughness    float64 // of the inside, 0 for a sleeve [m]
	Metal        bool    // a metal wall takes one heat node, a plastic one more
	Source       string
	Status       string // read, derived, computed or memory; the weakest part is named in Source
}

// Tube is one size of one kind of tube, by its actual dimensions.
type Tube struct {
	Kind     string  // what a scenario calls it: copper L, PEX, …
	Size     string  // nominal size: 3/4, or 22x1
	Outside  float64 // outside diameter [m]
	Inside   float64 // inside diameter [m]
	Material Material
	Standard string
	Source   string
	Status   string
}

// Volume is the water a tube holds per length.
//
//	V = π d²/4  [m³/m]
//
// A 3/4 in copper L tube holds 0.3122 L/m.
func (t Tube) Volume() float64 { return math.Pi * t.Inside * t.Inside / 4 }

// Sleeve is insulation round a tube; the zero value is a bare tube.
type Sleeve struct {
	Material  Material
	Thickness float64 // [m]
}

// check refuses a material that could not exist.
func (m Material) check() error {
	positive := func(x float64) bool { return x > 0 && !math.IsInf(x, 1) }
	switch {
	case m.Name == "" || m.Source == "" || m.Status == "":
		return fmt.Errorf("material %q has no name, source or status", m.Name)
	case !positive(m.Conductivity) || !positive(m.Density) || !positive(m.SpecificHeat):
		return fmt.Errorf("material %q needs a conductivity, density and heat capacity above 0", m.Name)
	case !(m.Emissivity > 0 && m.Emissivity <= 1):
		return fmt.Errorf("material %q has an emissivity of %g; it lies above 0 and up to 1", m.Name, m.Emissivity)
	case !(m.Roughness >= 0 && m.Roughness < 1e-3):
		return fmt.Errorf("material %q has a roughness of %g m", m.Name, m.Roughness)
	}
	return nil
}
