// Package control says when a circulation pump runs.
//
// A Control is a state machine with explicit time: it is told what happens and
// says when it next does something by itself. It knows neither pipes nor pump.
//
// Time runs from 0, the beginning of the year, in seconds; day 0 is a Thursday,
// as in the schedules of households. There is no summer time.
//
// Not modelled: pumps that change their speed, sensors that lag behind the
// water, clocks that go wrong, and controls that ask for more than one loop.
package control

import (
	"errors"
	"fmt"
	"math"
)

// Rule is how a pump is switched: Continuous, Clock, Aquastat, Demand or Learning.
type Rule interface {
	check() error
	begin(*Control)
}

// Sensor is where a temperature is taken.
type Sensor uint8

// The sensors.
const (
	Return Sensor = iota // at the end of the return line, next to the heater
	FarEnd               // where the loop turns back
)

// Continuous runs always.
type Continuous struct{}

func (Continuous) check() error   { return nil }
func (Continuous) begin(*Control) {}

// Aquastat runs while the water that comes back is too cool: from when it has
// fallen to On until it has risen to Off.
type Aquastat struct {
	On  float64 // 0 to 95 [°C]
	Off float64 // above On, up to 95 [°C]
}

func (a Aquastat) check() error {
	return errors.Join(
		within("aquastat, on", a.On, 0, 95, " °C"),
		within("aquastat, off", a.Off, 0, 95, " °C"),
		unless(a.Off > a.On, "aquastat: off at %g °C is not above on at %g °C; it would switch without end", a.Off, a.On))
}
func (a Aquastat) begin(c *Control) { c.aquastat = &a }

// Control is one pump's control through time.
type Control struct {
	gate     gate      // nil: open at all times
	aquastat *Aquastat // nil without
	demand   *Demand   // nil without
	learning *habits   // nil without; it is the gate as well

	open    bool
	running bool
	off     float64     // when it stops by itself, +Inf if it does not [s]
	stop    float64     // rising temperature that stops it, at its sensor [°C]
	seen    [2]sighting // last, by sensor
	rested  float64     // Demand: end of the dead time [s]
}

// gate is times at which a pump may run.
type gate interface {
	// at tells whether it is open from now on, and when that changes.
	at(now float64) (open bool, until float64)
}

var never = math.Inf(1)

// New makes a control of a rule, or says what is contradictory in it. It has
// seen no temperature yet: an aquastat takes the water for cold.
func New(r Rule) (*Control, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	c := &Control{off: never, stop: never, seen: [2]sighting{{math.Inf(-1), 0}, {math.Inf(-1), 0}}}
	r.begin(c)
	c.Advance(0)
	return c, nil
}

// Running tells whether the pump runs.
func (c *Control) Running() bool { return c.running }

// Next is when the control will next do something by itself; +Inf if it waits
// for something to happen.
func (c *Control) Next(now float64) float64 {
	next := never
	if c.running {
		next = c.off
	}
	if c.gate != nil {
		_, until := c.gate.at(now)
		next = min(next, until)
	}
	return next
}

// Advance does what is due at now, which is not beyond Next. An aquastat goes by
// the temperature it saw last, so at Next it is to See first.
func (c *Control) Advance(now float64) {
	if c.learning != nil {
		c.learning.turn(now)
	}
	if c.running && now >= c.off {
		c.halt(now)
	}
	c.open = true
	if c.gate != nil {
		c.open, _ = c.gate.at(now)
	}
	if !c.open && c.running {
		c.halt(now)
	}
	if !c.running {
		c.consider()
	}
}

// Watched is the temperature at the end of the return line that will start the
// pump when it has fallen to it; false while none will.
func (c *Control) Watched() (temperature float64, watched bool) {
	if c.aquastat == nil || c.running || !c.open {
		return 0, false
	}
	return c.aquastat.On, true
}

// See takes note of the temperature of standing water at a sensor.
func (c *Control) See(now float64, at Sensor, temperature float64) {
	c.Pass(now, at, temperature, temperature, 0)
}

// Pass takes note of the temperature at a sensor of a cell of water that begins to pass
// it and takes so long [s], with its middle half way; next is that of the cell to come.
// Between middles the temperature changes in a straight line, and the pump stops when
// that has come to where it is to stop, but not before now.
func (c *Control) Pass(now float64, at Sensor, temperature, next, cell float64) {
	last, this := c.seen[at], sighting{temperature, now + cell/2}
	c.seen[at] = this
	switch {
	case !c.running:
		c.consider()
	case at != c.stopsBy():
	case last.temperature < c.stop && temperature >= c.stop:
		c.off = min(c.off, max(now, last.reaches(c.stop, this)))
	case temperature < c.stop && next >= c.stop:
		if t := this.reaches(c.stop, sighting{next, this.at + cell}); t < now+cell { // later is seen better later
			c.off = min(c.off, t)
		}
	}
}

// sighting is a temperature at a sensor [°C] at a time [s].
type sighting struct{ temperature, at float64 }

// reaches is when a temperature between that of a sighting and of a later one is there.
func (s sighting) reaches(temperature float64, later sighting) float64 {
	if math.IsInf(s.temperature, -1) { // nothing was seen before
		return later.at
	}
	return s.at + (temperature-s.temperature)/(later.temperature-s.temperature)*(later.at-s.at)
}

// stopsBy is the sensor that stops it.
func (c *Control) stopsBy() Sensor {
	if c.demand != nil {
		return FarEnd
	}
	return Return
}

// consider starts a pump that needs no call and has reason to run.
func (c *Control) consider() {
	switch {
	case !c.open || c.demand != nil:
	case c.aquastat == nil:
		c.start(never, never)
	case c.seen[Return].temperature <= c.aquastat.On:
		c.start(c.aquastat.Off, never)
	}
}

// start runs the pump until a temperature or a time.
func (c *Control) start(stop, off float64) {
	c.running, c.stop, c.off = true, stop, off
}

func (c *Control) halt(now float64) {
	c.running, c.off = false, never
	if c.demand != nil {
		c.rested = now + c.demand.Dead
	}
}

func within(what string, x, low, high float64, unit string) error {
	return unless(x >= low && x <= high, "%s: %g%s; must be from %g to %g%s", what, x, unit, low, high, unit)
}

func unless(right bool, format string, args ...any) error {
	if right {
		return nil
	}
	return fmt.Errorf(format, args...)
}
