package sim

import (
	"fmt"
	"math"

	"pipelag/schedules"
)

// TraceOptions say which tap to open, and how.
type TraceOptions struct {
	Layout       int
	Fixture      int
	Flow         float64   // of hot water, constant [m³/s]; 0 for the fixture's own
	Rests        []float64 // one more opening after each [s]
	Run          float64   // how long the tap has run before each rest [s]
	Grid         Grid
	NoDispersion bool
}

// Trace is what one tap gives, opening by opening.
type Trace struct {
	Layout   string      `json:"layout"`
	Fixture  string      `json:"fixture"`
	Flow     float64     `json:"flow_L_per_s"`
	Usable   float64     `json:"usable_C"`
	Setpoint float64     `json:"setpoint_C"`
	Stored   float64     `json:"stored_L"` // in the pipes from heater to tap
	Run      float64     `json:"run_s"`
	Pipes    []TracePipe `json:"pipes"`
	Openings []Opening   `json:"openings"`
}

// Opening is the tap opened once.
type Opening struct {
	Rest     *float64  `json:"rest_s"` // nil for the first: the pipes are as cold as what surrounds them
	Before   Before    `json:"before_C"`
	Wait     *float64  `json:"wait_s"` // nil if usable water never comes
	Purged   *float64  `json:"purged_L"`
	Ratio    *float64  `json:"purge_ratio"` // purged over stored
	Parts    Parts     `json:"parts_s"`
	Series   Series    `json:"series"`
	Profiles []Profile `json:"profiles"`
}

// Before is how warm the water stood before the tap was opened [°C].
type Before struct {
	HeaterEnd float64 `json:"heater_end"`
	Middle    float64 `json:"middle"`
	TapEnd    float64 `json:"tap_end"`
}

// Parts say what made the wait: the sum is the wait. Each is by how much the
// wait grows when an effect is added to those before it. All are nil if usable
// water never comes, or if one of them alone keeps it from coming.
type Parts struct {
	Plug       *float64 `json:"plug"`       // the water that stood too cool, pushed out as a plug
	Wall       *float64 `json:"wall"`       // warming the tube wall
	Loss       *float64 `json:"loss"`       // to the surroundings meanwhile
	Dispersion *float64 `json:"dispersion"` // mixing along the pipe
}

// Series is the temperature at the tap against time since it was opened.
type Series struct {
	Time []float64 `json:"t_s"`
	Tap  []float64 `json:"tap_C"`
}

// Profile is the temperature of the water along the way at one time.
type Profile struct {
	Time        float64   `json:"t_s"`
	Distance    []float64 `json:"x_m"` // from the heater, at the middle of each cell
	Temperature []float64 `json:"water_C"`
}

// seriesEnds is how many waits, or stored volumes, a series goes on for.
const seriesEnds = 3

// NewTrace opens one tap of a house from a cold start and after each rest, and
// follows the water until it is steady. Pumps stand still, and the surroundings
// have their mean temperatures of the year.
func NewTrace(h *House, o TraceOptions) (*Trace, error) {
	layout := &h.Layouts[o.Layout]
	f := &h.Fixtures[o.Fixture]
	if o.Flow == 0 {
		o.Flow = f.Flow
	}
	switch {
	case !(o.Flow > 0) || o.Flow > f.Flow*(1+1e-9):
		return nil, fmt.Errorf("a flow of %.4g L/s; %s passes more than 0 and up to %.4g L/s", o.Flow*1e3, f.Name, f.Flow*1e3)
	case f.Usable >= h.Heater.Setpoint:
		return nil, fmt.Errorf("usable from %.1f C, but the heater is set to %.1f C; a fixture's usable temperature lies below the heater's set point", f.Usable, h.Heater.Setpoint)
	case !(o.Run >= 0) || math.IsInf(o.Run, 0):
		return nil, fmt.Errorf("the tap runs for %g s before each rest; it must be a time of 0 s or more", o.Run)
	}
	for _, rest := range o.Rests {
		if !(rest > 0) || rest > yearEnd {
			return nil, fmt.Errorf("a rest of %g s; it must be more than 0 s and no more than a year", rest)
		}
	}
	calm := inCalm(h)
	full, err := newTracer(calm, layout, o, model{grid: o.Grid, noDispersion: o.NoDispersion})
	if err != nil {
		return nil, err
	}
	undispersed, err := newTracer(calm, layout, o, model{grid: o.Grid, noDispersion: true})
	if err != nil {
		return nil, err
	}
	lossless, err := newTracer(calm, layout, o, model{grid: o.Grid, noDispersion: true, noLoss: true})
	if err != nil {
		return nil, err
	}

	t := &Trace{
		Layout:   layout.Network.Name,
		Fixture:  f.Name,
		Flow:     o.Flow / litre,
		Usable:   f.Usable,
		Setpoint: h.Heater.Setpoint,
		Stored:   layout.Network.PathVolume(o.Fixture) / litre,
		Run:      o.Run,
	}
	for _, i := range full.path {
		p, err := full.pipe(i)
		if err != nil {
			return nil, err
		}
		t.Pipes = append(t.Pipes, p)
	}
	for k := range len(o.Rests) + 1 {
		var rest *float64
		full.cold()
		if k > 0 {
			rest = &o.Rests[k-1]
			full.run(o.Run)
			full.rest(*rest)
		}
		opening := Opening{Rest: rest, Before: full.before()}
		// What each effect adds is found from the same water in the pipes.
		undispersed.copyFrom(full)
		lossless.copyFrom(full)
		plug := full.plug(f.Usable)
		opening.Series, opening.Profiles = full.open(f.Usable)
		without, _ := undispersed.open(f.Usable)
		adiabatic, _ := lossless.open(f.Usable)
		opening.measure(f.Usable, t, plug, without, adiabatic)
		t.Openings = append(t.Openings, opening)
	}
	return t, nil
}

