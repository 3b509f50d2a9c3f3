package scenarios

import (
	"pipelag/units"
)

// house is what a scenario's file says, before anything is made of it.
type house struct {
	name     said[string]
	people   said[int]
	bedrooms said[int]
	pressure said[float64]
	water    said[waterSaid]
	code     said[string]
	cold     said[float64]
	limits   said[limitsSaid]
	climate  said[climateSaid]
	heater   said[heaterSaid]
	fixtures []named[fixtureSaid]
	places   said[placesSaid]
	plan     said[planSaid]
	draws    said[drawsSaid]
	rates    said[ratesSaid]
	space    said[spaceSaid]
	layouts  []said[layoutSaid]
}

const (
	mostFixtures = 60
	mostZones    = 30
	mostLayouts  = 60
	mostPipes    = 400

	mostManifolds = 12
	mostLines     = 20
	mostElbows    = 100
	mostPlaces    = 20000 // [[x, y, z], …] of 256 kB
)

var scenarioKeys = table[house]{"a scenario", func() []row[house] {
	return []row[house]{
		{"name", "what results and figures call the house", true, text("Courtyard house", func(h *house) *said[string] { return &h.name })},
		{"people", "how many live there, 1 to 12; volumes go by bedrooms, and by people only where these are left out", true, count(1, 12, func(h *house) *said[int] { return &h.people })},
		{"bedrooms", "how many, 1 to 12; published volumes go by them, whoever lives there; one fewer than people if left out", false, count(1, 12, func(h *house) *said[int] { return &h.bedrooms })},
		{"pressure", "of the water at the heater's outlet while it flows, where water: is left out", false, quantity(units.Pressure, 1e4, 2e6, func(h *house) *said[float64] { return &h.pressure })},
		{"water", "the street's pressure, and what stands between street and heater", false, within(waterKeys, func(h *house) *said[waterSaid] { return &h.water })},
		{"code", "plumbing code that demand goes by: IPC, or UPC; IPC if left out", false, text("IPC", func(h *house) *said[string] { return &h.code })},
		{"cold units", "fixture units by that code of what draws cold water alone: toilets, hose bibbs; one toilet for each lavatory, and one at least, if left out", false, factor(0, 500, func(h *house) *said[float64] { return &h.cold })},
		{"limits", "what piping is held against; all limits known if left out", false, within(limitsKeys, func(h *house) *said[limitsSaid] { return &h.limits })},
		{"climate", "temperatures of mains, rooms and ground", true, within(climateKeys, func(h *house) *said[climateSaid] { return &h.climate })},
		{"heater", "where the hot water comes from", true, within(heaterKeys, func(h *house) *said[heaterSaid] { return &h.heater })},
		{"fixtures", "taps and machines by name", false, each(fixtureKeys, mostFixtures, func(h *house) *[]named[fixtureSaid] { return &h.fixtures })},
		{"places", "candidates for takeoff --place; where lines through heater and fixtures cross if left out", false, within(placesKeys, func(h *house) *said[placesSaid] { return &h.places })},
		{"plan", "a house drawn from a few numbers, instead of fixtures with their places", false, within(planKeys, func(h *house) *said[planSaid] { return &h.plan })},
		{"draws", "whose habits draw the water, if not the usual ones", false, within(drawsKeys, func(h *house) *said[drawsSaid] { return &h.draws })},
		{"rates", "prices and carbon", false, within(ratesKeys, func(h *house) *said[ratesSaid] { return &h.rates })},
		{"conditioning", "how rooms are heated and cooled, so that heat lost into conditioned zones counts; it does not if left out", false, within(spaceKeys, func(h *house) *said[spaceSaid] { return &h.space })},
		{"layouts", "the ways of piping to compare; the first is the one the others are held against", true, many(layoutKeys, mostLayouts, func(h *house) *[]said[layoutSaid] { return &h.layouts })},
	}
}}

type climateSaid struct {
	mains said[mainsSaid]
	zones []named[zoneSaid]
}

var climateKeys = table[climateSaid]{"a climate", func() []row[climateSaid] {
	return []row[climateSaid]{
		{"mains", "temperature of the cold water", true, within(mainsKeys, func(c *climateSaid) *said[mainsSaid] { return &c.mains })},
		{"zones", "spaces that pipes and heater stand in, by name", true, each(zoneKeys, mostZones, func(c *climateSaid) *[]named[zoneSaid] { return &c.zones })},
	}
}}

// mainsSaid is a wave (mean, amplitude, coldest), or the air outdoors, from
// which the mains are estimated, or twelve means.
type mainsSaid struct {
	mean, amplitude           said[float64]
	coldest                   said[int]
	outdoorMean, outdoorRange said[float64]
	southern                  said[bool]
	monthly                   said[[12]float64]
}

const (
	coldest = -20 // [°C]
	warmest = 60  // [°C]
)

