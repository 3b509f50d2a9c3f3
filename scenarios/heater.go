package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"pipelag/network/heat"
	"pipelag/sim"
	"pipelag/sim/heater"
	"pipelag/units"
)

func (b *builder) buildHeater() {
	h := b.said.heater
	if h.at == nil {
		return
	}
	s := h.value
	b.zone(s.zone)
	b.zone(s.intake)
	if s.energy.at == nil || s.kind.at == nil {
		return
	}
	before := b.faults
	for _, k := range heaterKeysOf {
		if b.says(h.at, k.key) && !k.of(&s) {
			b.fault(keyOf(h.at, k.key), k.key+" of a heater to which it does not belong", "remove it; it goes with "+k.why)
		}
	}
	switch {
	case isStorage(&s) && s.volume.at == nil && !b.says(h.at, "volume"):
		b.fault(h.at, "a heater has no volume", "add volume: of water stored")
	case isStorage(&s) && s.volume.at != nil && s.volume.value < leastStored:
		b.fault(s.volume.at, fmt.Sprintf("%q is out of range", s.volume.at.text), fmt.Sprintf("give a volume from %s", units.Both(leastStored, units.Volume)))
	case !isStorage(&s) && s.energy.value != electric && s.energy.value != gas:
		b.fault(s.energy.at, "an instantaneous heater of energy "+s.energy.value, "write energy: gas or electric")
	case s.energy.value == coilOnly && s.coil.at == nil && !b.says(h.at, "coil"):
		b.fault(s.energy.at, "a tank without a source of heat", "add coil:, or another energy")
	}
	if s.volume.at == nil && isStorage(&s) || s.setpoint.at == nil || b.faults > before {
		return
	}
	made := sim.Heater{Setpoint: s.setpoint.value, Zone: s.zone.value, Intake: s.intake.value}
	switch {
	case !isStorage(&s):
		made.Kind = b.instantaneous(s)
	case inLayers(&s):
		made.Kind = b.tank(s)
	default:
		made.Kind = b.held(s)
	}
	b.made.house.Heater = made
	if b.faults > before {
		return
	}
	if _, err := made.Kind.New(waterCapacity(made.Setpoint)); err != nil {
		b.advise(h.at, err, "change one of them")
	}
}

// leastStored is the smallest tank [m³].
const leastStored = 0.005

// waterCapacity is the heat capacity of hot water by volume [J/(m³ K)].
func waterCapacity(setpoint float64) float64 {
	water, err := heat.WaterAt(setpoint)
	if err != nil {
		return 4.1e6 // what is wrong with the set point is noted elsewhere
	}
	return water.Density * water.SpecificHeat
}

// efficiencyOf is what the file says, if it can be, or the default.
func (b *builder) efficiencyOf(s heaterSaid, d heaterDefault) float64 {
	if e := s.efficiency; e.at != nil && !(e.value >= d.least && e.value <= d.most) {
		b.fault(e.at, fmt.Sprintf("an efficiency of %g where the energy is %s", e.value, s.energy.value), fmt.Sprintf("give a number from %g to %g", d.least, d.most))
	}
	return b.number(s.efficiency, d.efficiency, "heater.efficiency", d.whyEfficiency)
}

// held is a tank that always holds its set point.
func (b *builder) held(s heaterSaid) heater.Kind {
	d := heaterDefaults[s.energy.value]
	why := "the tank holds its set point whatever is drawn, so its volume changes nothing; one in layers can run out"
	if s.energy.value == heatPump {
		why = "the tank holds its set point whatever is drawn and its COP is the same in any air and at any set point, so its volume changes nothing; one in layers can run out, and its COP follows air and water"
	}
	b.assume("heater.layers", "none", why)
	return heater.Held{
		Setpoint:   s.setpoint.value,
		Efficiency: b.efficiencyOf(s, d),
		Loss:       b.or(s.loss, units.Conductance, d.loss, "heater.loss", d.whyLoss),
		Carrier:    d.carrier,
	}
}

