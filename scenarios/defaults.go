package scenarios

import "pipelag/sim/heater"

// outlet is the node every layout's pipes begin at.
const outlet = "heater"

// What a file may leave out. A default that reaches a result is recorded in
// the scenario as an Assumption, with what stands behind it.
const (
	defaultPressure = 300e3 // [Pa]; round figure, no source
	defaultNeeds    = 55158 // [Pa], 8 psi; a sink's in IPC 604.3, read
	defaultCode     = "IPC"
	defaultUsable   = (105 - 32) / 1.8 // [°C]; use temperature of ANSI/RESNET/ICC 301, read as quoted
	defaultBare     = 0.05             // common practice, no source

	coldestDay   = 19  // Jan 20; common in the north, no source
	coldestSouth = 200 // Jul 20; common in the south, no source
	coldestHour  = 5.0 // [h]; common practice, no source

	// Round figures, invented: prices differ from place to place.
	defaultWater             = 3.0  // [money/m³]
	defaultElectricity       = 0.16 // [money/kWh]
	defaultGas               = 0.05 // [money/kWh]
	defaultElectricityCarbon = 0.4  // [kg/kWh]
	defaultGasCarbon         = 0.2  // [kg/kWh]
	defaultWood              = 0.06 // [money/kWh]
	defaultWoodCarbon        = 0.02 // [kg/kWh]; what grows again is not counted

	defaultPumpHeat   = 0.5           // wet-rotor pumps give the water part of the motor's heat; round figure, no source
	defaultLead       = 60.0          // [s]; round figure, no source
	defaultLikelihood = 0.8           // round figure, no source
	defaultRise       = 5.0           // [K]; trade practice is 3 to 6 K (5 to 10 °F), from memory
	defaultWarm       = defaultUsable // [°C]; round figure, no source
	defaultMaxRun     = 300           // [s]; round figure, no source

	// Of a return through the cold line.
	defaultCloses    = 35.0 // [°C]; trade practice is 35 to 40 °C, from memory
	defaultCloseBand = 5.0  // [K]; round figure, no source
	defaultLukewarm  = 25.0 // [°C]; from which Legionella grows, WHO 2007, read

	// Of motion and learning: round figures, no source.
	defaultMotionLead       = 20.0 // [s]
	defaultMotionLikelihood = 0.95
	defaultFalse            = 10.0  // a day
	defaultDead             = 900.0 // [s]
	defaultMemory           = 14 * 86400.0
	defaultLeast            = 0.3   // draws a day in an hour
	defaultLearningLead     = 600.0 // [s]
)

// heaterDefault is what a tank heated by one form of energy is taken to be; what is
// otherwise in layers or without a store is said where those are made.
type heaterDefault struct {
	carrier                heater.Carrier
	efficiency, loss       float64 // [-], [W/K]
	least, most            float64 // efficiency that can be [-]
	whyEfficiency, whyLoss string
}

// All from memory: product literature, rounded from the ranges named.
var heaterDefaults = map[string]heaterDefault{
	electric: {
		heater.Electricity, 0.98, 1.0, 0.5, 1,
		"immersed elements, from memory", "electric storage of 50 gal, 0.8 to 1.3 W/K, from memory",
	},
	gas: {
		heater.Gas, 0.78, 4.5, 0.3, 1,
		"recovery efficiency of gas storage, 0.75 to 0.80, from memory", "gas storage with its flue, 3.7 to 5.8 W/K, from memory",
	},
	heatPump: {
		heater.Electricity, 3.0, 1.8, 1, 8,
		"COP of integrated units in mild air, 2.5 to 3.6, from memory", "tank of an integrated unit, 1.6 to 2.1 W/K, from memory",
	},
	coilOnly: {
		heater.Sun, 1, 1.5, 1, 1,
		"a coil gives all its heat to the tank", "a tank of 80 gal with a coil, 1.2 to 2 W/K, from memory",
	},
}
