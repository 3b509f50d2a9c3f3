package sim

import (
	"math"

	"pipelag/schedules"
	"pipelag/sim/pipework"
)

// stage is what an open tap is doing.
type stage uint8

const (
	waiting  stage = iota // running until usable
	stepping              // usable, and nobody there yet
	using
)

// draw is one wish being met.
type draw struct {
	schedules.Wish
	pipe    int     // the pipe that ends at the tap
	stage   stage   // changes when remaining runs out
	passed  float64 // share of the flow wanted that the pressure passes [-]
	hot     float64 // flow from the hot side [m³/s]
	since   float64 // until when it is booked [s]
	left    float64 // until the stage ends, from then on [s]
	seen    float64 // temperature at the tap when last looked at [°C]
	was     float64 // and that of the cell before [°C]
	cold    float64 // and on its cold side [°C]
	arrived bool    // usable water has come
	arrives bool    // it will have, when left runs out
	waited  float64 // [s]

	// Filling: what the fill lacks, and what was drawn before it was warm.
	balance float64     // ∫ (spout − wanted) dV [K m³]
	cool    flowAccount // drawn below usable
}

// never is a time later than any [s].
var never = math.Inf(1)

// mixingStep is the change of the hot share that a person bothers to follow:
// one in a hundred of the flow is about 0.3 K at the spout.
const mixingStep = 0.01

// tooCool is how far below the wanted temperature a fill may end before its
// cold water counts as wasted [K].
const tooCool = 2

// newDraw opens a tap with water at tip [°C] right at its end, the first cell of
// which is at a temperature [°C]; on the cold side it is at cold.
func newDraw(w schedules.Wish, pipe int, tip, temperature, cold, now float64) draw {
	d := draw{Wish: w, passed: 1, pipe: pipe, since: now, seen: temperature, was: temperature, cold: cold, arrived: min(tip, temperature) >= w.Usable}
	switch w.Kind {
	case schedules.Washing:
		d.left = w.Patience
		if d.arrived {
			d.served()
		}
	case schedules.Brief:
		d.stage, d.left = using, w.Duration
	case schedules.Filling, schedules.Appliance:
		d.stage, d.left = using, w.Volume/w.Flow
	}
	return d
}

// flow is what runs at the spout, hot and cold together [m³/s].
func (d *draw) flow() float64 { return d.passed * d.Flow }

// coldFlow is what of it comes from the cold side [m³/s].
func (d *draw) coldFlow() float64 {
	cold := d.flow() - d.hot
	if cold < rounding*d.flow() { // or a trickle would flow where nothing does
		return 0
	}
	return cold
}

// rounding is a share of a flow that is as good as none [-].
const rounding = 1e-12

// pass lets the pressure pass a share of the flow wanted from now on. A vessel
// takes the longer to fill.
func (d *draw) pass(share float64) {
	if share == d.passed {
		return
	}
	if d.Kind == schedules.Filling || d.Kind == schedules.Appliance {
		d.left *= d.passed / share
	}
	d.hot *= share / d.passed
	d.passed = share
}

// served ends the wait: usable water is here.
func (d *draw) served() {
	d.arrived, d.arrives = true, false
	d.stage, d.left = stepping, d.StepIn
	if d.StepIn <= pipework.Instant {
		d.stage, d.left = using, d.Duration
	}
}

// mix sets the hot flow for the water that comes and tells whether it changed; a new
// draw has none. The hot side is fully open until usable, and where the water at the
// tap is cooler than what is wanted; it is shut where the cold side is as warm as that.
func (d *draw) mix() bool {
	hot, tap := d.flow(), d.seen
	switch {
	case d.Kind == schedules.Appliance || d.stage == waiting:
	case d.Kind == schedules.Brief:
		hot = d.HotShare * d.flow()
	case d.Kind == schedules.Filling && d.balance < 0:
	case tap > d.Mixed && d.cold < d.Mixed:
		hot = d.flow() * (d.Mixed - d.cold) / (tap - d.cold)
	case tap > d.Mixed:
		hot = 0
	}
	if hot == d.hot || d.hot > 0 && math.Abs(hot-d.hot) < mixingStep*d.flow() {
		return false
	}
	d.hot = hot
	return true
}

// due is when the draw next wants something else.
func (d *draw) due() float64 {
	left := d.left
	if d.Kind == schedules.Filling && d.balance < 0 && d.seen > d.Mixed {
		left = min(left, -d.balance/((d.seen-d.Mixed)*d.flow())) // the fill has caught up
	}
	return d.since + left
}

