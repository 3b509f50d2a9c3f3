// Package heat works out how heat moves in and around one metre of pipe:
// water, wall, sleeve, air or ground. It holds correlations, each with its
// range and source, and no state.
//
// Not modelled: entrance effects, buoyancy inside the tube (still water
// conducts), the heat capacity of sleeves and of the ground, wind and the sun,
// vapour and frost on cold pipe, thermal contact between neighbouring pipes and
// with hangers, and the dependence of a material on temperature. Radiation goes
// to surroundings at the temperature of the air.
package heat

// Burial describes a pipe in a solid instead of air; the zero value is a pipe
// in air.
type Burial struct {
	Depth        float64 // to the pipe's axis [m]; 0 means in air
	Conductivity float64 // of the ground or slab [W/(m K)]
}
