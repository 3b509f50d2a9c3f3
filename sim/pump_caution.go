package sim

import (
	"slices"

	"pipelag/network/heat"
	"pipelag/network/hydraulics"
	"pipelag/network/limits"
	"pipelag/sim/heater"
	"pipelag/units"
)

// cautionsOfPump are what a pump's flow round its loop raises: less power than the
// water takes, less flow than the heater fires at, and more speed than a limit allows.
//
//	water's power = q Σ Δp(q)
//
// over the pipes of the loop, with the water at the set point: what comes back cooler
// takes more.
func (h *House) cautionsOfPump(l *Layout, say func(format string, args ...any)) {
	water, err := heat.WaterAt(h.Heater.Setpoint)
	if err != nil {
		return // which no layout is run with
	}
	n, flow := l.Network, l.Pump.Flow
	lost := 0.0
	for _, i := range n.Loop() {
		lost += hydraulics.Loss(n.Pipes[i], water, flow)
	}
	if least := flow * lost; l.Pump.Power < least {
		say("Pump: %s do not move %s round the loop: its pipes take %s at that flow, which is %s in the water alone, and no pump gives the water all that it takes.",
			units.Both(l.Pump.Power, units.Power), units.Both(flow, units.Flow), units.Both(lost, units.Pressure), units.Both(least, units.Power))
	}
	if kind, ok := h.Heater.Kind.(heater.Instantaneous); ok && flow < kind.LeastFlow {
		say("Pump: its flow of %s is less than the %s at which the heater fires, so it warms nothing while nobody draws.",
			units.Both(flow, units.Flow), units.Both(kind.LeastFlow, units.Flow))
	}
	if i, v := h.fastest(l); i >= 0 {
		tube := n.Pipes[i].Tube
		say("Pump: its flow of %s goes through %s %s of the loop at %s; %s %s has at most %s.",
			units.Both(flow, units.Flow), tube.Kind, tube.Size, units.Both(v.Found, units.Velocity), v.Limit.Code, v.Limit.Clause, units.Both(v.Asked, units.Velocity))
	}
}

// fastest is the pipe of a loop in which what is pumped breaks a limit of velocity
// most, and the verdict; −1 where it breaks none. A cold line is held against none.
func (h *House) fastest(l *Layout) (pipe int, worst limits.Verdict) {
	n := l.Network
	pipe = -1
	for _, i := range n.Loop() {
		if n.Crossover && slices.Contains(n.Return, i) {
			continue
		}
		tube := n.Pipes[i].Tube
		for _, limit := range h.Limits.Velocities(tube, h.Heater.Setpoint) {
			v := limit.Judge(l.Pump.Flow/tube.Volume(), limit.Value)
			if v.Outcome == limits.Broken && (pipe < 0 || v.Found/v.Asked > worst.Found/worst.Asked) {
				pipe, worst = i, v
			}
		}
	}
	return pipe, worst
}
