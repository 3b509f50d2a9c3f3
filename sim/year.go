package sim

import (
	"fmt"
	"math"

	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/heater"
	"pipelag/sim/pipework"
)

// year is one layout living through one replicate year.
type year struct {
	*plant
	*pipework.System
	seed      uint64
	replicate int
	ledger    *ledger
	waits     []histogram // by fixture, of draws that wait
	month     int
	monthEnds float64          // [s]
	wishes    []schedules.Wish // of today, to come
	calls     []float64        // of the pump, today [s]
	called    int              // of them, already
	draws     []draw
	queue     []schedules.Wish // wishes whose fixture is in use
	throttle  throttle
	failure   error     // that no flow could be found
	back      int       // the pipe that ends at the heater, −1 without a loop
	drawn     []float64 // by heater: water drawn from it that does not come back [m³/s]
	looped    float64   // and that does [m³/s]
	cold      float64   // the mains [°C]
	hour      float64   // when the hour next strikes [s]

	pump     pumping
	byReturn bool      // its control watches the temperature of the return
	cross    *crossing // nil where the loop does not return through the cold line

	heaters       heaters
	passed        heater.Account // as far as it is booked
	booked        float64        // until when the pump's energy is booked [s]
	stores        bool
	storedAtFirst float64 // heat in the heaters when the year began [J]
}

func newYear(p *plant, seed uint64, replicate int) *year {
	y := &year{
		plant:     p,
		System:    p.filled(),
		throttle:  newThrottle(p.pressure),
		seed:      seed,
		replicate: replicate,
		ledger:    newLedger(len(p.house.Fixtures), len(p.house.Climate.Zones)),
		waits:     make([]histogram, len(p.house.Fixtures)),
		monthEnds: float64(schedules.MonthDays[0]) * Day,
		back:      -1,
		hour:      hour,
		cold:      p.mainsAt(0),
		drawn:     make([]float64, p.heaters),
	}
	y.pump.due = never
	// Both were made once already, when the plant was: no error is left.
	for range p.heaters {
		h, _ := p.house.Heater.Kind.New(p.volume)
		y.heaters = append(y.heaters, h)
	}
	y.stores, y.storedAtFirst = stores(p.house.Heater.Kind), y.heaters.stored()
	y.ledger.opened = y.Stored()
	y.meet()
	if n := len(p.loop); n > 0 {
		y.back = p.loop[n-1]
		y.byReturn = byReturn(p.layout.Pump.Rule)
		y.pump.control, _ = control.New(p.layout.Pump.Rule)
		y.cross = newCrossing(p.layout.Pump)
		y.command()
	}
	return y
}

// day lives through one day of wishes, ordered by start.
func (y *year) day(d int, wishes []schedules.Wish) error {
	y.plan(d, wishes)
	if err := y.live(float64(d+1) * Day); err != nil {
		return fmt.Errorf("day %d: %w", d+1, err)
	}
	if y.Now >= y.monthEnds-1e-6 && y.month < 11 {
		y.endMonth()
		y.month++
		y.monthEnds += float64(schedules.MonthDays[y.month]) * Day
	}
	return nil
}

// plan takes up a day's wishes and the calls of the pump that go with them.
func (y *year) plan(d int, wishes []schedules.Wish) {
	y.wishes = wishes
	y.calls = y.calls[:0]
	if pump := y.layout.Pump; pump != nil {
		y.calls = pump.calls(y.seed, y.replicate, d, wishes, y.calls)
	}
	y.called = 0
}

// live lets what is planned happen until t [s].
func (y *year) live(t float64) error {
	for {
		call, wish := never, never
		if y.called < len(y.calls) {
			call = y.calls[y.called]
		}
		if len(y.wishes) > 0 {
			wish = y.wishes[0].Start
		}
		switch {
		case min(call, wish) > t:
			y.runTo(t)
			return y.failure
		case call <= wish:
			y.called++
			y.runTo(call)
			y.call()
		case wish < y.Now-pipework.Instant:
			return fmt.Errorf("a wish at %.3f s comes after one at %.3f s", wish, y.Now)
		default:
			y.runTo(wish)
			y.open(y.wishes[0])
			y.wishes = y.wishes[1:]
		}
	}
}

