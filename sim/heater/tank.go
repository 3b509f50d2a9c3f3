package heater

import "math"

// tank is a storage heater through time.
//
// Its water is parcels of a layer's volume that move up with the flow, so a
// front between hot and cold is not smeared by moving. The lowest parcel grows
// as water comes in, the topmost shrinks as water leaves; when it is used up the
// parcels are numbered anew. Where a loop comes back at a height, the tank is
// two such chains, the upper fed by the lower and the loop together.
//
// Heat is brought up to date when something happens, not with every flow: the
// water flows at once, and settle does for the time since what losses,
// sources and conduction have done.
type tank struct {
	layer   float64 // volume of a layer [m³]
	cell    float64 // its heat capacity [J/K]
	layers  float64 // number of layers
	loss    float64 // through the jacket [W/K]
	conduct float64 // upright, between middles of whole neighbours, per heat capacity of a layer [1/s]
	mixed   int     // parcels from the bottom that the cold jet stirs
	both    bool

	stages   []stage // main, then upper
	coil     *Coil
	coilPlug int
	electric float64 // into the heater at all times [W]
	fuel     float64 // [W]

	lower, upper chain     // lower is empty without a port for the return
	size         []float64 // of parcels, from the bottom up [layers]
	temp         []float64 // [°C]
	scratch      []float64
	volume       []float64
	block        []int

	in       Inflow
	now      float64
	settled  float64 // until when heat is up to date, but for conduction
	diffused float64 // until when conduction is
	due      float64 // when it must be again, or parcels be numbered anew
	drew     bool    // cold has come in since it was stirred
	account  Account

	given   float64 // temperature at which water leaves [°C]
	next    float64 // until when
	window  float64 // or until how much more has left [layers]
	promise float64 // or until what the sources will have changed [s]
	owed    float64 // heat of what has left above given, not yet taken from the tank's [J], below 0 for less
}

// chain is neighbouring parcels with one flow.
type chain struct{ first, last int }

// stage is a source of heat with the state of its thermostat.
type stage struct {
	Stage
	plug, sensor int     // parcels at these heights
	flue         float64 // [W/K]
	pilot        float64 // heat into the water at all times, where that lacks it [W]
	target       float64 // the set point that holds at present [°C]
	calls        bool
	runs         bool
}

const (
	restful    = 3600.0 // longest time without settling when nothing flows or heats [s]
	busy       = 300.0  // otherwise [s]
	usedUp     = 1e-6   // parcel as good as gone [layers]
	asWarm     = 1e-8   // as good as the temperature at which a thermostat switches [K]
	soonest    = 0.1    // shortest look ahead for a thermostat [s]
	nearby     = 10.0   // look ahead that needs no second look [s]
	mostGiven  = 900.0  // longest time at one outlet temperature [s]
	leastGiven = 20.0   // and while a thermostat is about to call [s]
	stable     = 1e-12  // inversion not worth turning over [K]
	stillWater = 1e-9   // [K]
)

func (t *tank) flows() bool { return t.in.Drawn+t.in.Looped > 0 }

// Outlet is the mean of what leaves from the top until Next; at rest the temperature there.
func (t *tank) Outlet() float64 {
	if !t.flows() {
		t.settle()
		t.given = t.temp[t.top()]
	}
	return t.given
}

// Next is when water that is not alike will leave.
func (t *tank) Next() float64 { return t.next }

// Account is what has passed up to now.
func (t *tank) Account() Account {
	t.settle()
	return t.account
}

// Stored is the heat in all layers, above 0 °C.
func (t *tank) Stored() float64 {
	t.settle()
	heat := 0.0
	for i, s := range t.size {
		heat += s * t.temp[i]
	}
	return heat * t.cell
}

// Meet settles what has been, and sees what the new flows change for thermostats and outlet.
func (t *tank) Meet(in Inflow) {
	before, began := t.in, !t.flows()
	in = in.plain()
	if in.Drawn == before.Drawn && in.Looped == before.Looped && in.Air == before.Air && in.Intake == before.Intake {
		t.in = in
		return
	}
	t.settle()
	t.in = in
	t.control()
	t.schedule()
	switch {
	case !t.flows():
		t.next = never
	case began:
		t.renew()
	default:
		t.heed()
		t.next = min(t.promise, t.now+max(t.window, 0)*t.layer/(in.Drawn+in.Looped))
	}
}

// Advance lets water flow until now, and settles where something is due between.
func (t *tank) Advance(now float64) {
	for t.now < now {
		end := min(now, t.due, t.next)
		if t.flows() {
			t.pass(end - t.now)
		}
		t.now = end
		if end < t.due && end < t.next {
			return
		}
		over := end >= t.next
		t.settle()
		if over {
			t.renew()
		}
	}
}

