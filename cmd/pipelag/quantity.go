package main

import (
	"math"
	"strconv"
	"strings"

	"pipelag/internal/decimal"
	"pipelag/sim"
	"pipelag/units"
)

// shown is how a quantity stands in a table and in a file.
type shown struct {
	quantity sim.Quantity
	label    string
	kind     kind
	meaning  string
	detail   bool // in tables only when asked for
}

// kind is what a quantity measures, which chooses its unit.
type kind uint8

const (
	water kind = iota
	hours
	energy
	money
	mass
)

// quantitiesShown are all quantities, in the order of tables and files.
var quantitiesShown = []shown{
	{sim.Purged, "water purged", water, "water that ran out before it was usable", false},
	{sim.LeftRunning, "left running", water, "water that ran out usable while nobody used it", false},
	{sim.Used, "water used", water, "water put to use, hot and cold together", false},
	{sim.HotDrawn, "hot drawn", water, "of all water run, what came through the hot pipes", true},
	{sim.Wait, "waiting", hours, "time people spent waiting for usable water", false},
	{sim.PipeLoss, "pipe heat loss", energy, "heat lost from pipes to their surroundings", false},
	{sim.Drain, "heat to drain", energy, "heat in the water purged and left running, above the mains", false},
	{sim.TankLoss, "standby loss", energy, "heat lost from the heater, with a tank or without, through its jacket, and through its flue while the burner is off", false},
	{sim.HeaterInput, "heater energy", energy, "energy into the heater: fuel, electricity, heat of the sun or of a fire", false},
	{sim.PumpInput, "pump energy", energy, "electricity into the pump", false},
	{sim.Pumped, "pumped round", water, "water the pump moved round the loop", true},
	{sim.PumpTime, "pump running", hours, "time the pump ran", true},
	{sim.Cost, "cost", money, "price of the water purged, left running and used, and of the energy of heater and pump", false},
	{sim.Carbon, "CO2", mass, "carbon dioxide of the energy of heater and pump", false},
	{sim.Cooled, "used gone cool", water, "water used after usable water had come and while it was usable no longer; where it is less than a thousandth of the water used it hangs on chance and on the grid", true},
	{sim.LoopLoss, "loop heat loss", energy, "of the heat lost from pipes, that from the loop", true},
	{sim.Electricity, "heater, electric", energy, "of the energy into the heater, electricity", true},
	{sim.Gas, "heater, gas", energy, "of the energy into the heater, gas", true},
	{sim.Wood, "heater, wood", energy, "of the energy into the heater, heat of a wood fire", true},
	{sim.Sun, "heater, sun", energy, "of the energy into the heater, heat of the sun", true},
	{sim.HeatingSaved, "heating energy saved", energy, "energy that heating rooms need not take: the heat that pipes lose into conditioned rooms in months of heating, over the efficiency of heating", true},
	{sim.CoolingAdded, "cooling energy added", energy, "energy that cooling rooms takes more: the heat that pipes lose into conditioned rooms in months of cooling, over the efficiency of cooling", true},
	{sim.NetLoss, "net pipe heat loss", energy, "heat lost from pipes less what of it heats rooms, which is the heating energy saved times the efficiency of heating; cooling is not in it", true},
	{sim.NetEnergy, "net energy", energy, "energy of heater and pump, less the heating energy saved, plus the cooling energy added", true},
	{sim.NetCost, "net cost", money, "cost, less the price of the heating energy saved, plus that of the cooling energy added", true},
	{sim.NetCarbon, "net CO2", mass, "carbon dioxide of the energy of heater and pump, less that of the heating energy saved, plus that of the cooling energy added", true},
	{sim.ColdHeat, "heat to cold taps", energy, "heat that a cold line with a crossover brought to cold taps, above the mains", true},
	{sim.ColdWarm, "lukewarm at cold taps", water, "of the water it brought to cold taps, what was lukewarm", true},
	{sim.ColdOver, "over the cold limit", water, "water sent into it above the 40 C (104 F) of the energy code", true},
	{sim.ColdLoss, "cold line heat loss", energy, "of the heat lost from pipes, that from the cold line; below 0 where it took up more than it lost", true},
}

func quantityShown(q sim.Quantity) shown {
	for _, s := range quantitiesShown {
		if s.quantity == q {
			return s
		}
	}
	panic("pipelag: quantity " + q.Key() + " is not shown") // a test holds the list to be whole
}

const (
	secondsPerHour = 3600
	kilowattHour   = 3.6e6 // [J]
)

// in is a value in the unit a table shows it in.
func (s shown) in(system units.System, si float64) float64 {
	switch s.kind {
	case water:
		return system.Convert(si, units.Volume)
	case hours:
		return si / secondsPerHour
	case energy:
		return system.Convert(si, units.Energy)
	case mass:
		return system.Convert(si, units.Mass)
	}
	return si
}

func (s shown) unit(system units.System, currency string) string {
	switch s.kind {
	case water:
		return system.Unit(units.Volume)
	case hours:
		return "h"
	case energy:
		return system.Unit(units.Energy)
	case mass:
		return system.Unit(units.Mass)
	}
	return currency
}

// keyUnit is the unit a quantity has in files, which its key ends in.
func (s shown) keyUnit(currency string) string {
	if s.kind == money {
		return currency
	}
	key := s.quantity.Key()
	return key[strings.LastIndex(key, "_")+1:]
}

// inKeyUnit is a value in the unit its key ends in: that of the tables in SI.
func (s shown) inKeyUnit(si float64) float64 { return s.in(units.SI, si) }

// parse reads a number in the unit of the quantity's key.
func (s shown) parse(number string) (float64, error) {
	if s.kind == money {
		return units.ParseNumber(number)
	}
	dimension := map[kind]units.Dimension{water: units.Volume, hours: units.Duration, energy: units.Energy, mass: units.Mass}
	return units.Parse(number+" "+s.keyUnit(""), dimension[s.kind])
}

// estimate is a mean and half its 95 % interval as text, both rounded to the last
// telling figure of the half-width; the mean to no more than four figures; neither finer
// than the power of ten given. The half-width is left out where it is unknown or rounds
// to nothing.
func estimate(mean, half float64, finest int) (string, string) {
	place := max(decimal.Last(mean, 4), finest)
	if half > 0 {
		place = max(telling(half), place)
	}
	text, width := rounded(mean, place), ""
	if half > 0 {
		width = rounded(half, place)
	}
	if strings.Trim(width, "0.") == "" {
		width = ""
	}
	if strings.Trim(text, "0.") == "" {
		text = "0"
	}
	return text, width
}

// threeFigures is a number as text, to three figures.
func threeFigures(x float64) string {
	text, _ := estimate(x, 0, decimal.Last(x, 3))
	return text
}

// telling is the power of ten of the last figure of a number that tells its size:
// its first, or its second where the first is 1 or 2.
func telling(x float64) int {
	first := decimal.Magnitude(x)
	if math.Abs(x) < 3*math.Pow10(first) {
		return first - 1
	}
	return first
}

// finestShown is where sums over a year of numbers of a size begin to be
// rounding: the fifth figure.
func finestShown(size float64) int { return decimal.Magnitude(size) - 4 }

// rounded is a number to a power of ten.
func rounded(x float64, place int) string {
	if place > 0 {
		unit := math.Pow10(place)
		return plain(strconv.FormatFloat(math.Round(x/unit)*unit, 'f', 0, 64))
	}
	return plain(strconv.FormatFloat(x, 'f', -place, 64))
}

// plain takes the sign off a zero.
func plain(text string) string {
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}
