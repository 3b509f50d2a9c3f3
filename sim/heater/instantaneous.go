package heater

import (
	"fmt"
	"math"
)

// Instantaneous is a heater without a store: it fires when enough water flows,
// after a delay, and modulates to hold its set point as far as its power goes.
//
// Its heat exchanger, water and metal, is of one temperature. It goes cold while
// water flows and nothing burns, cools between draws, and is warmed first at the
// next: that is the slug of cold or lukewarm water between two draws. A real
// exchanger gives a shorter slug with steeper ends.
type Instantaneous struct {
	Setpoint    float64 // 20 to 95 [°C]
	Power       float64 // greatest heat into the water, above 0 to 200 000 [W]
	Efficiency  float64 // of its energy into the water, above 0 to 1 [-]
	Carrier     Carrier // Gas or Electricity
	LeastFlow   float64 // below which it does not fire, 0 to 0.001 [m³/s]
	Delay       float64 // from the flow to full fire, 0 to 120 [s]
	Exchanger   float64 // heat capacity of exchanger and the water in it, 100 to 1e6 [J/K]
	Loss        float64 // from the exchanger to the air, 0 to 20 [W/K]
	Electronics float64 // electricity at all times, 0 to 200 [W]
}

// atSetpoint is as good as the set point [K].
const atSetpoint = 1e-3

// instant is an instantaneous heater through time. Between two events the
// exchanger, at T, follows
//
//	C dT/dt = P + Σ ρc q (T_in − T) − UA (T − A)
//
// whose solution is one exponential towards a limit.
type instant struct {
	Instantaneous
	capacity float64 // of water by volume [J/(m³ K)]
	in       Inflow
	now      float64
	fires    float64 // when it fires, or did; +Inf if it does not
	account  Account

	temp  float64 // of the exchanger [°C]
	owed  float64 // to it: heat of water that left above or below the temperature given [J]
	power float64 // into the water [W]
	limit float64 // towards which it goes [°C]
	rate  float64 // how fast [1/s]
	given float64 // mean of what leaves until next [°C]
	next  float64
}

// Efficiencies are its one.
func (h Instantaneous) Efficiencies() []Efficiency { return []Efficiency{{h.Carrier, h.Efficiency}} }

// New makes a heater of the description; its exchanger is cold.
func (h Instantaneous) New(capacity float64) (Heater, error) {
	var r refusals
	r.capacity(capacity)
	r.setpoint("set point", h.Setpoint)
	r.above("power", h.Power, 0, 2e5, " W")
	r.above("efficiency", h.Efficiency, 0, 1, "")
	r.when(h.Carrier != Gas && h.Carrier != Electricity, "carrier: an instantaneous heater runs on gas or electricity, not on %v", h.Carrier)
	r.within("least flow", h.LeastFlow, 0, 1e-3, " m³/s")
	r.within("delay", h.Delay, 0, 120, " s")
	r.within("heat capacity of the exchanger", h.Exchanger, 100, 1e6, " J/K")
	r.within("loss", h.Loss, 0, 20, " W/K")
	r.within("electronics", h.Electronics, 0, 200, " W")
	if err := r.join(); err != nil {
		return nil, fmt.Errorf("instantaneous heater: %w", err)
	}
	const room = 20 // the exchanger at the beginning [°C]; a fire warms it within seconds
	t := &instant{Instantaneous: h, capacity: capacity, in: Inflow{Air: room}, temp: room, fires: never}
	t.plan()
	return t, nil
}

// Next is when it fires or its outlet will have changed.
func (t *instant) Next() float64 { return t.next }

// Account is what has passed up to the last Advance.
func (t *instant) Account() Account { return t.account }

// Stored is the heat in the exchanger, above 0 °C.
func (t *instant) Stored() float64 { return t.Exchanger*t.temp + t.owed }

// Outlet is the mean of what leaves until Next; at rest the temperature of the exchanger.
func (t *instant) Outlet() float64 {
	if t.flow() > 0 {
		return t.given
	}
	return t.temp
}

func (t *instant) flow() float64 { return t.in.Drawn + t.in.Looped }

// Meet fires it, after its delay, where enough flows, and puts it out where not.
func (t *instant) Meet(in Inflow) {
	in = in.plain()
	if in == t.in {
		return
	}
	t.in = in
	switch flow := t.flow(); {
	case flow <= 0 || flow < t.LeastFlow:
		t.fires = never
	case t.fires == never:
		t.fires = t.now + t.Delay
	}
	t.plan()
}

// Advance warms and cools the exchanger until now, from one Next to another.
func (t *instant) Advance(now float64) {
	for t.now < now {
		end := min(now, t.next)
		t.live(end - t.now)
		t.now = end
		if end < t.next {
			return
		}
		t.plan()
	}
}

// live lets a time pass in which nothing changes but the exchanger.
func (t *instant) live(dt float64) {
	in, a := &t.in, &t.account
	through := t.capacity * t.flow() // [W/K]
	before := t.temp
	t.temp = t.limit + (before-t.limit)*math.Exp(-t.rate*dt)
	passed := t.limit * dt // ∫ T dt
	if t.rate > 0 {
		passed += (before - t.temp) / t.rate
	}
	t.owed += through * (passed - t.given*dt)
	a.Given += t.capacity * dt * (in.Drawn*(t.given-in.Cold) + in.Looped*(t.given-in.Back))
	a.Stirred += in.Stir * dt
	a.Jacket += t.Loss * (passed - in.Air*dt)
	a.Heated += t.power * dt
	a.Energy[t.Carrier] += t.power * dt / t.Efficiency
	a.Energy[Electricity] += t.Electronics * dt
}

// plan works out what comes from now on, and until when.
func (t *instant) plan() {
	t.temp += t.owed / t.Exchanger
	t.owed = 0
	in := &t.in
	through := t.capacity * t.flow()
	total := through + t.Loss
	t.rate = total / t.Exchanger
	t.power, t.next = 0, never
	brings := t.capacity*(in.Drawn*in.Cold+in.Looped*in.Back) + in.Stir + t.Loss*in.Air // [W]
	fired := t.now >= t.fires
	if fired {
		needs := min(max(0, total*t.Setpoint-brings), t.Power)
		switch below := t.Setpoint - t.temp; {
		case below > atSetpoint && needs > 0: // a return at the set point warms the exchanger by itself
			t.power = t.Power
		case below >= -atSetpoint:
			t.power = needs
		}
	} else {
		t.next = t.fires
	}
	t.limit = t.temp
	if total > 0 {
		t.limit = (brings + t.power) / total
	}
	if through <= 0 {
		t.given = t.temp
		return
	}
	gap := math.Abs(t.temp - t.limit)
	if gap <= alike {
		t.given = t.limit
		return
	}
	until := t.limit + math.Copysign(max(gap-warmStep, alike/2), t.temp-t.limit)
	if fired && (t.temp-t.Setpoint)*(until-t.Setpoint) < 0 && math.Abs(t.temp-t.Setpoint) > atSetpoint {
		until = t.Setpoint
	}
	dt := min(math.Log((t.temp-t.limit)/(until-t.limit))/t.rate, t.next-t.now)
	t.next = min(t.next, t.now+dt)
	if x := t.rate * dt; x > 0 {
		t.given = t.limit - (t.temp-t.limit)*math.Expm1(-x)/x
	}
}
