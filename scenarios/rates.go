package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"pipelag/sim"
)

// buildRates fills in prices and carbon; what no layout uses is not recorded
// as an assumption.
func (b *builder) buildRates() {
	rates := b.said.rates.value
	currency := rates.currency.value
	if c := rates.currency; c.at != nil && (len(c.value) != 3 || strings.Trim(c.value, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "") {
		b.fault(c.at, fmt.Sprintf("%q is no currency", c.value), "write its three capital letters, such as USD")
	}
	for _, p := range []said[money]{rates.water, rates.electricity, rates.gas} {
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
	gas := b.made.house.Heater.Carrier == sim.Gas
	electricity := !gas || slices.ContainsFunc(b.made.house.Layouts, func(l sim.Layout) bool { return l.Pump != nil })
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
		Energy: [2]float64{
			sim.Electricity: amount(rates.electricity, defaultElectricity, electricity, "rates.electricity", "kWh") * joulesPerKWh,
			sim.Gas:         amount(rates.gas, defaultGas, gas, "rates.gas", "kWh") * joulesPerKWh,
		},
		Carbon: [2]float64{
			sim.Electricity: intensity(carbon.electricity, defaultElectricityCarbon, electricity, "rates.carbon.electricity"),
			sim.Gas:         intensity(carbon.gas, defaultGasCarbon, gas, "rates.carbon.gas"),
		},
	}
}

const joulesPerKWh = 3.6e6
