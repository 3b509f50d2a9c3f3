package scenarios

import (
	"pipelag/sim"
	"pipelag/units"
)

type pumpSaid struct {
	control                                                  said[string]
	flow, power, heat, lead, likelihood, rise, warm, longest said[float64]
}

func (a pumpSaid) over(b pumpSaid) pumpSaid {
	return pumpSaid{
		a.control.or(b.control), a.flow.or(b.flow), a.power.or(b.power), a.heat.or(b.heat),
		a.lead.or(b.lead), a.likelihood.or(b.likelihood), a.rise.or(b.rise), a.warm.or(b.warm), a.longest.or(b.longest),
	}
}

var pumpKeys = table[pumpSaid]{"a pump", func() []row[pumpSaid] {
	type p = pumpSaid
	return []row[p]{
		{"control", "continuous or demand", false, choice([]string{"continuous", "demand"}, func(x *p) *said[string] { return &x.control })},
		{"flow", "round the loop", false, quantity(units.Flow, 0.1e-3/60, 60e-3/60, func(x *p) *said[float64] { return &x.flow })},
		{"power", "electric, while it runs", false, quantity(units.Power, 0.1, 1000, func(x *p) *said[float64] { return &x.power })},
		{"heat", "share of its power that warms the water; 50 % if left out", false, quantity(units.Share, 0, 1, func(x *p) *said[float64] { return &x.heat })},
		{"lead", "demand: how long before a draw it is called; 1 min if left out", false, quantity(units.Duration, 0, 3600, func(x *p) *said[float64] { return &x.lead })},
		{"likelihood", "demand: share of draws wanting hot water that are preceded by a call; 80 % if left out", false, quantity(units.Share, 0, 1, func(x *p) *said[float64] { return &x.likelihood })},
		{"rise", "demand: temperature rise at the far end that stops it; 5 K if left out", false, quantity(units.Difference, 0.5, 40, func(x *p) *said[float64] { return &x.rise })},
		{"warm", "demand: temperature at the far end that stops it or keeps it off; 105 F if left out", false, quantity(units.Temperature, 20, 80, func(x *p) *said[float64] { return &x.warm })},
		{"max run", "demand: longest run; 5 min if left out", false, quantity(units.Duration, 10, 3600, func(x *p) *said[float64] { return &x.longest })},
	}
}}

// buildPump makes a pump; what is missing is noted.
func (b *builder) buildPump(l layout) *sim.Pump {
	s := l.pump.value
	for _, need := range []struct {
		key, doc string
		has      bool
	}{
		{"control", "control: continuous, or demand", s.control.at != nil},
		{"flow", "flow: 2 gpm", s.flow.at != nil},
		{"power", "power: 60 W", s.power.at != nil},
	} {
		if !need.has && !b.says(l.pump.at, need.key) {
			b.fault(l.pump.at, "the pump has no "+need.key, "add "+need.doc)
		}
	}
	path := "layouts." + l.name.value + ".pump."
	p := &sim.Pump{
		Control: sim.Continuous, Flow: s.flow.value, Power: s.power.value,
		HeatShare: b.or(s.heat, units.Share, defaultPumpHeat, path+"heat", "wet-rotor pumps give the water part of the motor's heat; round figure, no source"),
	}
	if s.control.value == "demand" {
		p.Control = sim.Demand
		p.Lead = b.or(s.lead, units.Duration, defaultLead, path+"lead", "round figure, no source")
		p.Likelihood = b.or(s.likelihood, units.Share, defaultLikelihood, path+"likelihood", "round figure, no source")
		p.Rise = b.or(s.rise, units.Difference, defaultRise, path+"rise", "trade practice is 3 to 6 K, from memory")
		p.Warm = b.or(s.warm, units.Temperature, defaultWarm, path+"warm", "as warm as a tap's water needs to be; round figure, no source")
		p.MaxRun = b.or(s.longest, units.Duration, defaultMaxRun, path+"max run", "round figure, no source")
	}
	return p
}
