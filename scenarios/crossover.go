package scenarios

import (
	"fmt"
	"slices"

	"pipelag/network"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/sim/control"
	"pipelag/units"
)

// throughCold tells whether a layout's loop returns through the cold line.
func (l layout) throughCold() bool { return l.pumped && l.backLine.value.line.value == coldLine }

// crossover is how a loop crosses into the cold line.
type crossover struct {
	name     string // of the layout
	fixtures []int  // of which the farthest from the heater has it
	cold     func(hot network.Pipe) network.Run
}

// buildCrossover makes it of what a layout says; nil for a layout without, and
// after a mistake.
func (b *builder) buildCrossover(l layout) *crossover {
	at, s := l.backLine.at, l.backLine.value
	if !l.throughCold() {
		for _, key := range []string{"crossover", "closes", "opens", "lukewarm"} {
			if b.says(at, key) {
				b.fault(keyOf(at, key), key+" of a loop with a return line of its own", "remove it, or write line: cold")
			}
		}
		return nil
	}
	before := b.faults
	if b.said.fixtures == nil {
		return nil
	}
	c := &crossover{name: l.name.value}
	var names []string
	for f, fixture := range b.made.house.Fixtures {
		names = append(names, fixture.Name)
		if fixture.Use == schedules.Dishwasher { // it takes hot water alone
			if s.crossover.value == fixture.Name {
				b.fault(s.crossover.at, fmt.Sprintf("a crossover at %q, which has no cold pipe", fixture.Name), "put it at a fixture with a cold tap")
			}
			continue
		}
		if s.crossover.at == nil || s.crossover.value == fixture.Name {
			c.fixtures = append(c.fixtures, f)
		}
	}
	switch {
	case s.crossover.at != nil && !slices.Contains(names, s.crossover.value):
		b.fault(s.crossover.at, fmt.Sprintf("unknown fixture %q", s.crossover.value), suggest(s.crossover.value, "fixtures", names))
	case c.fixtures == nil && b.faults == before:
		b.fault(at, "a return through the cold line, and no fixture has a cold pipe", "give the return a line of its own")
	}
	c.cold = b.coldPipes(l)
	if b.faults > before {
		return nil
	}
	return c
}

// coldPipes makes a cold pipe of the hot one that it runs beside, with what is said
// of it in place of what is the hot one's.
func (b *builder) coldPipes(l layout) func(hot network.Pipe) network.Run {
	at, s := l.backLine.at, l.backLine.value.run
	path := "layouts." + l.name.value + ".return."
	var run network.Run
	switch tube, size := s.tube.at != nil, s.size.at != nil; {
	case s.size.value == chosen:
		b.fault(s.size.at, "a cold line whose size is to be chosen", "state its size, or leave tube and size out for those of the hot pipes beside it")
	case tube && size:
		run.Tube = b.tube(s.tube, s.size)
	case tube != size:
		b.fault(at, "the cold line has only one of tube and size", "add the other, or leave both out for those of the hot pipes beside it")
	default:
		b.assume(path+"tube", "as the hot pipes it runs beside", "cold and hot run together; common practice, no source")
	}
	if s.zone.at == nil {
		b.assume(path+"zone", "as the hot pipes it runs beside", "cold and hot run together; common practice, no source")
	}
	run.Zone = b.zone(s.zone)
	if s.insulation.at == nil {
		b.assume(path+"insulation", "none", "cold pipes are mostly bare; common practice, no source")
	}
	b.wrap(&run, s)
	return func(hot network.Pipe) network.Run {
		cold := run
		if s.tube.at == nil {
			cold.Tube = hot.Tube
		}
		if s.zone.at == nil {
			cold.Zone = hot.Zone
			if s.buried.at == nil {
				cold.Burial = hot.Burial
			}
		}
		return cold
	}
}

// lay joins the hot line to the cold one.
func (c *crossover) lay(n *network.Network) (*network.Network, error) {
	if c == nil {
		return n, nil
	}
	far := c.fixtures[0]
	for _, f := range c.fixtures {
		if n.PathLength(f) > n.PathLength(far) {
			far = f
		}
	}
	return n.WithCrossover(c.name, far, c.cold)
}

// whyCloses is what stands behind the temperature at which a crossover shuts.
const whyCloses = "trade practice is 35 to 40 C at a crossover, from memory; the energy code lets no more than 40 C into the cold line"

// valveKeys belong to a valve of its own at the crossover.
var valveKeys = []string{"closes", "opens"}

// buildValve makes what passes and stops the water at the crossover.
func (b *builder) buildValve(p *sim.Pump, l layout) {
	at, s := l.backLine.at, l.backLine.value
	path := "layouts." + l.name.value + ".return."
	p.Crossover = &sim.Crossover{
		Lukewarm: b.or(s.lukewarm, units.Temperature, defaultLukewarm, path+"lukewarm", "Legionella grows in warmer water (WHO 2007, read); that people call it lukewarm is common practice, no source"),
	}
	pump := l.pump.value.control
	switch pump.value {
	case byAquastat, byBoth, learningAquastat:
		b.fault(pump.at, fmt.Sprintf("%s where the loop returns through the cold line, whose temperature at the heater tells nothing", pump.value),
			"write control: continuous, clock, learning, button or motion; the crossover's valve is the thermostat")
		return
	case byDemand, byButton, byMotion:
		for _, key := range valveKeys {
			if b.says(at, key) {
				b.fault(keyOf(at, key), fmt.Sprintf("%s where the pump's control is %s, which stops by its own sensor at the crossover", key, pump.value), "remove it, and give the pump warm:")
			}
		}
		return
	}
	valve := &control.Aquastat{Off: b.or(s.closes, units.Temperature, defaultCloses, path+"closes", whyCloses)}
	if s.opens.at != nil {
		valve.On = s.opens.value
	} else {
		valve.On = valve.Off - defaultCloseBand
		b.assume(path+"opens", units.Both(valve.On, units.Temperature), "5 K below closes; round figure, no source")
	}
	where := s.closes.at
	if where == nil {
		where = at
	}
	switch set := b.said.heater.value.setpoint; {
	case valve.Off <= valve.On:
		b.fault(s.opens.at, fmt.Sprintf("opens at %s is not below closes at %s", units.Both(valve.On, units.Temperature), units.Both(valve.Off, units.Temperature)), "let opens be below closes; the valve would move without end")
	case set.at != nil && valve.Off >= set.value:
		b.fault(where, fmt.Sprintf("the valve at the crossover never shuts at %s: the heater is set to %s", units.Both(valve.Off, units.Temperature), units.Both(set.value, units.Temperature)), "let closes be some degrees below the set point")
	}
	p.Crossover.Valve = valve
}
