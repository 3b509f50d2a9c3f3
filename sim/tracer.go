package sim

import (
	"pipelag/sim/heater"

	"pipelag/sim/pipework"
)

// tracer opens one tap of a layout.
type tracer struct {
	*plant
	*pipework.System
	path   []int
	from   int // the heater it begins at
	flow   float64
	stored float64       // [m³]
	kind   heater.Kind   // of the heater if it is followed; nil if it gives water at the set point
	heater heater.Heater // nil so too
}

func newTracer(p *plant, fixture int, flow float64) *tracer {
	return &tracer{plant: p, System: p.filled(), path: p.paths[fixture], from: p.serves[fixture], flow: flow, stored: p.layout.Network.PathVolume(fixture)}
}

// follow lets it follow the heater, from the next cold start on, if that has no store.
func (t *tracer) follow() {
	if kind := t.house.Heater.Kind; !stores(kind) {
		t.kind = kind
	}
}

// copyFrom takes over the temperatures of another tracer at rest.
func (t *tracer) copyFrom(o *tracer) {
	t.stop()
	t.CopyFrom(o.System, t.path)
}

// cold lets the pipes, and a heater without a store, stand for a week, in which they
// come to be as cold as what surrounds them.
func (t *tracer) cold() {
	t.System = t.filled()
	if t.kind != nil {
		t.heater, _ = t.kind.New(t.volume) // found sound when the plant was made
		t.heater.Meet(t.inflow(0))
		t.Now = 7 * Day
	}
}

// inflow is what the heater meets with a flow [m³/s].
func (t *tracer) inflow(flow float64) heater.Inflow {
	return heater.Inflow{Drawn: flow, Cold: t.mainsAt(0), Air: t.Air(t.tankZone, 0)}
}

func (t *tracer) start() {
	for _, i := range t.path {
		t.Wanted[i] = t.flow
	}
	t.Route()
	if t.heater != nil {
		t.heater.Advance(t.Now)
		t.heater.Meet(t.inflow(t.flow))
		t.Give(t.from, t.heater.Outlet())
	}
}

func (t *tracer) stop() {
	clear(t.Wanted)
	t.Route()
	if t.heater != nil {
		t.heater.Advance(t.Now)
		t.heater.Meet(t.inflow(0))
	}
}

// next is the stream that shifts next, −1 if the heater comes first, and when; never
// if all is steady.
func (t *tracer) next() (k int, due float64) {
	k, due = t.System.Next()
	if t.heater != nil && t.heater.Next() < due {
		return -1, t.heater.Next()
	}
	return k, due
}

// pass lets that happen.
func (t *tracer) pass(k int, due float64) {
	t.Now = due
	if k < 0 {
		t.heater.Advance(due)
		t.Give(t.from, t.heater.Outlet())
		return
	}
	t.Shift(k)
}

// rest shuts the tap for a time. The pipes on the way are brought up to its end, so that
// what copies them has cooled as they have, whatever it loses itself.
func (t *tracer) rest(duration float64) {
	t.Now += duration
	for _, i := range t.path {
		t.Standing(i)
	}
}

// run opens the tap for a time and shuts it.
func (t *tracer) run(duration float64) {
	t.start()
	end := t.Now + duration
	for k, due := t.next(); due < end; k, due = t.next() {
		t.pass(k, due)
	}
	t.Now = end
	t.stop()
}

// before looks at the water along the way.
func (t *tracer) before() Before {
	p := t.profile(0)
	at := func(share float64) float64 {
		goal := share * p.Distance[len(p.Distance)-1]
		for i, x := range p.Distance {
			if x >= goal {
				return p.Temperature[i]
			}
		}
		return p.Temperature[len(p.Temperature)-1]
	}
	return Before{HeaterEnd: at(0), Middle: at(0.5), TapEnd: at(1)}
}

// plug is the time until the last water that is too cool has left, if nothing
// warmed it, cooled it or mixed it [s].
func (t *tracer) plug(usable float64) float64 { return t.Tepid(t.path, usable) / t.flow }

// open runs the tap until its water is usable and for some time more, and shuts
// it; it gives the temperature at the tap and, until usable, along the way.
func (t *tracer) open(usable float64) (Series, []Profile) {
	began := t.Now
	t.start()
	tap := t.path[len(t.path)-1]
	s := Series{Time: []float64{0}, Tap: []float64{t.Outlet(tap)}}
	profiles := []Profile{t.profile(0)}
	every := t.stored / t.flow / 4
	reached := s.Tap[0] >= usable
	least := seriesEnds * t.stored / t.flow
	for {
		k, due := t.next()
		if due == never { // steady
			break
		}
		atTap := t.look(&s, k, due, began)
		since := t.Now - began
		if atTap && !reached && t.Outlet(tap) >= usable {
			reached = true
			least = max(least, seriesEnds*since)
		}
		// What moves on the way is looked at though nothing does at the tap yet.
		if !reached && since >= float64(len(profiles))*every && len(profiles) < 24 {
			profiles = append(profiles, t.profile(since))
		}
		if !atTap {
			continue
		}
		if since > least && reached || since > 50*least {
			break
		}
	}
	if end := s.Time[len(s.Time)-1]; end < least { // went steady early
		s.Time = append(s.Time, least)
		s.Tap = append(s.Tap, t.Outlet(tap))
	}
	profiles = append(profiles, t.profile(t.Now-began))
	t.stop()
	return s, profiles
}

// look lets what is due happen, and adds what comes to the tap to the series of an
// opening that began at a time; it tells whether anything did.
func (t *tracer) look(s *Series, k int, due, began float64) bool {
	t.pass(k, due)
	tap := t.path[len(t.path)-1]
	if t.Stream(tap) != k {
		return false
	}
	// What leaves now is a cell whose middle follows half a shift later.
	s.Time = append(s.Time, t.Now-began+t.Passing(k)/2)
	s.Tap = append(s.Tap, t.Outlet(tap))
	return true
}

// profile is the water along the way as it stands.
func (t *tracer) profile(since float64) Profile {
	p := Profile{Time: since, Distance: t.Middles(t.path)}
	for _, i := range t.path {
		p.Temperature = append(p.Temperature, t.Water(i)...)
	}
	return p
}
