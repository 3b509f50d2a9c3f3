package scenarios

import "pipelag/units"

type heaterSaid struct {
	kind, energy, zone, intake         said[string]
	at                                 said[[3]float64]
	volume, setpoint, loss, efficiency said[float64]

	// Of a tank in layers.
	layers                                   said[int]
	height, power, band, flue, upper, eco    said[float64]
	returns, mixed, leastAir, pilot, standby said[float64]
	both                                     said[bool]
	coil                                     said[coilSaid]

	// Of an instantaneous heater.
	leastFlow, delay said[float64]
}

// The kinds of heater, and what drives them.
const (
	storage       = "storage"
	instantaneous = "instantaneous"

	electric = "electric"
	gas      = "gas"
	heatPump = "heat pump"
	coilOnly = "none"
)

var energies = []string{electric, gas, heatPump, coilOnly}

var heaterKeys = table[heaterSaid]{"a heater", func() []row[heaterSaid] {
	type h = heaterSaid
	return []row[h]{
		{"kind", "storage or instantaneous", true, choice([]string{storage, instantaneous}, func(x *h) *said[string] { return &x.kind })},
		{"energy", "electric, gas or heat pump; none where a coil alone heats the tank", true, choice(energies, func(x *h) *said[string] { return &x.energy })},
		{"at", "where its outlet is; needed where a layout is generated", false, place(func(x *h) *said[[3]float64] { return &x.at })},
		{"volume", "of water stored; instantaneous: as much water as holds the heat of its exchanger and the water in it, 1.5 L if left out", false, quantity(units.Volume, 0.0002, 2, func(x *h) *said[float64] { return &x.volume })},
		{"setpoint", "temperature it keeps", true, quantity(units.Temperature, 35, 90, func(x *h) *said[float64] { return &x.setpoint })},
		{"zone", "whose air stands round it", true, text("indoors", func(x *h) *said[string] { return &x.zone })},
		{"loss", "heat through jacket and flue for each degree above the zone; by energy if left out", false, quantity(units.Conductance, 0, 50, func(x *h) *said[float64] { return &x.loss })},
		{"efficiency", "heat into water for energy in, without the loss; a heat pump's COP: in layers that with air at 20 C and water at 27 C, which then follows both, else the same in any air and at any setpoint; by energy if left out", false, factor(0.1, 8, func(x *h) *said[float64] { return &x.efficiency })},
		{"layers", "into which the tank is cut, so that it can run out; one that always holds its set point if left out, or 16 with a coil", false, count(4, 64, func(x *h) *said[int] { return &x.layers })},
		{"height", "layers: of the water in the tank; 2.5 times its diameter if left out", false, quantity(units.Length, 0.1, 5, func(x *h) *said[float64] { return &x.height })},
		{"power", "layers: of an element or compressor, or the gas a burner takes; instantaneous: the most heat into the water; by kind and energy if left out", false, quantity(units.Power, 100, 1e5, func(x *h) *said[float64] { return &x.power })},
		{"upper", "layers, electric and heat pump: power of the element in the upper third, 0 W for none; 4500 W if left out", false, quantity(units.Power, 0, 1e5, func(x *h) *said[float64] { return &x.upper })},
		{"upper setpoint", "layers: of that element; the setpoint, or 8 K less beside a heat pump, if left out", false, quantity(units.Temperature, 20, 90, func(x *h) *said[float64] { return &x.eco })},
		{"both", "layers: true where main and upper may run at once; false if left out", false, yesNo(func(x *h) *said[bool] { return &x.both })},
		{"dead band", "layers: how far the water cools at a thermostat before it calls; 5 K if left out", false, quantity(units.Difference, 0.2, 30, func(x *h) *said[float64] { return &x.band })},
		{"flue", "layers, gas: the part of loss that goes up the flue while the burner is off; half of it if left out", false, quantity(units.Conductance, 0, 20, func(x *h) *said[float64] { return &x.flue })},
		{"pilot", "layers, gas: gas into the pilot light at all times, which makes good a part of loss at the burner's efficiency, so that a loss derived from a rating is that of pilot and burner together; none if left out", false, quantity(units.Power, 0, 1000, func(x *h) *said[float64] { return &x.pilot })},
		{"standby", "layers, instantaneous: electricity into controls at all times; none if left out", false, quantity(units.Power, 0, 200, func(x *h) *said[float64] { return &x.standby })},
		{"intake", "layers, heat pump: zone whose air it draws on; that of zone if left out", false, text("outdoors", func(x *h) *said[string] { return &x.intake })},
		{"least air", "layers, heat pump: it stands still with colder air; 3 C if left out", false, quantity(units.Temperature, -40, 30, func(x *h) *said[float64] { return &x.leastAir })},
		{"mixed", "layers: share of the tank that the cold water stirs as it comes in; 10 % if left out", false, quantity(units.Share, 0, 0.5, func(x *h) *said[float64] { return &x.mixed })},
		{"return height", "layers: share of the height at which a loop's water comes back; 0 % if left out", false, quantity(units.Share, 0, 0.8, func(x *h) *said[float64] { return &x.returns })},
		{"coil", "a coil in the tank that gives heat of the sun or of a wood fire", false, within(coilKeys, func(x *h) *said[coilSaid] { return &x.coil })},
		{"least flow", "instantaneous: below which it does not fire; 0.5 gpm for gas and 0.3 gpm for electric if left out", false, quantity(units.Flow, 0, 1e-3, func(x *h) *said[float64] { return &x.leastFlow })},
		{"delay", "instantaneous: from the flow to full fire; 4 s for gas and 0 s for electric if left out", false, quantity(units.Duration, 0, 120, func(x *h) *said[float64] { return &x.delay })},
	}
}}

