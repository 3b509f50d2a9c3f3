// Package sim lives through years of hot-water use: it carries the draws of a
// schedule through the pipes of each layout, keeps an account of every litre
// and joule, and compares the layouts.
//
// Not modelled: water hammer, leaks, the cold-water pipes, buoyancy inside
// pipes, a heater that runs out of hot water.
package sim

import (
	"pipelag/network"
	"pipelag/network/hydraulics"
	"pipelag/schedules"
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
	Rates    Rates
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

// Carrier is the form in which energy reaches the heater.
type Carrier uint8

// The carriers.
const (
	Electricity Carrier = iota
	Gas
)

// Heater is a storage heater held at its set point.
type Heater struct {
	Setpoint   float64 // of the stored water [°C]
	Volume     float64 // [m³]
	Loss       float64 // through the jacket [W/K]
	Efficiency float64 // heat into water per energy in: under one for burners and elements, a COP above
	Carrier    Carrier
	Zone       string // whose air surrounds it
}

// Control is how a pump is switched.
type Control uint8

// The controls.
const (
	Continuous Control = iota
	Demand
)

// Pump sends water round a loop.
type Pump struct {
	Control    Control
	Flow       float64 // [m³/s]
	Power      float64 // electric, while running [W]
	HeatShare  float64 // of its power that ends in the water [-]
	Lead       float64 // Demand: how long before a draw it is called [s]
	Likelihood float64 // Demand: chance that a draw that wants hot water is preceded by a call [-]
	Rise       float64 // Demand: temperature rise at the loop's far end that stops it [K]
	Warm       float64 // Demand: temperature at the loop's far end that stops it, or keeps it off [°C]
	MaxRun     float64 // Demand: longest run [s]
}

// Rates price a year and weigh its carbon.
type Rates struct {
	Currency string
	Water    float64    // supply and sewer together [money/m³]
	Energy   [2]float64 // by Carrier [money/kWh]
	Carbon   [2]float64 // by Carrier [kg CO2/kWh]
}
