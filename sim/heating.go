package sim

import (
	"math"
	"slices"

	"pipelag/sim/heater"
	"pipelag/sim/safety"
)

// heaters are those of a layout, alike, each with what it alone meets. A pump has its
// loop on the first, and goes with no others.
type heaters []heater.Heater

// next is when one of them will give other water.
func (all heaters) next() float64 {
	next := never
	for _, h := range all {
		next = min(next, h.Next())
	}
	return next
}

// advance brings all up to now.
func (all heaters) advance(now float64) {
	for _, h := range all {
		h.Advance(now)
	}
}

// account is what has passed through all of them.
func (all heaters) account() (sum heater.Account) {
	for _, h := range all {
		a := h.Account()
		sum.Given += a.Given
		sum.Stirred += a.Stirred
		sum.Heated += a.Heated
		sum.Jacket += a.Jacket
		sum.Flue += a.Flue
		for c := range a.Energy {
			sum.Energy[c] += a.Energy[c]
		}
	}
	return sum
}

// stored is the heat in all of them above 0 °C [J].
func (all heaters) stored() float64 {
	stored := 0.0
	for _, h := range all {
		stored += h.Stored()
	}
	return stored
}

// meet tells the heaters what flows from now on; they must be up to date.
func (y *year) meet() {
	in := heater.Inflow{Cold: y.cold, Air: y.Air(y.tankZone, y.Now), Intake: y.Air(y.intake, y.Now)}
	if y.pump.on {
		pump := y.layout.Pump
		in.Looped, in.Back, in.Stir = y.looped, y.Outlet(y.back), pump.Power*pump.HeatShare
	}
	for h, of := range y.heaters {
		in.Drawn = y.drawn[h]
		of.Meet(in)
	}
	y.heed()
}

// bookHeater brings the heaters up to now, and books what running the pump took.
func (y *year) bookHeater() {
	y.heaters.advance(y.Now)
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

// heed takes over the temperature of the water that the heaters give from now on.
func (y *year) heed() {
	for h, of := range y.heaters {
		if y.drawn[h] > 0 || y.pump.on {
			y.Give(h, of.Outlet())
		}
	}
}

// bookAccount books what has passed through the heaters since it was last booked.
func (y *year) bookAccount() {
	m, before := &y.ledger.months[y.month], &y.passed
	a := y.heaters.account()
	m.supplied += a.Given - before.Given - (a.Stirred - before.Stirred)
	m.stirred += a.Stirred - before.Stirred
	m.tankLoss += a.Jacket - before.Jacket + (a.Flue - before.Flue)
	for c := range a.Energy {
		m.energy[c] += a.Energy[c] - before.Energy[c]
	}
	*before = a
}

// heaterMisses is heat into the heaters less heat out of them less the growth of
// what they store, as a share of what went in.
func (y *year) heaterMisses() float64 {
	a := y.heaters.account()
	missing := a.Heated + a.Stirred - a.Given - a.Jacket - a.Flue - (y.heaters.stored() - y.storedAtFirst)
	return missing / max(math.Abs(a.Heated)+math.Abs(a.Stirred), math.Abs(y.storedAtFirst), 1)
}

// sample takes note, every hour, of temperatures at which Legionella grows.
func (y *year) sample() {
	if slices.ContainsFunc(y.loop, y.lukewarm) {
		y.ledger.lukewarm++
	}
	if y.stores {
		for _, h := range y.heaters {
			y.ledger.coolest = min(y.ledger.coolest, h.Outlet())
		}
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
