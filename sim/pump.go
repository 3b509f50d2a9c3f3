package sim

import (
	"slices"

	"pipelag/schedules"
	"pipelag/sim/control"
)

// pumping is a pump's state through a year.
type pumping struct {
	control *control.Control // nil without a pump
	runs    bool
	on      bool    // it runs and moves water
	due     float64 // when the control next does something [s]
}

// calls are the times of a day at which a pump on demand is called, in order.
func (p *Pump) calls(seed uint64, replicate, day int, wishes []schedules.Wish, into []float64) []float64 {
	if p.Button != nil {
		into = p.Button.Calls(seed, replicate, day, wishes, into)
	}
	if p.Motion != nil {
		into = p.Motion.Calls(seed, replicate, day, wishes, into)
	}
	slices.Sort(into)
	return into
}

// call lets somebody call the pump.
func (y *year) call() {
	far, _ := y.standing(y.layout.Network.LoopEnd)
	y.pump.control.Call(y.now, far)
	y.obey()
}

// command lets the control do what is due. One that watches the return sees it
// as it is now, since it may have cooled since anyone looked.
func (y *year) command() {
	c := y.pump.control
	if y.byReturn && !y.pump.on {
		back, _ := y.standing(y.back)
		c.See(y.now, control.Return, back)
	}
	c.Advance(y.now)
	if y.cross.valved() {
		y.tendValve()
	}
	y.obey()
}

// watch shows the control the water that has come to the end of the supply or
// of the return, in cells that take so long each to pass [s].
func (y *year) watch(atFarEnd, atReturn bool, cell float64) {
	c := y.pump.control
	if end := y.layout.Network.LoopEnd; atFarEnd {
		far, next := y.outlet(end), y.following(end)
		c.Pass(y.now, control.FarEnd, far, next, cell)
		if y.cross.valved() {
			y.cross.valve.Pass(y.now, control.Return, far, next, cell)
		}
	}
	if atReturn {
		c.Pass(y.now, control.Return, y.outlet(y.back), y.following(y.back), cell)
	}
	y.foresee()
}

// obey starts or stops the pump as its control has it.
func (y *year) obey() {
	runs := y.pump.control.Running()
	if runs != y.pump.runs {
		y.bookHeater()
		y.pump.runs = runs
		if runs {
			y.ledger.months[y.month].starts++
		}
	}
	if on := runs && y.cross.open(); on != y.pump.on {
		y.book()
		y.pump.on = on
		y.plumb()
		if on { // the first cell that passes
			y.watch(true, false, y.streams[y.of[y.layout.Network.LoopEnd]].duration)
		}
	}
	y.foresee()
}

// foresee works out when the control will do something next.
func (y *year) foresee() {
	y.pump.due = never
	c := y.pump.control
	if c == nil {
		return
	}
	y.pump.due = c.Next(y.now)
	if on, watched := c.Watched(); watched && !y.pump.on {
		y.pump.due = min(y.pump.due, y.cools(y.back, on))
	}
	if y.cross.valved() {
		y.pump.due = min(y.pump.due, y.valveDue())
	}
}

// soonEnough is how well the time at which standing water reaches a temperature
// is found [s].
const soonEnough = 0.01

// cools is when the water right at the end of pipe i, at rest, has cooled to a
// temperature [°C]; never if not within the hour, after which it is asked again.
// It is found by false position, with the weight of an end that stays halved
// (the Illinois algorithm), and is late rather than early.
func (y *year) cools(i int, to float64) float64 {
	above := func(t float64) float64 {
		p := y.resting(i, t)
		return p.tip(y.ambientAt(p.zone, t)) - to
	}
	low, high := y.now, y.hour
	over, under := above(low), 0.0
	if over <= 0 {
		return low
	}
	if under = above(high); under > 0 {
		return never
	}
	for side := 0; high-low > soonEnough; {
		t := high - (high-low)*under/(under-over)
		t = min(max(t, low+soonEnough/2), high-soonEnough/2)
		if x := above(t); x > 0 {
			low, over = t, x
			if side > 0 {
				under /= 2
			}
			side = 1
		} else {
			high, under = t, x
			if side < 0 {
				over /= 2
			}
			side = -1
		}
	}
	return high
}

// resting is pipe i as it would be at a time if it rested until then; to look
// changes nothing. It is good until the next look.
func (y *year) resting(i int, t float64) pipe {
	p := y.pipes[i]
	for j := range p.nodes {
		y.looked[j] = append(y.looked[j][:0], p.temp[j]...)
		p.temp[j] = y.looked[j]
	}
	y.letRest([]*pipe{&p}, t)
	return p
}

// waterIn is the water in the cells of pipe i as it is now, until the next look [°C].
// What stands has cooled since it was last brought up to date, and is looked at in a
// copy.
func (y *year) waterIn(i int) []float64 {
	if y.pipes[i].flows {
		return y.cellsOf(i)
	}
	p := y.resting(i, y.now)
	return p.temp[0]
}

// byReturn tells whether a rule goes by the temperature of the return.
func byReturn(r control.Rule) bool {
	switch r := r.(type) {
	case control.Aquastat:
		return true
	case control.Clock:
		return r.Aquastat != nil
	case control.Learning:
		return r.Aquastat != nil
	}
	return false
}

// staysHot tells whether the pump keeps its loop hot, or tries to, and does not wait
// to be called.
func (p *Pump) staysHot() bool {
	_, called := p.Rule.(control.Demand)
	return !called
}

// ControlName is what results call a pump's control; empty without a pump.
func (p *Pump) ControlName() string {
	if p == nil {
		return ""
	}
	switch r := p.Rule.(type) {
	case control.Clock:
		if r.Aquastat != nil {
			return "clock and aquastat"
		}
		return "clock"
	case control.Aquastat:
		return "aquastat"
	case control.Learning:
		if r.Aquastat != nil {
			return "learning and aquastat"
		}
		return "learning"
	case control.Demand:
		switch {
		case p.Button != nil && p.Motion != nil:
			return "button and motion"
		case p.Motion != nil:
			return "motion"
		}
		return "button"
	}
	return "continuous"
}
