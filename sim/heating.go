package sim

import (
	"math"
	"slices"

	"pipelag/sim/heater"
	"pipelag/sim/safety"
)

// meet tells the heater what flows from now on; it must be up to date.
func (y *year) meet() {
	in := heater.Inflow{
		Drawn: y.drawn, Cold: y.cold,
		Air: y.Air(y.tankZone, y.Now), Intake: y.Air(y.intake, y.Now),
	}
	if y.pump.on {
		pump := y.layout.Pump
		in.Looped, in.Back, in.Stir = y.looped, y.Outlet(y.back), pump.Power*pump.HeatShare
	}
	y.heater.Meet(in)
	y.heed()
}

// bookHeater brings the heater up to now, and books what running the pump took.
func (y *year) bookHeater() {
	y.heater.Advance(y.Now)
	if y.pump.runs {
		dt, pump, m := y.Now-y.booked, y.layout.Pump, &y.ledger.months[y.month]
		m.pump += pump.Power * dt
		m.running += dt
		if y.pump.on {
			m.pumped += pump.Flow * dt
			if y.cross == nil && pump.staysHot() {
				y.ledger.returned += y.Outlet(y.back) * dt
				y.ledger.returning += dt
			}
		}
	}
	y.booked = y.Now
	y.heed()
}

// heed takes over the temperature of the water that the heater gives from now on.
func (y *year) heed() {
	if y.drawn > 0 || y.pump.on {
		y.Give(y.heater.Outlet())
	}
}

// bookAccount books what has passed through the heater since it was last booked.
func (y *year) bookAccount() {
	m, before := &y.ledger.months[y.month], &y.passed
	a := y.heater.Account()
	m.supplied += a.Given - before.Given - (a.Stirred - before.Stirred)
	m.stirred += a.Stirred - before.Stirred
	m.tankLoss += a.Jacket - before.Jacket + (a.Flue - before.Flue)
	for c := range a.Energy {
		m.energy[c] += a.Energy[c] - before.Energy[c]
	}
	*before = a
}

// heaterMisses is heat into the heater less heat out of it less the growth of
// what it stores, as a share of what went in.
func (y *year) heaterMisses() float64 {
	a := y.heater.Account()
	missing := a.Heated + a.Stirred - a.Given - a.Jacket - a.Flue - (y.heater.Stored() - y.storedAtFirst)
	return missing / max(math.Abs(a.Heated)+math.Abs(a.Stirred), math.Abs(y.storedAtFirst), 1)
}

// sample takes note, every hour, of temperatures at which Legionella grows.
func (y *year) sample() {
	if slices.ContainsFunc(y.loop, y.lukewarm) {
		y.ledger.lukewarm++
	}
	if y.stores {
		y.ledger.coolest = min(y.ledger.coolest, y.heater.Outlet())
	}
}

// lukewarm tells whether Legionella grows in some of the water in pipe i.
func (y *year) lukewarm(i int) bool {
	return slices.ContainsFunc(y.Water(i), safety.Grows)
}

// stores tells whether a heater keeps hot water.
func stores(k heater.Kind) bool {
	_, instantaneous := k.(heater.Instantaneous)
	return !instantaneous
}