// finish shuts every tap, stops the pump and checks the accounts.
func (y *year) finish() error {
	for i := range y.draws {
		y.bookDraw(i)
		y.shut(i)
	}
	y.draws = y.draws[:0]
	y.book()
	y.pump.runs, y.pump.on, y.pump.control = false, false, nil
	y.plumb()
	y.endMonth()
	y.ledger.closed, y.ledger.heater = y.Stored(), y.heaterMisses()
	for f, leg := range y.legs {
		r := &y.ledger.rests[f]
		for _, i := range leg {
			r.volume += y.Holds(i)
			r.longest = max(r.longest, y.LongestRest(i))
		}
	}
	return y.ledger.close()
}

// plumb books what has flowed and adds up what each pipe must carry from now on.
func (y *year) plumb() {
	y.book()
	if err := y.throttle.hold(y.draws); err != nil && y.failure == nil {
		y.failure = err
	}
	clear(y.Wanted)
	clear(y.drawn)
	y.looped = 0
	for i := range y.draws {
		d := &y.draws[i]
		y.drawn[y.serves[d.Fixture]] += d.hot
		for _, k := range y.paths[d.Fixture] {
			y.Wanted[k] += d.hot
		}
	}
	if y.pump.on {
		y.looped = y.layout.Pump.Flow
		for _, k := range y.loop {
			y.Wanted[k] += y.looped
		}
	}
	if y.cross != nil {
		y.sendBack()
	}
	y.Route()
	y.meet()
	y.look()
	if y.cross != nil {
		y.foresee() // the water at the crossover may have come to rest
	}
}

// runTo lets time pass until t [s].
func (y *year) runTo(t float64) {
	for y.Now < t {
		event := min(t, y.hour, y.pump.due, y.heaters.next())
		for i := range y.draws {
			event = min(event, y.draws[i].due())
		}
		if i, due := y.Next(); due <= event {
			y.Now = max(y.Now, due)
			y.pass(i)
			continue
		}
		y.Now = max(y.Now, event)
		if y.heaters.next() <= y.Now {
			y.bookHeater()
		}
		y.tend()
		if y.pump.due <= y.Now {
			y.command()
		}
		if y.Now >= y.hour {
			y.strike()
		}
	}
}

// pass shifts stream k and lets those see it who watch its water.
func (y *year) pass(k int) {
	watched, crosses := false, y.crosses(k)
	for i := range y.draws {
		if crosses || y.sees(&y.draws[i], k) {
			y.bookDraw(i)
			watched = true
		}
	}
	atReturn := y.back >= 0 && y.Stream(y.back) == k
	if atReturn {
		y.bookHeater()
	}
	atFarEnd := (y.pump.on || crosses) && y.Stream(y.layout.Network.LoopEnd) == k
	if crosses {
		y.bookCrossing()
	}
	y.Shift(k)
	cell := y.Passing(k)
	if crosses && atFarEnd {
		y.approach(cell)
	}
	if atReturn {
		y.meet()
	}
	if watched {
		changed := false
		for i := range y.draws {
			d := &y.draws[i]
			if crosses {
				d.cold = y.coldSide(d.Fixture)
			}
			sees := y.sees(d, k)
			if sees {
				d.arrive(y.Outlet(d.pipe), y.cold, cell, y.volume, y.account(d))
			}
			if sees || crosses {
				changed = d.mix() || changed
			}
		}
		if changed {
			y.plumb()
		}
	}
	if atFarEnd || atReturn {
		y.watch(atFarEnd, atReturn, cell)
	}
}

// strike books the hour that has passed, and takes the mains and the
// surroundings of flowing pipes as they are now.
func (y *year) strike() {
	y.hour = (math.Floor(y.Now/hour) + 1) * hour
	y.book()
	y.cold = y.mainsAt(y.Now)
	y.Weather()
	if y.cross != nil {
		y.GiveMains(y.cold)
	}
	y.meet()
	y.look()
	y.foresee()
	y.sample()
}

// book books all that flowed until now.
func (y *year) book() {
	y.bookHeater()
	if y.cross != nil {
		y.bookCrossing()
	}
	for i := range y.draws {
		y.bookDraw(i)
	}
}

// endMonth books what has passed through the heaters and the heat that pipes have
// lost since the last.
func (y *year) endMonth() {
	y.book()
	y.bookAccount()
	m, lost := &y.ledger.months[y.month], y.Losses()
	for _, i := range y.loop {
		m.loopLoss += lost[i]
	}
	for _, i := range y.coldLine {
		m.coldLoss += lost[i]
	}
	for i, heat := range lost {
		m.pipeLoss[y.Zone(i)] += heat
	}
	y.foresee() // the return has been looked at anew
}