// heaterKeysOf tells which heaters a key goes with; a key that is not here goes
// with any.
var heaterKeysOf = []struct {
	key string
	of  func(h *heaterSaid) bool
	why string
}{
	{"layers", isStorage, "kind: storage"},
	{"height", inLayers, "layers: 16"},
	{"power", func(h *heaterSaid) bool { return (inLayers(h) || !isStorage(h)) && h.energy.value != coilOnly }, "layers: 16, or kind: instantaneous"},
	{"upper", hasUpper, "layers: 16 and energy: electric or heat pump"},
	{"upper setpoint", hasUpper, "layers: 16 and energy: electric or heat pump"},
	{"both", hasUpper, "layers: 16 and energy: electric or heat pump"},
	{"dead band", func(h *heaterSaid) bool { return inLayers(h) && h.energy.value != coilOnly }, "layers: 16"},
	{"flue", func(h *heaterSaid) bool { return inLayers(h) && h.energy.value == gas }, "layers: 16 and energy: gas"},
	{"pilot", func(h *heaterSaid) bool { return inLayers(h) && h.energy.value == gas }, "layers: 16 and energy: gas"},
	{"standby", func(h *heaterSaid) bool {
		return !isStorage(h) || inLayers(h) && (h.energy.value == gas || h.energy.value == heatPump)
	}, "layers: 16 and energy: gas or heat pump, or kind: instantaneous"},
	{"intake", func(h *heaterSaid) bool { return inLayers(h) && h.energy.value == heatPump }, "layers: 16 and energy: heat pump"},
	{"least air", func(h *heaterSaid) bool { return inLayers(h) && h.energy.value == heatPump }, "layers: 16 and energy: heat pump"},
	{"mixed", inLayers, "layers: 16"},
	{"return height", inLayers, "layers: 16"},
	{"coil", isStorage, "kind: storage"},
	{"efficiency", func(h *heaterSaid) bool {
		return h.energy.value != coilOnly && !(inLayers(h) && h.energy.value == electric)
	}, "energy: gas or heat pump; an element turns all into heat"},
	{"least flow", func(h *heaterSaid) bool { return !isStorage(h) }, "kind: instantaneous"},
	{"delay", func(h *heaterSaid) bool { return !isStorage(h) }, "kind: instantaneous"},
}