// tank is one in layers.
func (b *builder) tank(s heaterSaid) heater.Kind {
	const round = "round figure, no source"
	d := heaterDefaults[s.energy.value]
	or := func(x said[float64], dimension units.Dimension, otherwise float64, key, why string) float64 {
		return b.or(x, dimension, otherwise, "heater."+key, why)
	}
	layers := s.layers.value
	if s.layers.at == nil {
		layers = heater.DefaultLayers
		b.assume("heater.layers", fmt.Sprint(layers), "a day's heat differs by less than 1 % with twice as many")
	}
	volume := s.volume.value
	height := or(s.height, units.Length, math.Cbrt(25*volume/math.Pi), "height", "2.5 times its diameter; "+round)
	tank := heater.Storage{
		Volume: volume, Height: height, Layers: layers,
		Loss:         or(s.loss, units.Conductance, d.loss, "loss", d.whyLoss),
		Conductivity: heater.StoredConductivity(2*math.Sqrt(volume/height/math.Pi), tankWall),
		Mixed:        or(s.mixed, units.Share, 0.1, "mixed", round),
		Return:       s.returns.value,
		Both:         s.both.value,
	}
	set := s.setpoint.value
	main := heater.Stage{Setpoint: set}
	if s.energy.value != coilOnly {
		main.Band = or(s.band, units.Difference, 5, "dead band", "5 to 8 K is usual, from memory")
	}
	upper := set
	switch s.energy.value {
	case electric:
		main.Source = heater.Element{Power: or(s.power, units.Power, 4500, "power", "a usual element, from memory")}
		main.Height, main.Sensor = 0.1, 0.15
	case gas:
		flue := or(s.flue, units.Conductance, tank.Loss/2, "flue", "half of the loss; "+round)
		if flue > tank.Loss {
			b.fault(s.flue.at, fmt.Sprintf("a flue of %s that loses more than jacket and flue together, %s", units.Both(flue, units.Conductance), units.Both(tank.Loss, units.Conductance)), "let it be a part of loss")
			return tank
		}
		tank.Loss -= flue
		main.Source = heater.Burner{
			Input:      or(s.power, units.Power, 11700, "power", "40 000 Btu/h, a usual burner, from memory"),
			Efficiency: b.efficiencyOf(s, d), Flue: flue, Pilot: s.pilot.value, Electronics: s.standby.value,
		}
		main.Sensor = 0.25
		if s.coil.at != nil { // it leaves the lower part to the coil
			main.Height, main.Sensor = 0.5, 0.6
		}
	case heatPump:
		d.efficiency, d.whyEfficiency = soldCOP, "COP with air at 20 C and water at 27 C, 4.6 to 5.7 to rate as units now sold do, a uniform energy factor of 3.3 to 4.1, from memory; early units had 3.0 to 3.6, NREL/TP-5500-62121, from memory"
		cop := heater.UsualCOP.As(b.efficiencyOf(s, d))
		main.Source = heater.HeatPump{
			Power: or(s.power, units.Power, 450, "power", "compressor of an integrated unit, from memory"), COP: cop,
			LeastAir: or(s.leastAir, units.Temperature, heater.UsualLeastAir, "least air", "37 F, product literature, from memory"), MostWater: max(set, 65),
			Electronics: s.standby.value,
		}
		main.Height, main.Sensor = 0.1, 0.3
		upper -= 8
	}
	if main.Source != nil {
		tank.Main = &main
	}
	if hasUpper(&s) {
		if power := or(s.upper, units.Power, 4500, "upper", "a usual element, from memory"); power > 0 {
			tank.Upper = &heater.Stage{
				Source: heater.Element{Power: power}, Height: 0.7, Sensor: 0.75, Band: main.Band,
				Setpoint: or(s.eco, units.Temperature, upper, "upper setpoint", round),
			}
		}
	}
	if s.coil.at != nil {
		tank.Coil = b.coil(s.coil.value)
	}
	return tank
}

// soldCOP is the COP, where that is rated, of integrated heat pumps now sold. With it the
// tank of the embedded cottage comes to a uniform energy factor of 3.3, 3.5 and 3.7 in the
// low, medium and high patterns of 10 CFR 430, and to 2.9 over a year there, where metered
// units of late had 2.5 to 3. With the 3.3 of early units it came to 2.2 to 2.5, and to 2.0
// over the year, where those had 1.8. What units had is from memory.
const soldCOP = 4.9

// tankWall is the thickness of a tank's steel [m]; round figure, no source.
const tankWall = 2.5e-3

func (b *builder) coil(s coilSaid) *heater.Coil {
	c := &heater.Coil{
		Carrier: heater.Sun,
		Most:    b.or(s.most, units.Temperature, 80, "heater.coil.most", "round figure, no source"),
		Height:  b.or(s.height, units.Share, 0.2, "heater.coil.height", "round figure, no source"),
	}
	if s.energy.value == "wood" {
		c.Carrier = heater.Wood
	}
	for _, o := range s.output {
		from, to, power := o.value.from, o.value.to, o.value.power
		if from.at == nil || to.at == nil || power.at == nil { // noted already
			continue
		}
		const hour = 3600.0
		if from.value >= to.value || math.Mod(from.value, hour) != 0 || math.Mod(to.value, hour) != 0 {
			b.fault(from.at, fmt.Sprintf("an output from %s to %s", from.at.text, to.at.text), "write full hours, the first before the second")
			continue
		}
		months := b.months(o.value.months, [12]bool{true, true, true, true, true, true, true, true, true, true, true, true})
		for m := range months {
			for h := int(from.value / hour); months[m] && h < int(to.value/hour); h++ {
				c.Output[m][h] += power.value
			}
		}
	}
	return c
}