// book accounts for the water that came, as warm as was seen last, until now;
// heat is counted above the mains [°C], and volume is the heat capacity of water by
// volume [J/(m³ K)].
func (d *draw) book(now, mains, volume float64, to *tapAccount) {
	dt, tap := now-d.since, d.seen
	d.since = now
	d.left -= dt
	water, hot := d.flow()*dt, d.hot*dt
	heat := volume * hot * (tap - mains)
	all := heat + volume*d.coldFlow()*dt*(d.cold-mains)
	to.hot += hot
	switch d.stage {
	case waiting:
		d.waited += dt
		to.wait += dt
		to.purged.add(water, all)
	case stepping:
		to.left.add(water, all)
	case using:
		to.used.add(water, all)
		if d.arrived && tap < d.Usable && (d.Kind == schedules.Washing || d.Kind == schedules.Filling) {
			to.cooled += water
		}
	}
	if d.Kind == schedules.Filling {
		spout := (d.hot*tap + (d.flow()-d.hot)*d.cold) / d.flow()
		d.balance += (spout - d.Mixed) * water
		if d.balance > -1e-9*d.Volume { // rounding would leave it a hair short for ever
			d.balance = max(d.balance, 0)
		}
		if tap < d.Usable {
			d.cool.add(hot, heat)
		}
	}
}

// soon takes note that water at tip [°C] right at the tap is not usable but the
// cell that leaves is, on the whole; its middle leaves after half the time of a
// cell [s].
func (d *draw) soon(tip, cell float64) {
	if d.arrived || d.stage != waiting || d.seen < d.Usable {
		return
	}
	if late := cell / 2 * (d.Usable - tip) / (d.seen - tip); late < d.left {
		d.left, d.arrives = late, true
	}
}

// arrive takes note that the water at the tap has gone from d.seen to tap, as a
// cell of it took the place of the last. A cell's temperature is that of its
// middle, so usable water comes part of a cell later or earlier: cell is the
// time in which one passes [s], and an earlier arrival is made good in to.
func (d *draw) arrive(tap, mains, cell, volume float64, to *tapAccount) {
	before, was := d.seen, d.was
	d.was, d.seen = before, tap
	if d.arrived || d.arrives || tap < d.Usable {
		return
	}
	if d.stage != waiting {
		d.arrived = true
		return
	}
	late := cell * (reached(was, before, tap, d.Usable) - 0.5)
	if late > 0 {
		if late < d.left {
			d.left, d.arrives = late, true
		}
		return
	}
	early := min(-late, d.waited)
	d.served()
	early = min(early, d.left)
	water, heat := d.flow()*early, volume*d.hot*early*(before-mains)
	to.purged.add(-water, -heat)
	to.wait -= early
	d.waited -= early
	d.left -= early
	if d.stage == stepping {
		to.left.add(water, heat)
	} else {
		to.used.add(water, heat)
	}
}

// reached is how far, as a share of the way from b to c, a front that was at a before has
// risen to a temperature not above c. Towards its hot end, where usable water comes, a
// front closes in on what follows it: each rise is a share r of the one before,
//
//	T(s) = b + (c − b) (1 − rˢ) / (1 − r)
//
// and a straight line would be late. The line is taken where the front still steepens.
func reached(a, b, c, to float64) float64 {
	if b >= to {
		return 0
	}
	share := (to - b) / (c - b)
	if r := (c - b) / (b - a); r > 0 && r < 1 {
		return math.Log1p(-share*(1-r)) / math.Log(r)
	}
	return share
}

// elapse moves on to the next stage; it reports whether the tap is shut.
func (d *draw) elapse() bool {
	switch d.stage {
	case waiting:
		if d.arrives {
			d.served()
		} else { // out of patience: takes what comes
			d.stage, d.left = using, d.Duration
		}
	case stepping:
		d.stage, d.left = using, d.Duration
	case using:
		return true
	}
	return d.left <= pipework.Instant
}

// shut closes the draw's account.
func (d *draw) shut(to *tapAccount) {
	to.draws++
	if !d.arrived {
		to.never++
	}
	if d.Kind == schedules.Filling && d.balance < -tooCool*d.Volume {
		to.used.add(-d.cool.water, -d.cool.heat)
		to.purged.add(d.cool.water, d.cool.heat)
	}
}