func isStorage(h *heaterSaid) bool { return h.kind.value != instantaneous }

// inLayers tells whether a tank is cut into layers.
func inLayers(h *heaterSaid) bool {
	return isStorage(h) && (h.layers.at != nil || h.coil.at != nil || h.energy.value == coilOnly)
}

func hasUpper(h *heaterSaid) bool {
	return inLayers(h) && (h.energy.value == electric || h.energy.value == heatPump)
}

// coilSaid is heat of the sun or of a wood fire.
type coilSaid struct {
	energy       said[string]
	most, height said[float64]
	output       []said[outputSaid]
}

const mostOutputs = 100

var coilKeys = table[coilSaid]{"a coil", func() []row[coilSaid] {
	type c = coilSaid
	return []row[c]{
		{"energy", "sun or wood", true, choice([]string{"sun", "wood"}, func(x *c) *said[string] { return &x.energy })},
		{"most", "water as warm as this takes no more; 80 C if left out", false, quantity(units.Temperature, 30, 95, func(x *c) *said[float64] { return &x.most })},
		{"height", "share of the tank's height at which it gives its heat; 20 % if left out", false, quantity(units.Share, 0, 1, func(x *c) *said[float64] { return &x.height })},
		{"output", "how much it gives and when; what stands twice adds up", true, many(outputKeys, mostOutputs, func(x *c) *[]said[outputSaid] { return &x.output })},
	}
}}

// outputSaid is an output over some hours in some months.
type outputSaid struct {
	months   said[[]string]
	from, to said[float64]
	power    said[float64]
}

var outputKeys = table[outputSaid]{"an output", func() []row[outputSaid] {
	type o = outputSaid
	return []row[o]{
		{"months", "such as [Jan, Feb]; all if left out", false, words("Jan", 12, func(x *o) *said[[]string] { return &x.months })},
		{"from", "a full hour of the day", true, timeOfDay(func(x *o) *said[float64] { return &x.from })},
		{"to", "a full hour after it", true, timeOfDay(func(x *o) *said[float64] { return &x.to })},
		{"power", "heat into the tank", true, quantity(units.Power, 0, 1e5, func(x *o) *said[float64] { return &x.power })},
	}
}}

// spaceSaid is how the rooms are heated and cooled.
type spaceSaid struct{ heating, cooling said[seasonSaid] }

var spaceKeys = table[spaceSaid]{"the conditioning", func() []row[spaceSaid] {
	return []row[spaceSaid]{
		{"heating", "Nov to Mar with gas at 80 % if left out", false, within(seasonKeys, func(s *spaceSaid) *said[seasonSaid] { return &s.heating })},
		{"cooling", "Jun to Aug with electricity and a COP of 3 if left out", false, within(seasonKeys, func(s *spaceSaid) *said[seasonSaid] { return &s.cooling })},
	}
}}

// seasonSaid is the months in which rooms are heated or cooled, and by what.
type seasonSaid struct {
	months     said[[]string]
	energy     said[string]
	efficiency said[float64]
}

var seasonKeys = table[seasonSaid]{"a season", func() []row[seasonSaid] {
	type s = seasonSaid
	return []row[s]{
		{"months", "such as [Nov, Dec, Jan], or [none]", false, words("Nov", 12, func(x *s) *said[[]string] { return &x.months })},
		{"energy", "electricity, gas or wood", false, choice([]string{"electricity", "gas", "wood"}, func(x *s) *said[string] { return &x.energy })},
		{"efficiency", "heat brought in, or taken out, for each unit of energy", false, factor(0.1, 8, func(x *s) *said[float64] { return &x.efficiency })},
	}
}}