// months are those named; otherwise if none is.
func (b *builder) months(s said[[]string], otherwise [12]bool) [12]bool {
	if s.at == nil {
		return otherwise
	}
	var known []string
	for m := time.January; m <= time.December; m++ {
		known = append(known, m.String()[:3])
	}
	var months [12]bool
	if len(s.value) == 1 && s.value[0] == "none" {
		return months
	}
	for _, name := range s.value {
		m := slices.Index(known, name)
		if m < 0 {
			b.fault(s.at, fmt.Sprintf("unknown month %q", name), suggest(name, "months", known))
			continue
		}
		months[m] = true
	}
	return months
}

// instantaneous is a heater without a store.
func (b *builder) instantaneous(s heaterSaid) heater.Kind {
	or := func(x said[float64], dimension units.Dimension, otherwise float64, key, why string) float64 {
		return b.or(x, dimension, otherwise, "heater."+key, why)
	}
	const memory = "product literature, rounded, from memory"
	d := heaterDefaults[s.energy.value]
	h := heater.Instantaneous{
		Setpoint: s.setpoint.value, Carrier: d.carrier,
		Exchanger:   or(s.volume, units.Volume, 1.5e-3, "volume", "round figure, no source") * waterCapacity(s.setpoint.value),
		Loss:        or(s.loss, units.Conductance, 1, "loss", "of the exchanger while it is warm; round figure, no source"),
		Electronics: s.standby.value,
	}
	if s.energy.value == gas {
		d.efficiency, d.whyEfficiency = 0.82, "instantaneous gas that does not condense, 0.81 to 0.82 as UEF, from memory; at least 0.81 in 10 CFR 430.32(d), read"
		h.Efficiency = b.efficiencyOf(s, d)
		h.Power = or(s.power, units.Power, 45000, "power", memory)
		h.LeastFlow = or(s.leastFlow, units.Flow, 0.5*gallonPerMinute, "least flow", memory)
		h.Delay = or(s.delay, units.Duration, 4, "delay", memory)
		return h
	}
	h.Efficiency = b.efficiencyOf(s, d)
	h.Power = or(s.power, units.Power, 24000, "power", memory)
	h.LeastFlow = or(s.leastFlow, units.Flow, 0.3*gallonPerMinute, "least flow", memory)
	h.Delay = s.delay.value
	return h
}

const gallonPerMinute = 231 * 0.0254 * 0.0254 * 0.0254 / 60 // [m³/s]

// buildSpace makes how heat lost into rooms counts; nil where the file does not say.
func (b *builder) buildSpace() {
	if b.said.space.at == nil {
		return
	}
	s := b.said.space.value
	season := func(s said[seasonSaid], otherwise sim.Season, path string) sim.Season {
		made := sim.Season{Months: b.months(s.value.months, otherwise.Months), Carrier: otherwise.Carrier}
		if s.value.months.at == nil {
			var names []string
			for m, in := range otherwise.Months {
				if in {
					names = append(names, time.Month(m + 1).String()[:3])
				}
			}
			b.assume(path+"months", strings.Join(names, ", "), "round figure, no source")
		}
		if e := s.value.energy; e.at != nil {
			made.Carrier = map[string]heater.Carrier{"electricity": heater.Electricity, "gas": heater.Gas, "wood": heater.Wood}[e.value]
		} else {
			b.assume(path+"energy", otherwise.Carrier.String(), "no source")
		}
		made.Efficiency = b.number(s.value.efficiency, otherwise.Efficiency, path+"efficiency", "round figure, no source")
		return made
	}
	cold, hot := [12]bool{0: true, 1: true, 2: true, 10: true, 11: true}, [12]bool{5: true, 6: true, 7: true}
	if b.south() {
		cold, hot = [12]bool{4: true, 5: true, 6: true, 7: true, 8: true}, [12]bool{0: true, 1: true, 11: true}
	}
	space := &sim.Space{
		Heating: season(s.heating, sim.Season{Months: cold, Carrier: heater.Gas, Efficiency: 0.8}, "conditioning.heating."),
		Cooling: season(s.cooling, sim.Season{Months: hot, Carrier: heater.Electricity, Efficiency: 3}, "conditioning.cooling."),
	}
	for m := range space.Heating.Months {
		if space.Heating.Months[m] && space.Cooling.Months[m] {
			b.fault(b.said.space.at, fmt.Sprintf("%s is a month of heating and of cooling", time.Month(m+1)), "let it be one of them, or neither")
			break
		}
	}
	b.made.house.Space = space
}
