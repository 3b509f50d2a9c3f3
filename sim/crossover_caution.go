package sim

import (
	"math"
	"slices"

	"pipelag/sim/control"
	"pipelag/sim/safety"
	"pipelag/units"
)

// crossover is what the years of a layout whose loop returns through the cold line
// came to; nil for another.
func (l *layoutYears) crossover(h *House, layout *Layout) *CrossoverResult {
	if layout.Pump == nil || layout.Pump.Crossover == nil {
		return nil
	}
	n := layout.Network
	return &CrossoverResult{
		At:       h.Fixtures[slices.Index(n.Taps, n.LoopEnd)].Name,
		Lukewarm: layout.Pump.Crossover.Lukewarm,
		Hottest:  l.hottest,
	}
}

// mostCrossing is the temperature that the water at a crossover may come to by what
// is set before it passes no more [°C].
func (p *Pump) mostCrossing() float64 {
	if valve := p.Crossover.Valve; valve != nil {
		return valve.Off
	}
	if d, ok := p.Rule.(control.Demand); ok {
		return d.Warm
	}
	return math.Inf(1)
}

const coldClause = "IECC R403.5.2 and C404.8, which let no water above 40 C (104 F) into the cold line"

// cautions are what a pump with a crossover and its settings raise.
func (p *Pump) cautions(say func(format string, args ...any)) {
	say("Comparison: the cold line takes up heat of its surroundings, as cold pipes do in any layout; where there is no crossover that is left out. Hold it against one like it that is never called (control: button, likelihood: 0 %%).")
	switch t := p.mostCrossing(); {
	case math.IsInf(t, 1):
		say("Energy code: nothing shuts the crossover, against %s.", coldClause)
	case t > safety.ColdLineMost+1e-9:
		say("Energy code: the crossover is set to pass water of up to %.1f C (%.1f F), against %s.", t, fahrenheit(t), coldClause)
	}
}

// cautionsOfCold are what the years of a layout with a crossover raise.
func (l *layoutYears) cautionsOfCold(say func(format string, args ...any)) {
	if over := l.annual[ColdOver].interval().Mean; over > 0 {
		say("Energy code: %s a year went into the cold line above 40 C (104 F), at up to %.1f C (%.1f F), against %s.", units.Both(over, units.Volume), l.hottest, fahrenheit(l.hottest), coldClause)
	}
	if warm := l.annual[ColdWarm].interval().Mean; warm > 0 {
		say("Cold taps: %s a year come lukewarm from the cold line that the pump sends its water back through.", units.Both(warm, units.Volume))
	}
}
