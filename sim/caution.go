package sim

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pipelag/network"
	"pipelag/network/limits"
	"pipelag/schedules"
	"pipelag/sim/heater"
	"pipelag/sim/safety"
	"pipelag/units"
)

// Caution is a matter of safety or code that a result raises.
type Caution struct {
	Layout string `json:"layout,omitempty"` // empty where it holds for all
	Text   string `json:"text"`
}

// Cautions says what a house and its layouts raise, whatever the draws.
func Cautions(h *House) []Caution {
	return h.cautions(func(layout int) ([]Shortfall, error) { return Shortfalls(h, &h.Layouts[layout]) })
}

// cautions are those, by the shortfalls of each layout.
func (h *House) cautions(shortfalls func(layout int) ([]Shortfall, error)) []Caution {
	var all []Caution
	say := func(layout, format string, args ...any) {
		all = append(all, Caution{layout, fmt.Sprintf(format, args...)})
	}
	set := h.Heater.Setpoint
	if hot := hottest(&h.Heater); hot > safety.BathingMost {
		in := "about"
		if hot > safety.BurnTableEnds {
			in = "less than"
		}
		say("", "Scalding: water leaves the heater at up to %.0f C (%.0f F) and burns an adult's skin to the second degree in %s %s, a child's in less (after Moritz and Henriques 1947); bathing outlets may give 49 C (120 F) at the most. A mixing valve at the fixture is the usual protection.", hot, fahrenheit(hot), in, units.Roughly(safety.BurnAt(hot).Second))
	}
	if stores(h.Heater.Kind) && set < safety.StoreLeast {
		say("", "Legionella: water is stored at %.0f C (%.0f F); below 60 C (140 F) it can grow in the tank and in pipes that stand. Hotter storage with mixing valves is how practice reconciles this with scalding.", set, fahrenheit(set))
	}
	if tank, ok := h.Heater.Kind.(heater.Storage); ok && tank.Main != nil {
		calls := tank.Main.Setpoint - tank.Main.Band
		if tank.Upper != nil {
			calls = max(calls, tank.Upper.Setpoint-tank.Upper.Band)
		}
		for _, f := range h.Fixtures {
			if f.Usable > calls {
				say("", "Heater: its thermostat calls for heat once the water is at %.1f C (%.1f F), and %s waits for %.1f C (%.1f F): between two fires people may wait in vain. Set it higher, or with less of a dead band.", calls, fahrenheit(calls), f.Name, f.Usable, fahrenheit(f.Usable))
				break
			}
		}
	}
	if off := h.cautionOfCOP(); off != "" {
		say("", "%s", off)
	}
	if f, err := NewFiring(h); err == nil && f != nil {
		if weak := f.cautionOfPower(h.Fixtures); weak != "" {
			say("", "%s", weak)
		}
	}
	if zone := h.Heater.draws(); h.Space != nil && h.conditioned(zone) {
		say("", "Net numbers: the heat pump takes heat from the air of %s, which is itself heated and cooled, and that is left out of them; heat that pipes lose there saves less heating than they say, and takes less cooling.", zone)
	}
	zones := h.extremes()
	for i := range h.Layouts {
		l := &h.Layouts[i]
		coldest, warmest := around(l.Network, zones)
		if air := warmest.warmest; air > max(hottest(&h.Heater), safety.BathingMost) {
			say(l.Network.Name, "Scalding: it gets as warm as %.0f C (%.0f F) in %s, which is more than the heater gives; water that has stood in the pipes there comes out as hot.", air, fahrenheit(air), warmest.zone)
		}
		if air := coldest.coldest; air < 0 {
			say(l.Network.Name, "Frost: it gets as cold as %.0f C (%.0f F) in %s; water that stands in the pipes there may freeze and burst them, which is not modelled.", air, fahrenheit(air), coldest.zone)
		}
		if l.Pump != nil {
			h.cautionsOfPump(l, func(format string, args ...any) { say(l.Network.Name, format, args...) })
		}
		if l.Pump != nil && l.Pump.Crossover != nil {
			l.Pump.cautions(func(format string, args ...any) { say(l.Network.Name, format, args...) })
		}
		if l.Pump != nil && l.Pump.Crossover == nil && set < safety.ReturnLeast {
			say(l.Network.Name, "Legionella: a loop fed at %.0f C (%.0f F) cannot come back at the 51 C (124 F) that ASHRAE Guideline 12 asks of a return.", set, fahrenheit(set))
		}
		if short, err := shortfalls(i); err != nil {
			say(l.Network.Name, "Flow: %v.", err)
		} else if len(short) > 0 {
			say(l.Network.Name, "%s", cautionOfFlow(short))
			say(l.Network.Name, "Comparison: where fixtures get less water than through another layout, less water, energy or cost is no merit.")
		}
		for _, p := range l.Network.Pipes {
			if limits.Undersized(p.Tube) {
				say(l.Network.Name, "Size: %s %s is smaller than the 3/8 in that plumbing codes prescribe at the least; an engineer and the local authority must agree to it.", p.Tube.Kind, p.Tube.Size)
				break
			}
		}
	}
	if h.Supply == nil {
		say("", "Flow is what the schedule asks for; whether these pipes pass it at the pressure there is has not been checked.")
	}
	say("", "Local codes and licensed practice decide; these are simulated figures, not a design.")
	return all
}

