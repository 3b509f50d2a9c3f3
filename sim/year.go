package sim

import (
	"fmt"
	"math"

	"pipelag/schedules"
)

// year is one layout living through one replicate year.
type year struct {
	*pipework
	seed      uint64
	replicate int
	ledger    *ledger
	waits     []histogram // by fixture, of draws that wait
	month     int
	monthEnds float64 // [s]
	draws     []draw
	queue     []schedules.Wish // wishes whose fixture is in use
	pump      switching
	hour      float64 // when the surroundings of flowing pipes are next renewed [s]
}

func newYear(p *plant, seed uint64, replicate int) *year {
	y := &year{
		pipework:  newPipework(p),
		seed:      seed,
		replicate: replicate,
		ledger:    newLedger(len(p.house.Fixtures), len(p.ambient)),
		waits:     make([]histogram, len(p.house.Fixtures)),
		monthEnds: float64(monthDays[0]) * Day,
	}
	y.ledger.opened = y.stored()
	if pump := p.layout.Pump; pump != nil && pump.Control == Continuous {
		y.pump.on = true
		y.ledger.months[0].starts++
		y.plumb()
	}
	return y
}

// day lives through one day of wishes, ordered by start.
func (y *year) day(d int, wishes []schedules.Wish) error {
	calls := y.pump.calls[:0]
	pump := y.layout.Pump
	if pump != nil && pump.Control == Demand {
		calls = pump.calls(y.seed, y.replicate, d, wishes, calls)
		y.pump.calls = calls
	}
	for len(wishes) > 0 || len(calls) > 0 {
		if len(wishes) == 0 || len(calls) > 0 && calls[0] <= wishes[0].Start {
			y.runTo(calls[0])
			calls = calls[1:]
			if y.pump.call(pump, y.farEnd(), y.now) {
				y.ledger.months[y.month].starts++
				y.plumb()
			}
			continue
		}
		w := wishes[0]
		wishes = wishes[1:]
		if w.Start < y.now-1e-6 {
			return fmt.Errorf("day %d: a wish at %.3f s comes after one at %.3f s", d, w.Start, y.now)
		}
		y.runTo(w.Start)
		y.open(w)
	}
	y.runTo(float64(d+1) * Day)
	if y.now >= y.monthEnds-1e-6 && y.month < 11 {
		y.endMonth()
		y.month++
		y.monthEnds += float64(monthDays[y.month]) * Day
	}
	return nil
}

// finish shuts every tap, stops the pump and checks the accounts.
func (y *year) finish() error {
	for i := range y.draws {
		y.shut(i)
	}
	y.draws = y.draws[:0]
	y.pump.on = false
	y.plumb()
	y.endMonth()
	y.ledger.closed = y.stored()
	return y.ledger.close()
}

// open begins a wish, or puts it off while its fixture is in use.
func (y *year) open(w schedules.Wish) {
	if y.inUse(w.Fixture) {
		y.queue = append(y.queue, w)
		return
	}
	tap := -1
	if path := y.paths[w.Fixture]; len(path) > 0 {
		tap = path[len(path)-1]
		// What stands at the tap has cooled since anyone looked.
		if y.pipes[tap].flow == 0 {
			y.relax(tap, y.now)
		}
	}
	d := newDraw(w, tap, y.tapWater(tap))
	d.mix(d.seen, y.mainsAt(y.now))
	y.draws = append(y.draws, d)
	y.plumb()
}

// tapWater is the temperature of the water at the end of pipe i [°C].
func (y *year) tapWater(i int) float64 {
	if i < 0 {
		return y.house.Heater.Setpoint
	}
	return y.pipes[i].outlet()
}

// farEnd is the temperature where the loop turns back [°C].
func (y *year) farEnd() float64 {
	i := y.layout.Network.LoopEnd
	if y.pipes[i].flow == 0 {
		y.relax(i, y.now)
	}
	return y.pipes[i].outlet()
}

// plumb adds up what each pipe must carry.
func (y *year) plumb() {
	clear(y.wanted)
	for i := range y.draws {
		d := &y.draws[i]
		for _, k := range y.paths[d.Fixture] {
			y.wanted[k] += d.hot
		}
	}
	if y.pump.on {
		for _, k := range y.loop {
			y.wanted[k] += y.layout.Pump.Flow
		}
	}
	y.route()
	// A pipe that has just begun or ceased to flow may hold other water at its
	// end than it did.
	for i := range y.draws {
		y.draws[i].seen = y.tapWater(y.draws[i].pipe)
	}
}

