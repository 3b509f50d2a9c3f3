package scenarios

import (
	"fmt"
	"strings"

	"pipelag/sim"
	"pipelag/sim/heater"
)

// buildRates fills in prices and carbon; what no layout uses is not recorded
// as an assumption.
func (b *builder) buildRates() {
	rates := b.said.rates.value
	currency := rates.currency.value
	if c := rates.currency; c.at != nil && (len(c.value) != 3 || strings.Trim(c.value, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "") {
		b.fault(c.at, fmt.Sprintf("%q is no currency", c.value), "write its three capital letters, such as USD")
	}
	for _, p := range []said[money]{rates.water, rates.electricity, rates.gas, rates.wood} {
		switch {
		case p.at == nil:
		case currency == "":
			currency = p.value.currency
		case p.value.currency != currency:
			b.fault(p.at, fmt.Sprintf("a price in %s beside one in %s", p.value.currency, currency), "give all prices in one currency")
		}
	}
	if currency == "" {
		currency = "USD"
		b.assume("rates.currency", currency, "no price is given")
	}
	const why = "invented round figure"
	uses := b.carriers()
	amount := func(p said[money], otherwise float64, used bool, path, per string) float64 {
		if p.at != nil {
			return p.value.amount
		}
		if used {
			b.assume(path, fmt.Sprintf("%g %s/%s", otherwise, currency, per), why)
		}
		if per == "kWh" {
			return otherwise / joulesPerKWh
		}
		return otherwise
	}
	intensity := func(c said[float64], otherwise float64, used bool, path string) float64 {
		if c.at != nil {
			return c.value * joulesPerKWh
		}
		if used {
			b.assume(path, fmt.Sprintf("%g kg/kWh", otherwise), why)
		}
		return otherwise
	}
	carbon := rates.carbon.value
	b.made.house.Rates = sim.Rates{
		Currency: currency,
		Water:    amount(rates.water, defaultWater, true, "rates.water", "m3"),
		Energy: [heater.Carriers]float64{
			heater.Electricity: amount(rates.electricity, defaultElectricity, uses[heater.Electricity], "rates.electricity", "kWh") * joulesPerKWh,
			heater.Gas:         amount(rates.gas, defaultGas, uses[heater.Gas], "rates.gas", "kWh") * joulesPerKWh,
			heater.Wood:        amount(rates.wood, defaultWood, uses[heater.Wood], "rates.wood", "kWh") * joulesPerKWh,
		},
		Carbon: [heater.Carriers]float64{
			heater.Electricity: intensity(carbon.electricity, defaultElectricityCarbon, uses[heater.Electricity], "rates.carbon.electricity"),
			heater.Gas:         intensity(carbon.gas, defaultGasCarbon, uses[heater.Gas], "rates.carbon.gas"),
			heater.Wood:        intensity(carbon.wood, defaultWoodCarbon, uses[heater.Wood], "rates.carbon.wood"),
		},
	}
}

// carriers tells which forms of energy the house uses; the sun's is free.
func (b *builder) carriers() (uses [heater.Carriers]bool) {
	h := &b.made.house
	for _, l := range h.Layouts {
		uses[heater.Electricity] = uses[heater.Electricity] || l.Pump != nil
	}
	s := b.said.heater.value
	switch s.energy.value {
	case gas:
		uses[heater.Gas] = true
	case electric, heatPump:
		uses[heater.Electricity] = true
	}
	if s.standby.value > 0 {
		uses[heater.Electricity] = true
	}
	if s.coil.value.energy.value == "wood" {
		uses[heater.Wood] = true
	}
	if h.Space != nil {
		uses[h.Space.Heating.Carrier], uses[h.Space.Cooling.Carrier] = true, true
	}
	return uses
}

const joulesPerKWh = 3.6e6