// measure finds the wait and what made it.
func (o *Opening) measure(usable float64, t *Trace, plug float64, undispersed, lossless Series) {
	wait, ok := o.Series.reaches(usable)
	if !ok {
		return
	}
	purged := wait * t.Flow
	ratio := purged / t.Stored
	o.Wait, o.Purged, o.Ratio = &wait, &purged, &ratio
	unspread, ok1 := undispersed.reaches(usable)
	unlost, ok2 := lossless.reaches(usable)
	if ok1 && ok2 {
		wall, loss, dispersion := unlost-plug, unspread-unlost, wait-unspread
		o.Parts = Parts{&plug, &wall, &loss, &dispersion}
	}
}

// reaches is when the tap first has a temperature, and whether it ever does.
func (s *Series) reaches(usable float64) (float64, bool) {
	for i, v := range s.Tap {
		if v < usable {
			continue
		}
		if i == 0 {
			return 0, true
		}
		share := (usable - s.Tap[i-1]) / (v - s.Tap[i-1])
		return s.Time[i-1] + share*(s.Time[i]-s.Time[i-1]), true
	}
	return 0, false
}

// tracer opens one tap of a layout.
type tracer struct {
	*pipework
	path   []int
	flow   float64
	stored float64 // [m³]
}

func newTracer(h *House, l *Layout, o TraceOptions, m model) (*tracer, error) {
	p, err := newPlant(h, l, m)
	if err != nil {
		return nil, err
	}
	return &tracer{newPipework(p), p.paths[o.Fixture], o.Flow, l.Network.PathVolume(o.Fixture)}, nil
}

// copyFrom takes over the temperatures of another tracer at rest.
func (t *tracer) copyFrom(o *tracer) {
	t.stop()
	t.now = o.now
	for _, i := range t.path {
		for j := range t.pipes[i].nodes {
			copy(t.pipes[i].temp[j], o.pipes[i].temp[j])
		}
		t.pipes[i].clock = o.pipes[i].clock
	}
}

// cold lets the pipes stand until they are as cold as what surrounds them.
func (t *tracer) cold() {
	t.pipework = newPipework(t.plant)
}

func (t *tracer) start() {
	for _, i := range t.path {
		t.wanted[i] = t.flow
	}
	t.route()
}

func (t *tracer) stop() {
	clear(t.wanted)
	t.route()
}

// rest shuts the tap for a time.
func (t *tracer) rest(duration float64) {
	t.now += duration
	for _, i := range t.path {
		t.relax(i, t.now)
	}
}

// run opens the tap for a time and shuts it.
func (t *tracer) run(duration float64) {
	t.start()
	end := t.now + duration
	for k, due := t.next(); due < end; k, due = t.next() {
		t.now = due
		t.shift(k)
	}
	t.now = end
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
func (t *tracer) plug(usable float64) float64 {
	ahead, time := 0.0, 0.0
	for k := len(t.path) - 1; k >= 0; k-- {
		p := &t.pipes[t.path[k]]
		for i := p.cells - 1; i >= 0; i-- {
			if p.temp[0][i] >= usable {
				return time
			}
			ahead += p.cellVolume * p.size(i)
			time = ahead / t.flow
		}
	}
	return time
}

// open runs the tap until its water is usable and for some time more, and shuts
// it; it gives the temperature at the tap and, until usable, along the way.
func (t *tracer) open(usable float64) (Series, []Profile) {
	began := t.now
	t.start()
	tap := t.path[len(t.path)-1]
	s := Series{Time: []float64{0}, Tap: []float64{t.outlet(tap)}}
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
		since := t.now - began
		if atTap && !reached && t.outlet(tap) >= usable {
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
		s.Tap = append(s.Tap, t.outlet(tap))
	}
	profiles = append(profiles, t.profile(t.now-began))
	t.stop()
	return s, profiles
}

// look shifts stream k, which is due, and adds what comes to the tap to the series
// of an opening that began at a time; it tells whether anything did.
func (t *tracer) look(s *Series, k int, due, began float64) bool {
	t.now = due
	t.shift(k)
	tap := t.path[len(t.path)-1]
	if t.of[tap] != k {
		return false
	}
	// What leaves now is a cell whose middle follows half a shift later.
	s.Time = append(s.Time, t.now-began+t.streams[k].duration/2)
	s.Tap = append(s.Tap, t.outlet(tap))
	return true
}

// profile is the water along the way as it stands.
func (t *tracer) profile(since float64) Profile {
	p := Profile{Time: since, Distance: t.middles(t.path)}
	for _, i := range t.path {
		p.Temperature = append(p.Temperature, t.cellsOf(i)...)
	}
	return p
}

// constant is a temperature that does not change [°C].
type constant float64

// At is the temperature at any time.
func (c constant) At(float64) float64 { return float64(c) }

// annualMean is the mean of a temperature over the hours of a year [°C].
func annualMean(t schedules.Temperature) float64 {
	total := 0.0
	for k := range schedules.DaysPerYear * 24 {
		total += t.At((float64(k) + 0.5) * 3600)
	}
	return total / (schedules.DaysPerYear * 24)
}