// runTo lets time pass until t [s].
func (y *year) runTo(t float64) {
	for y.now < t {
		if len(y.draws) == 0 && !y.pump.on {
			y.idle(t - y.now)
			return
		}
		if y.hour <= y.now { // the surroundings have changed
			y.hour = (math.Floor(y.now/hour) + 1) * hour
			for _, i := range y.active {
				y.renew(i)
			}
		}
		dt := min(t-y.now, y.hour-y.now, y.nextShift())
		for i := range y.draws {
			dt = min(dt, y.draws[i].next(y.draws[i].seen))
		}
		if y.pump.on {
			dt = min(dt, y.pump.next(y.layout.Pump, y.now))
		}
		y.elapse(max(dt, 0))
	}
	y.now = t
}

// idle passes time with every tap shut.
func (y *year) idle(dt float64) {
	y.heat(dt, 0, 0)
	y.now += dt
}

// elapse passes dt seconds in which nothing changes until their end, and does
// what is due then.
func (y *year) elapse(dt float64) {
	m := &y.ledger.months[y.month]
	cold := y.mainsAt(y.now)
	drawn, gained := 0.0, 0.0
	for i := range y.draws {
		d := &y.draws[i]
		d.run(dt, d.seen, cold, y.volume, &m.taps[d.Fixture])
		drawn += d.hot * dt
	}
	if y.pump.on {
		pump := y.layout.Pump
		back := y.pipes[y.loop[len(y.loop)-1]].outlet()
		stirred := pump.Power * pump.HeatShare * dt
		gained = y.volume*pump.Flow*dt*(y.house.Heater.Setpoint-back) - stirred
		m.stirred += stirred
		m.pump += pump.Power * dt
		m.pumped += pump.Flow * dt
		m.running += dt
	}
	y.heat(dt, y.volume*drawn*(y.house.Heater.Setpoint-cold), gained)
	y.advance(dt)

	changed := false
	for i := 0; i < len(y.draws); i++ {
		d := &y.draws[i]
		account := &m.taps[d.Fixture]
		if tap := y.tapWater(d.pipe); tap != d.seen {
			d.arrive(tap, cold, y.pipes[d.pipe].step.duration, y.volume, account)
		}
		if d.left <= 1e-9 && d.elapse() {
			y.shut(i)
			y.draws = append(y.draws[:i], y.draws[i+1:]...)
			i--
			changed = true
			continue
		}
		changed = d.mix(d.seen, cold) || changed
	}
	if y.pump.on {
		y.pump.check(y.layout.Pump, y.pipes[y.layout.Network.LoopEnd].outlet(), y.now)
		changed = changed || !y.pump.on
	}
	if changed {
		y.plumb()
		y.release()
	}
}

// heat books what the heater gave to water drawn and to water sent round, and
// what keeping the tank hot took, over dt seconds.
func (y *year) heat(dt, drawn, round float64) {
	h, m := &y.house.Heater, &y.ledger.months[y.month]
	loss := h.Loss * (h.Setpoint - y.ambientAt(y.tankZone, y.now+dt/2)) * dt
	m.supplied += drawn + round
	m.tankLoss += loss
	m.heater += (drawn + round + loss) / h.Efficiency
}

// shut closes draw i's account.
func (y *year) shut(i int) {
	d := &y.draws[i]
	d.shut(&y.ledger.months[y.month].taps[d.Fixture])
	if d.Kind == schedules.Washing {
		y.waits[d.Fixture].add(d.waited)
	}
}

// release begins put-off wishes whose fixtures have come free, in their order.
func (y *year) release() {
	for i := 0; i < len(y.queue); i++ {
		if w := y.queue[i]; !y.inUse(w.Fixture) {
			y.queue = append(y.queue[:i], y.queue[i+1:]...)
			i--
			y.open(w)
		}
	}
}

func (y *year) inUse(fixture int) bool {
	for i := range y.draws {
		if y.draws[i].Fixture == fixture {
			return true
		}
	}
	return false
}

// endMonth books the heat that pipes have lost since the last.
func (y *year) endMonth() {
	y.rest()
	m := &y.ledger.months[y.month]
	for i := range y.pipes {
		p := &y.pipes[i]
		m.pipeLoss[p.zone] += p.lost
		p.lost = 0
	}
}
