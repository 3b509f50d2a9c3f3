package sim

import (
	"errors"
	"fmt"
	"slices"

	"pipelag/network"
	"pipelag/sim/control"
	"pipelag/sim/safety"
)

// Crossover joins the hot line to the cold one at the far fixture, through which
// the pump then sends its water back.
//
// The cold line is pipes like any other. Between two taps on it flows what the
// pump sends less what is drawn on the cold side of the taps nearer to the
// crossover: towards the heater if that is more than nothing, else from the mains
// outwards. What stands in it when the pump stops is a plug that cools until a
// cold tap draws it.
//
// The mains join the cold line right at the heater, so that what the heater takes
// for a draw comes from the mains, but for what the pump brings. Not modelled: the
// cold branches of taps (they hold nothing), what leaks through a shut valve, what
// disperses through the crossover beyond what flows, sensors and valves that lag, and
// the pump's heat in the rare case that cold taps draw all that it sends.
type Crossover struct {
	// Valve is a thermostat in the water at the crossover: it shuts when that has
	// risen to Off and opens when it has fallen to On, whether the pump runs or not.
	// A pump that runs against it moves nothing and warms no water. It is nil where
	// the pump stops by the temperature there itself.
	Valve    *control.Aquastat
	Lukewarm float64 // from which water at a cold tap is told apart [°C]
}

// crossOver takes over where a loop returns through the cold line, if it does.
func (p *plant) crossOver(n *network.Network, pump *Pump) error {
	switch {
	case n.Crossover != (pump.Crossover != nil):
		return fmt.Errorf("layout %q: the pump and the pipes disagree on whether the loop returns through the cold line", n.Name)
	case !n.Crossover:
		return nil
	case byReturn(pump.Rule):
		return errors.New("the pump goes by the temperature of the return, which in a cold line tells nothing; let it go by a valve at the crossover")
	}
	if valve := pump.Crossover.Valve; valve != nil {
		if _, err := control.New(*valve); err != nil {
			return fmt.Errorf("valve at the crossover: %w", err)
		}
	}
	p.coldLine = n.Return
	for f := range n.Taps {
		p.coldTaps = append(p.coldTaps, n.ColdTap(f))
	}
	return nil
}

// crossing is the state of a crossover through a year.
type crossing struct {
	valve  *control.Control // nil without
	booked float64          // until when the water that crossed is [s]

	// The cell of water that crosses. Its temperature is that of its middle; from
	// its beginning to there it is taken to change in a straight line.
	first, middle float64 // [°C]
	since         float64 // when it began to cross [s]
	half          float64 // how long after that its middle crosses [s]
	most          float64 // nothing warmer crosses, since sensors do not lag; a cell is a lump [°C]
}

func newCrossing(p *Pump) *crossing {
	if p.Crossover == nil {
		return nil
	}
	x := &crossing{most: p.mostCrossing()}
	if v := p.Crossover.Valve; v != nil {
		x.valve, _ = control.New(*v) // found sound when the plant was made
	}
	return x
}

// open tells whether the loop passes water.
func (c *crossing) open() bool { return !c.valved() || c.valve.Running() }

// valved tells whether there is a crossover with a valve.
func (c *crossing) valved() bool { return c != nil && c.valve != nil }

// at is the temperature of the water that crosses at a time [°C].
func (c *crossing) at(t float64) float64 {
	if t >= c.since+c.half {
		return min(c.middle, c.most)
	}
	return min(c.first+(c.middle-c.first)*(t-c.since)/c.half, c.most)
}

// crosses tells whether the water of stream k comes to the crossover or is in the
// cold line.
func (y *year) crosses(k int) bool {
	return y.cross != nil && (y.Stream(y.layout.Network.LoopEnd) == k ||
		slices.ContainsFunc(y.coldLine, func(i int) bool { return y.Stream(i) == k }))
}

// approach takes note of the water at the crossover where it has changed but not
// moved, or, with cells that take so long each to pass [s], moved on.
func (y *year) approach(cell float64) {
	c, now := y.cross, y.Outlet(y.layout.Network.LoopEnd)
	if cell == 0 && now == c.middle {
		return
	}
	c.first, c.half = now, 0
	if cell > 0 {
		c.first, c.half = (c.middle+now)/2, cell/2
		if y.pump.on {
			y.ledger.hottest = max(y.ledger.hottest, min(c.first, c.most))
		}
	}
	c.middle, c.since = now, y.Now
}

// tendValve lets a valve at the crossover do what is due.
func (y *year) tendValve() {
	v := y.cross.valve
	if end := y.layout.Network.LoopEnd; !y.Flows(end) {
		tip, _ := y.Standing(end)
		v.See(y.Now, control.Return, tip)
	}
	v.Advance(y.Now)
}

// valveDue is when a valve at the crossover will do something next. One that is
// shut opens as the water there cools; while that flows it is seen as it comes.
func (y *year) valveDue() float64 {
	v, end := y.cross.valve, y.layout.Network.LoopEnd
	due := v.Next(y.Now)
	if on, watched := v.Watched(); watched && !y.Flows(end) {
		due = min(due, y.cools(end, on))
	}
	return due
}

// bookCrossing accounts for the water that crossed until now.
func (y *year) bookCrossing() {
	c := y.cross
	from, to := c.booked, y.Now
	c.booked = to
	if !y.pump.on || !(to > from) {
		return
	}
	begin, end := c.at(from), c.at(to)
	l := y.ledger
	l.hottest = max(l.hottest, begin, end)
	const most = safety.ColdLineMost
	over := 0.0 // of the time
	switch {
	case begin > most && end > most:
		over = to - from
	case begin > most:
		over = (begin - most) / (begin - end) * (min(to, c.since+c.half) - from)
	case end > most:
		bends := min(to, c.since+c.half)
		over = to - bends + (end-most)/(end-begin)*(bends-from)
	}
	l.months[y.month].coldOver += y.layout.Pump.Flow * over
}
