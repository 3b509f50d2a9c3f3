package scenarios

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/pump"
	"pipelag/sim"
	"pipelag/sim/control"
	"pipelag/units"
)

// buildPump makes a pump; what is missing or contradictory is noted. n is nil
// after a mistake.
func (b *builder) buildPump(l layout, n *network.Network) *sim.Pump {
	at, s := l.pump.at, l.pump.value
	path := "layouts." + l.name.value + ".pump."
	curved := s.curve != nil
	for _, need := range []struct {
		key, doc string
		has      bool
	}{
		{"control", "control: continuous, or another", s.control.at != nil},
		{"flow", "flow: 2 gpm", s.flow.at != nil || curved},
		{"power", "power: 60 W", s.power.at != nil || curved},
	} {
		if !need.has && !b.says(at, need.key) {
			b.fault(at, "the pump has no "+need.key, "add "+need.doc)
		}
	}
	for _, k := range []string{"flow", "power"} {
		if b.says(at, k) && b.says(at, "curve") {
			b.fault(keyOf(at, k), k+" of a pump with a curve", "keep one of them: flow and power follow from the curve")
		}
	}
	if b.says(at, "check valve") && !curved {
		b.fault(keyOf(at, "check valve"), "a check valve of a pump whose flow is stated", "give a curve instead of flow and power, or remove it")
	}
	for _, k := range pumpKeysOf {
		if s.control.at != nil && b.says(at, k.key) && !slices.Contains(k.controls, s.control.value) {
			b.fault(keyOf(at, k.key), fmt.Sprintf("%s where the pump's control is %s", k.key, s.control.value),
				"remove it, or write control: "+strings.Join(k.controls, " or "))
		}
	}
	p := &sim.Pump{
		Flow: s.flow.value, Power: s.power.value,
		HeatShare: b.or(s.heat, units.Share, defaultPumpHeat, path+"heat", "wet-rotor pumps give the water part of the motor's heat; round figure, no source"),
	}
	if curved {
		b.buildDuty(p, s, n, path)
	}
	b.assume("layouts.*.pump.check valve", "fitted and tight", "no loop goes round by itself while its pump rests: thermosiphon is not modelled")
	if l.throughCold() {
		b.buildValve(p, l)
	}
	if s.control.at != nil {
		b.buildControl(p, s, at, path)
	}
	return p
}

// keyOf is a key of a mapping that has it.
func keyOf(n *node, key string) *node {
	return n.keys[slices.IndexFunc(n.keys, func(k *node) bool { return k.text == key })]
}

// buildDuty finds the flow at which the pump's curve meets the loop.
func (b *builder) buildDuty(p *sim.Pump, s pumpSaid, n *network.Network, path string) {
	var points []pump.Point
	for _, d := range s.curve {
		points = append(points, pump.Point{Flow: d.value.flow.value, Head: d.value.head.value, Power: d.value.power.value})
	}
	curve, err := pump.NewCurve(points...)
	if err != nil {
		b.advise(s.curve[0].at, err, "give its points from no flow to no head")
		return
	}
	water, err := heat.WaterAt(b.said.heater.value.setpoint.value)
	if n == nil || err != nil { // a mistake noted elsewhere
		return
	}
	duty, err := curve.In(n, water, s.opens.value)
	if err != nil {
		b.advise(s.curve[0].at, err, "take a stronger pump or a lighter valve")
		return
	}
	p.Flow, p.Power = duty.Flow, duty.Power
	b.assume(path+"flow", fmt.Sprintf("%s at %s and %s", units.Both(duty.Flow, units.Flow), units.Both(duty.Head, units.Length), units.Both(duty.Power, units.Power)), "where its curve meets the loop's resistance")
}

