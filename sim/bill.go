package sim

import "pipelag/sim/heater"

// Bill is what turns a year's water and energy into money and carbon, so that cost and
// net numbers can be worked again with others:
//
//	cost = water · (purged + left running + used) + Σ price · energy of heater and pump
//	net cost = cost − price · heating energy saved + price · cooling energy added
//
// and likewise for carbon; the heating energy saved is the heat that pipes lose into
// conditioned zones in the months of heating over its efficiency, the cooling energy
// added that in the months of cooling over its. Prices are in the result's currency.
type Bill struct {
	Water   float64        `json:"water_per_m3"` // supply and sewer together
	Energy  []CarrierBill  `json:"energy"`
	Heater  []HeaterSource `json:"heater"`
	Heating *SeasonBill    `json:"heating,omitempty"` // of rooms; nil where heat lost into them counts for nothing
	Cooling *SeasonBill    `json:"cooling,omitempty"`
}

// CarrierBill is what a form of energy costs.
type CarrierBill struct {
	Carrier string  `json:"carrier"`
	Price   float64 `json:"price_per_kWh"`
	Carbon  float64 `json:"co2_kg_per_kWh"`
}

// HeaterSource is what of its energy a source of the heater's heat brings into the
// water, before losses of its standing; a heat pump where it is rated.
type HeaterSource struct {
	Carrier    string  `json:"carrier"`
	Efficiency float64 `json:"efficiency"`
}

// SeasonBill is by what, how well and in which months rooms are heated or cooled.
type SeasonBill struct {
	Carrier    string  `json:"carrier"`
	Efficiency float64 `json:"efficiency"`
	Months     []int   `json:"months"` // 1 is January
}

// bill is that of a house.
func (h *House) bill() Bill {
	b := Bill{Water: h.Rates.Water}
	for c := range heater.Carrier(heater.Carriers) {
		b.Energy = append(b.Energy, CarrierBill{c.String(), h.Rates.Energy[c], h.Rates.Carbon[c]})
	}
	for _, e := range h.Heater.Kind.Efficiencies() {
		b.Heater = append(b.Heater, HeaterSource{e.Carrier.String(), e.Rated})
	}
	if h.Space != nil {
		b.Heating, b.Cooling = h.Space.Heating.bill(), h.Space.Cooling.bill()
	}
	return b
}

func (s *Season) bill() *SeasonBill {
	b := &SeasonBill{Carrier: s.Carrier.String(), Efficiency: s.Efficiency, Months: []int{}}
	for m, in := range s.Months {
		if in {
			b.Months = append(b.Months, m+1)
		}
	}
	return b
}