var mainsKeys = table[mainsSaid]{"the mains", func() []row[mainsSaid] {
	return []row[mainsSaid]{
		{"mean", "over the year", false, quantity(units.Temperature, 0, 40, func(m *mainsSaid) *said[float64] { return &m.mean })},
		{"amplitude", "half of warmest less coldest day", false, quantity(units.Difference, 0, 20, func(m *mainsSaid) *said[float64] { return &m.amplitude })},
		{"coldest", "the coldest day, such as Feb 10", false, day(func(m *mainsSaid) *said[int] { return &m.coldest })},
		{"outdoor mean", "annual mean of the air outdoors, to estimate the mains from (Burch and Christensen 2007)", false, quantity(units.Temperature, -10, 35, func(m *mainsSaid) *said[float64] { return &m.outdoorMean })},
		{"outdoor range", "warmest less coldest monthly mean of the air outdoors", false, quantity(units.Difference, 0, 60, func(m *mainsSaid) *said[float64] { return &m.outdoorRange })},
		{"southern", "true where July is winter, with outdoor mean", false, yesNo(func(m *mainsSaid) *said[bool] { return &m.southern })},
		{"monthly", "twelve monthly means, January first, where they are known", false, months(func(m *mainsSaid) *said[[12]float64] { return &m.monthly })},
	}
}}

type zoneSaid struct {
	mean, amplitude, daily said[float64]
	coldest                said[int]
	conditioned            said[bool]
}

var zoneKeys = table[zoneSaid]{"a zone", func() []row[zoneSaid] {
	return []row[zoneSaid]{
		{"mean", "over the year", true, quantity(units.Temperature, coldest, warmest, func(z *zoneSaid) *said[float64] { return &z.mean })},
		{"amplitude", "half of warmest less coldest day; 0 K if left out", false, quantity(units.Difference, 0, 60, func(z *zoneSaid) *said[float64] { return &z.amplitude })},
		{"coldest", "the coldest day; if left out Jan 20, or Jul 20 where the mains are coldest between May and October", false, day(func(z *zoneSaid) *said[int] { return &z.coldest })},
		{"daily", "half of a day's range; 0 K if left out", false, quantity(units.Difference, 0, 40, func(z *zoneSaid) *said[float64] { return &z.daily })},
		{"conditioned", "true where heating and cooling hold the temperature", false, yesNo(func(z *zoneSaid) *said[bool] { return &z.conditioned })},
	}
}}

type fixtureSaid struct {
	use          said[string]
	at           said[[3]float64]
	flow, usable said[float64]
	pressure     said[float64]
}

var fixtureKeys = table[fixtureSaid]{"a fixture", func() []row[fixtureSaid] {
	return []row[fixtureSaid]{
		{"use", "shower, bath, kitchen, lavatory, dishwasher or clothes washer", true, choice(uses(), func(f *fixtureSaid) *said[string] { return &f.use })},
		{"at", "where its tap is; needed where a layout is generated", false, place(func(f *fixtureSaid) *said[[3]float64] { return &f.at })},
		{"flow", "hot and cold together, fully open; at less a household uses as much, for longer", true, quantity(units.Flow, 0.5e-3/60, 60e-3/60, func(f *fixtureSaid) *said[float64] { return &f.flow })},
		{"usable", "temperature from which the wait is over; 105 F if left out", false, quantity(units.Temperature, 20, 60, func(f *fixtureSaid) *said[float64] { return &f.usable })},
		{"pressure", "at the tap for its flow; by use if left out", false, quantity(units.Pressure, 1e3, 1e6, func(f *fixtureSaid) *said[float64] { return &f.pressure })},
	}
}}

type ratesSaid struct {
	currency                      said[string]
	water, electricity, gas, wood said[money]
	carbon                        said[carbonSaid]
}

// dearest is where a price is taken for a slip, in whatever currency
// [money/m³], [money/kWh].
const dearest = 1e6

type carbonSaid struct{ electricity, gas, wood said[float64] }

var ratesKeys = table[ratesSaid]{"the rates", func() []row[ratesSaid] {
	return []row[ratesSaid]{
		{"currency", "three letters, such as USD; that of the prices if left out", false, text("USD", func(r *ratesSaid) *said[string] { return &r.currency })},
		{"water", "supply and sewer together", false, price(units.Volume, dearest, func(r *ratesSaid) *said[money] { return &r.water })},
		{"electricity", "price", false, price(units.Energy, dearest/joulesPerKWh, func(r *ratesSaid) *said[money] { return &r.electricity })},
		{"gas", "price", false, price(units.Energy, dearest/joulesPerKWh, func(r *ratesSaid) *said[money] { return &r.gas })},
		{"wood", "price", false, price(units.Energy, dearest/joulesPerKWh, func(r *ratesSaid) *said[money] { return &r.wood })},
		{"carbon", "carbon dioxide for energy used", false, within(carbonKeys, func(r *ratesSaid) *said[carbonSaid] { return &r.carbon })},
	}
}}

var carbonKeys = table[carbonSaid]{"the carbon", func() []row[carbonSaid] {
	const most = 3 / 3.6e6 // 3 kg/kWh
	return []row[carbonSaid]{
		{"electricity", "at the meter", false, quantity(units.Intensity, 0, most, func(c *carbonSaid) *said[float64] { return &c.electricity })},
		{"gas", "burnt", false, quantity(units.Intensity, 0, most, func(c *carbonSaid) *said[float64] { return &c.gas })},
		{"wood", "burnt, less what grows again", false, quantity(units.Intensity, 0, most, func(c *carbonSaid) *said[float64] { return &c.wood })},
	}
}}