// buildControl makes what switches the pump.
func (b *builder) buildControl(p *sim.Pump, s pumpSaid, at *node, path string) {
	const round = "round figure, no source"
	kind := s.control.value
	var aquastat *control.Aquastat
	if kind == byAquastat || kind == byBoth || kind == learningAquastat {
		for _, need := range []struct {
			key string
			has bool
		}{{"on", s.on.at != nil}, {"off", s.off.at != nil}} {
			if !need.has && !b.says(at, need.key) {
				b.fault(at, fmt.Sprintf("the aquastat has no %s point", need.key), fmt.Sprintf("add %s: the temperature of the return, such as 105 F", need.key))
			}
		}
		if s.on.at == nil || s.off.at == nil {
			return
		}
		if s.off.value <= s.on.value {
			b.fault(s.off.at, fmt.Sprintf("off at %s is not above on at %s", units.Both(s.off.value, units.Temperature), units.Both(s.on.value, units.Temperature)), "let off be above on; the pump would switch without end")
			return
		}
		if set := b.said.heater.value.setpoint; set.at != nil && s.off.value >= set.value {
			b.fault(s.off.at, fmt.Sprintf("the return never reaches %s: the heater is set to %s", units.Both(s.off.value, units.Temperature), units.Both(set.value, units.Temperature)), "let off be some degrees below the set point")
			return
		}
		aquastat = &control.Aquastat{On: s.on.value, Off: s.off.value}
	}
	switch kind {
	case continuous:
		p.Rule = control.Continuous{}
	case byAquastat:
		p.Rule = *aquastat
	case byClock, byBoth:
		windows, ok := b.windows(s, at)
		if !ok {
			return
		}
		p.Rule = control.Clock{Windows: windows, Aquastat: aquastat}
	case learning, learningAquastat:
		p.Rule = control.Learning{
			Days:     b.or(s.memory, units.Duration, defaultMemory, path+"memory", round) / 86400,
			Least:    b.number(s.least, defaultLeast, path+"least draws", round),
			Lead:     b.or(s.lead, units.Duration, defaultLearningLead, path+"lead", round),
			Aquastat: aquastat,
		}
	default:
		warm, whyWarm := defaultWarm, "as warm as a tap's water needs to be; round figure, no source"
		if p.Crossover != nil {
			warm, whyWarm = defaultCloses, whyCloses
		}
		lead, likelihood, dead := defaultLead, defaultLikelihood, 0.0
		if kind == byMotion {
			lead, likelihood, dead = defaultMotionLead, defaultMotionLikelihood, defaultDead
		}
		lead = b.or(s.lead, units.Duration, lead, path+"lead", round)
		likelihood = b.or(s.likelihood, units.Share, likelihood, path+"likelihood", round)
		if kind == byMotion {
			p.Motion = &control.Motion{Lead: lead, Likelihood: likelihood, False: b.number(s.wrong, defaultFalse, path+"false calls", round+"; between 06:00 and 23:00")}
			dead = b.or(s.dead, units.Duration, dead, path+"dead time", round)
		} else {
			p.Button = &control.Button{Lead: lead, Likelihood: likelihood}
			dead = s.dead.value
		}
		p.Rule = control.Demand{
			Rise:   b.or(s.rise, units.Difference, defaultRise, path+"rise", "trade practice is 3 to 6 K, from memory"),
			Warm:   b.or(s.warm, units.Temperature, warm, path+"warm", whyWarm),
			MaxRun: b.or(s.longest, units.Duration, defaultMaxRun, path+"max run", round),
			Dead:   dead,
		}
	}
	if _, err := control.New(p.Rule); err != nil {
		where := at
		if len(s.windows) > 0 && aquastat == nil || kind == byBoth {
			where = s.windows[0].at
		}
		first, _, _ := strings.Cut(err.Error(), "\n") // windows that overlap do so every week anew
		b.fault(where, first, "let windows follow one another")
	}
}

// windows are a clock's.
func (b *builder) windows(s pumpSaid, at *node) ([]control.Window, bool) {
	if len(s.windows) == 0 {
		if !b.says(at, "windows") {
			b.fault(at, "the pump's clock has no windows", "add windows: [{from: 06:00, to: 08:30}]")
		}
		return nil, false
	}
	before := b.faults
	var windows []control.Window
	for _, w := range s.windows {
		from, to := w.value.from, w.value.to
		if from.at == nil || to.at == nil { // noted already
			return nil, false
		}
		switch {
		case from.value == to.value:
			b.fault(to.at, "a window that shuts when it opens", "write 00:00 and 24:00 for a whole day")
		case from.value == 86400:
			b.fault(from.at, "a window that opens at 24:00", "write 00:00")
		case to.value == 0:
			to.value = 86400
		}
		windows = append(windows, control.Window{From: from.value, To: to.value, Days: b.days(w.value.days)})
	}
	return windows, b.faults == before
}

// days are weekdays by their names; every day if none is said.
func (b *builder) days(s said[[]string]) control.Days {
	if s.at == nil {
		return control.Everyday
	}
	known := []string{"weekdays", "weekend"}
	var days control.Days
	for d := time.Sunday; d <= time.Saturday; d++ {
		known = append(known, d.String()[:3])
	}
	weekend := control.On(time.Saturday, time.Sunday)
	for _, name := range s.value {
		switch i := slices.Index(known, name); i {
		case -1:
			b.fault(s.at, fmt.Sprintf("unknown day %q", name), suggest(name, "days", known))
		case 0:
			days |= control.Everyday &^ weekend
		case 1:
			days |= weekend
		default:
			days |= control.On(time.Weekday(i - 2))
		}
	}
	return days
}

// number is a bare number that the file says, or a default that is then recorded.
func (b *builder) number(s said[float64], otherwise float64, path, why string) float64 {
	if s.at != nil {
		return s.value
	}
	b.assume(path, fmt.Sprint(otherwise), why)
	return otherwise
}