// hottest is the temperature that a heater's water may have [°C]: a coil goes on
// beyond the set point.
func hottest(h *Heater) float64 {
	if s, ok := h.Kind.(heater.Storage); ok && s.Coil != nil {
		return max(h.Setpoint, s.Coil.Most)
	}
	return h.Setpoint
}

// draws is the zone whose air a heat pump takes heat from; empty of other heaters.
func (h *Heater) draws() string {
	if !slices.ContainsFunc(h.Kind.Efficiencies(), func(e heater.Efficiency) bool { return e.Rated > 1 }) {
		return ""
	}
	return cmp.Or(h.Intake, h.Zone)
}

// conditioned tells whether a zone is heated and cooled.
func (h *House) conditioned(zone string) bool {
	return slices.ContainsFunc(h.Climate.Zones, func(z schedules.Zone) bool { return z.Name == zone && z.Conditioned })
}

// extremes are the coldest and the warmest hour of a zone in the year [°C].
type extremes struct {
	zone             string
	coldest, warmest float64
}

// extremes are those of every zone.
func (h *House) extremes() []extremes {
	var all []extremes
	for _, z := range h.Climate.Zones {
		e := extremes{z.Name, math.Inf(1), math.Inf(-1)}
		for hour := range schedules.DaysPerYear * 24 {
			air := z.Temperature.At((float64(hour) + 0.5) * 3600)
			e.coldest, e.warmest = min(e.coldest, air), max(e.warmest, air)
		}
		all = append(all, e)
	}
	return all
}

// around are the zone of the coldest and that of the warmest hour among those in which
// a network has pipes.
func around(n *network.Network, zones []extremes) (coldest, warmest extremes) {
	coldest.coldest, warmest.warmest = math.Inf(1), math.Inf(-1)
	for _, e := range zones {
		if !slices.ContainsFunc(n.Pipes, func(p network.Pipe) bool { return p.Zone == e.zone }) {
			continue
		}
		if e.coldest < coldest.coldest {
			coldest = e
		}
		if e.warmest > warmest.warmest {
			warmest = e
		}
	}
	return coldest, warmest
}

// cautions are what a layout's years raise.
func (l *layoutYears) cautions(h *House, name string) []Caution {
	var all []Caution
	say := func(format string, args ...any) {
		all = append(all, Caution{name, fmt.Sprintf(format, args...)})
	}
	loop := "the loop"
	if l.hottest > 0 {
		l.cautionsOfCold(say)
		loop += " and its cold line"
	}
	if l.lukewarm > 0 {
		say("Legionella: some water in %s is between 25 and 45 C (77 and 113 F), in which it grows, %s.", loop, howLong(l.lukewarmHours()))
		say("Legionella: pipes that are in no loop pass through that after every draw, which is not counted.")
	}
	if t := l.returned / l.returning; t < safety.ReturnLeast {
		say("Legionella: the loop comes back at %.1f C (%.1f F) in the mean while its pump runs; ASHRAE Guideline 12 asks for 51 C (124 F) at the least.", t, fahrenheit(t))
	}
	if l.coolest < safety.StoreLeast && l.coolest < h.Heater.Setpoint-1 {
		say("Legionella: at its coolest the water at the outlet of the store was at %.0f C (%.0f F); ASHRAE Guideline 12 asks for 60 C (140 F) in a store.", l.coolest, fahrenheit(l.coolest))
	}
	if l.same() {
		say("Intervals: every year is the same, as recorded draws and those of a pattern are; that the intervals have no width does not say how sure the numbers are.")
	}
	worst := -1
	for f, r := range l.rests {
		if r.volume > 0 && (worst < 0 || r.longest > l.rests[worst].longest) {
			worst = f
		}
	}
	if worst >= 0 {
		r := l.rests[worst]
		say("Legionella: dead legs; the pipe to %s alone holds %s and once stood for %s, the longest of the layout's.", h.Fixtures[worst].Name, units.Both(r.volume, units.Volume), units.Roughly(r.longest))
	}
	l.cautionsOfHeater(h, say)
	return all
}

// howLong says for how long of a year something is so that is so for some hours of it, in
// words that layouts share; the table of pumps has the hours a day.
func howLong(hours float64) string {
	switch perDay := hours / schedules.DaysPerYear; {
	case perDay >= 23.95: // 24.0 in that table
		return "all of the year"
	case perDay >= 12:
		return "more than half of the time"
	}
	return "less than half of the time"
}

func fahrenheit(celsius float64) float64 { return celsius*9/5 + 32 }
