// Package sim lives through years of hot-water use: it carries the draws of a
// schedule through the pipes of each layout, keeps an account of every litre
// and joule, and compares the layouts.
//
// Not modelled: water hammer, leaks, cold-water pipes but for the line that a loop
// returns through, buoyancy inside pipes and so thermosiphon in a loop whose pump
// rests (a check valve is taken to prevent it).
package sim

import (
	"pipelag/network"
	"pipelag/network/hydraulics"
	"pipelag/network/limits"
	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/heater"
)

// House is everything a simulation needs: the people, the weather, the heater
// and the layouts to compare.
type House struct {
	Name     string
	Fixtures []Fixture
	Schedule schedules.Schedule
	Climate  schedules.Climate
	Heater   Heater
	Supply   *hydraulics.Service // the water that comes to the heater; nil where it passes whatever is wanted
	Limits   limits.Book         // what piping is held against; a year goes by none of it
	Rates    Rates
	Space    *Space // nil where heat lost into rooms counts for nothing
	Layouts  []Layout
}

// Fixture is a tap or machine.
type Fixture struct {
	Name   string
	Use    schedules.Use
	Flow   float64 // rated, hot and cold together [m³/s]
	Usable float64 // hot-side temperature from which the wait is over [°C]
	Needs  float64 // pressure at the tap for its rated flow, where there is a supply [Pa]
}

// Layout is one way to pipe the house.
type Layout struct {
	Network *network.Network
	Pump    *Pump // nil without a loop
}

// Heater is the heater of the house, or each of those of a layout that has several.
type Heater struct {
	Kind     heater.Kind
	Setpoint float64 // of the water it gives as long as it can [°C]
	Zone     string  // whose air surrounds it
	Intake   string  // whose air a heat pump draws on; that of its zone if empty
}

// Pump sends water round a loop.
type Pump struct {
	Rule      control.Rule
	Button    *control.Button // calls a pump on demand; nil without
	Motion    *control.Motion // calls it as well; nil without
	Flow      float64         // [m³/s]
	Power     float64         // electric, while running [W]
	HeatShare float64         // of its power that ends in the water [-]
	Crossover *Crossover      // where the loop returns through the cold line; nil with a line of its own
}

// Space is how the house itself is heated and cooled: heat that pipes lose into
// conditioned zones is of use in some months and a burden in others. That which the
// heater loses there, or a heat pump takes from there, is left out.
type Space struct {
	Heating, Cooling Season
}

// Season is the months in which rooms are heated or cooled, and by what.
type Season struct {
	Months     [12]bool
	Carrier    heater.Carrier
	Efficiency float64 // heat brought in, or taken out, for each unit of energy [-]
}

// Rates price a year and weigh its carbon.
type Rates struct {
	Currency string
	Water    float64                  // supply and sewer together [money/m³]
	Energy   [heater.Carriers]float64 // by carrier [money/kWh]
	Carbon   [heater.Carriers]float64 // by carrier [kg CO2/kWh]
}
