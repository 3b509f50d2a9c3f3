// Package hydraulics works out what pressure is left at each tap of a layout,
// and the flow that pressure passes, with all open taps at once.
//
// The flow is steady: not modelled are water hammer, the filling of an empty
// pipe, air, the compression of water, buoyancy between hot and cold legs, the
// flow a circulation pump adds, the cold-water lines beyond the stretches
// stated, and the fixtures' own stops and hoses. All water behind the heater is
// taken at one temperature.
package hydraulics

// gravity is standard gravity [m/s²], exact by definition.
const gravity = 9.80665
