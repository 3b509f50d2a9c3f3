package sim

import (
	"errors"
	"slices"

	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/pipework"
)

// pumping is a pump's state through a year.
type pumping struct {
	control *control.Control // nil without a pump
	runs    bool
	on      bool    // it runs and moves water
	due     float64 // when the control next does something [s]
}

// check refuses a pump whose control, or whose callers, cannot be.
func (p *Pump) check() error {
	if p.Rule == nil {
		return errors.New("the pump has no control")
	}
	_, err := control.New(p.Rule)
	if p.Button != nil {
		err = errors.Join(err, p.Button.Check())
	}
	if p.Motion != nil {
		err = errors.Join(err, p.Motion.Check())
	}
	return err
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
	far, _ := y.Standing(y.layout.Network.LoopEnd)
	y.pump.control.Call(y.Now, far)
	y.obey()
}

// command lets the control do what is due. One that watches the return sees it
// as it is now, since it may have cooled since anyone looked.
func (y *year) command() {
	c := y.pump.control
	if y.byReturn && !y.pump.on {
		back, _ := y.Standing(y.back)
		c.See(y.Now, control.Return, back)
	}
	c.Advance(y.Now)
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
		far, next := y.Outlet(end), y.Following(end)
		c.Pass(y.Now, control.FarEnd, far, next, cell)
		if y.cross.valved() {
			y.cross.valve.Pass(y.Now, control.Return, far, next, cell)
		}
	}
	if atReturn {
		c.Pass(y.Now, control.Return, y.Outlet(y.back), y.Following(y.back), cell)
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
			y.watch(true, false, y.Passing(y.Stream(y.layout.Network.LoopEnd)))
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
	y.pump.due = c.Next(y.Now)
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
	above := func(t float64) float64 { return y.Tip(i, t) - to }
	low, high := y.Now, y.hour
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

// loop is how the layout's loop is pumped.
func (l *Layout) loop() pipework.Loop {
	switch {
	case l.Pump == nil:
		return pipework.Unpumped
	case l.Pump.Crossover != nil:
		return pipework.CrossingOver
	}
	switch l.Pump.Rule.(type) {
	case control.Continuous:
		return pipework.Continuous
	case control.Demand:
		if l.Pump.Motion != nil {
			return pipework.CalledOften
		}
		return pipework.Called
	}
	return pipework.KeptHot
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