// pass lets water flow for a time.
func (t *tank) pass(dt float64) {
	in, a := &t.in, &t.account
	drawn, looped, stirred := in.Drawn*dt/t.layer, in.Looped*dt/t.layer, in.Stir*dt
	moved := drawn + looped
	a.Given += t.cell * (drawn*(t.given-in.Cold) + looped*(t.given-in.Back))
	a.Stirred += stirred
	t.owed += t.cell * moved * (t.temp[t.top()] - t.given)
	t.window -= moved
	entering := looped*in.Back + stirred/t.cell
	if t.lower.last > 0 {
		entering += drawn * t.temp[t.lower.last]
	} else {
		entering += drawn * in.Cold
	}
	t.drew = t.drew || drawn > 0
	t.push(t.upper, moved, entering)
	if t.lower.last > 0 {
		t.push(t.lower, drawn, drawn*in.Cold)
	}
}

// push lets a volume into a chain, with its heat over that of a layer, and as
// much out of it.
func (t *tank) push(c chain, volume, heat float64) {
	if !(volume > 0) {
		return
	}
	f := c.first
	t.temp[f] = (t.size[f]*t.temp[f] + heat) / (t.size[f] + volume)
	t.size[f] += volume
	t.size[c.last] -= volume
	if t.size[c.last] > usedUp {
		return
	}
	if f == 0 {
		t.stir()
	}
	// What is left of the topmost parcel, a rounding of either sign, joins the next.
	k := c.last - 1
	whole := t.size[k] + t.size[c.last]
	t.temp[k] = (t.size[k]*t.temp[k] + t.size[c.last]*t.temp[c.last]) / whole
	t.size[k] = whole
	copy(t.temp[f+1:c.last+1], t.temp[f:c.last])
	copy(t.size[f+1:c.last+1], t.size[f:c.last])
	t.size[f] = 0
	t.due = t.now // numbered anew: look at the thermostats
}

// top is the parcel that leaves.
func (t *tank) top() int { return t.upper.last }

// renew decides at which temperature water leaves from now on: the mean of the
// parcels from the top down that are alike, until they have left.
func (t *tank) renew() {
	top := t.temp[t.top()]
	volume, heat := 0.0, 0.0
	for i := t.top(); i >= t.upper.first && math.Abs(t.temp[i]-top) <= alike; i-- {
		volume += t.size[i]
		heat += t.size[i] * t.temp[i]
	}
	t.given, t.window = heat/volume, volume
	t.promise = t.now + mostGiven
	t.heed()
	t.next = min(t.promise, t.now+volume*t.layer/(t.in.Drawn+t.in.Looped))
}

// heed shortens the promise of an outlet temperature to the time in which the
// sources may warm the top so much that it is another, those counted that may be
// called meanwhile.
func (t *tank) heed() {
	top := t.temp[t.top()]
	power := 0.0
	for i := range t.stages {
		if s := &t.stages[i]; s.runs {
			power += t.power(s)
		}
	}
	coil := 0.0
	if t.coil != nil {
		coil = t.coilPower()
		power += coil
		t.promise = min(t.promise, t.coilHour())
	}
	for i := range t.stages {
		s := &t.stages[i]
		if s.runs {
			t.promise = min(t.promise, t.now+t.wants(s.plug, top+alike)/power)
			continue
		}
		wait := t.untilCalled(s) + t.wants(s.plug, top+alike)/(power+t.power(s))
		t.promise = min(t.promise, t.now+max(wait, leastGiven))
	}
	if coil > 0 {
		t.promise = min(t.promise, t.now+t.wants(t.coilPlug, top+alike)/power)
	}
}

// untilCalled estimates when a thermostat will call: when the tank as a whole
// has cooled so far, or cooler water has come up to it.
func (t *tank) untilCalled(s *stage) float64 {
	on, here := s.target-s.Band, t.temp[s.sensor]
	takes := t.conductance()*(here-t.in.Air) + t.cell/t.layer*t.in.Looped*(t.given-t.in.Back) // [W]
	wait := max(0, here-on) * t.cell * t.layers / max(takes, 1)
	first, flow := t.upper.first, t.in.Drawn+t.in.Looped
	if s.sensor < first {
		first, flow = t.lower.first, t.in.Drawn
	}
	if flow <= 0 {
		return wait
	}
	volume := 0.0
	for i := s.sensor; i >= first && t.temp[i] > on; i-- {
		volume += t.size[i]
	}
	return min(wait, volume*t.layer/flow)
}
