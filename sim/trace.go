package sim

import (
	"fmt"
	"math"

	"pipelag/schedules"
	"pipelag/sim/pipework"
)

// TraceOptions say which tap to open, and how.
type TraceOptions struct {
	Layout       int
	Fixture      int
	Flow         float64   // of hot water, constant [m³/s]; 0 for the fixture's own
	Rests        []float64 // one more opening after each [s]
	Run          float64   // how long the tap has run before each rest [s]
	Grid         pipework.Grid
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
	Heater     *float64 `json:"heater"`     // until it fires and is warm; 0 where it has a store
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
// follows the water until it is steady. Pumps stand still, and the surroundings and
// the mains have their mean temperatures of the year. A heater with a store gives water
// at the set point; one without fires, and warms itself first.
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
	// The whole of it; and what it is without firing of the heater, without dispersion
	// too, and without loss too.
	var all [4]*tracer
	var p *plant
	for i := range all {
		if i != 1 { // which has the pipes of the whole
			var err error
			if p, err = newPlant(calm, layout, pipework.Model{Grid: o.Grid, NoDispersion: o.NoDispersion || i > 1, NoLoss: i > 2}); err != nil {
				return nil, err
			}
		}
		all[i] = newTracer(p, o.Fixture, o.Flow)
	}
	whole := all[0]
	whole.follow()

	t := &Trace{
		Layout:   layout.Network.Name,
		Fixture:  f.Name,
		Flow:     o.Flow / litre,
		Usable:   f.Usable,
		Setpoint: h.Heater.Setpoint,
		Stored:   layout.Network.PathVolume(o.Fixture) / litre,
		Run:      o.Run,
	}
	for _, i := range whole.path {
		p, err := whole.pipe(i)
		if err != nil {
			return nil, err
		}
		t.Pipes = append(t.Pipes, p)
	}
	for k := range len(o.Rests) + 1 {
		var rest *float64
		whole.cold()
		if k > 0 {
			rest = &o.Rests[k-1]
			whole.run(o.Run)
			whole.rest(*rest)
		}
		opening := Opening{Rest: rest, Before: whole.before()}
		plug := whole.plug(f.Usable)
		// What each effect adds is found from the same water in the pipes.
		var without [len(all) - 1]Series
		for i, w := range all[1:] {
			if i == 0 && whole.kind == nil {
				continue // nothing fires: it is the whole
			}
			w.copyFrom(whole)
			without[i], _ = w.open(f.Usable)
		}
		opening.Series, opening.Profiles = whole.open(f.Usable)
		if whole.kind == nil {
			without[0] = opening.Series
		}
		opening.measure(f.Usable, t, plug, without)
		t.Openings = append(t.Openings, opening)
	}
	return t, nil
}

// measure finds the wait and what made it; plug is that by plug flow alone [s], and
// without what comes to the tap without firing, dispersion too, and loss too.
func (o *Opening) measure(usable float64, t *Trace, plug float64, without [3]Series) {
	wait, ok := o.Series.reaches(usable)
	if !ok {
		return
	}
	purged := wait * t.Flow
	ratio := purged / t.Stored
	o.Wait, o.Purged, o.Ratio = &wait, &purged, &ratio
	unfired, ok0 := without[0].reaches(usable)
	unspread, ok1 := without[1].reaches(usable)
	unlost, ok2 := without[2].reaches(usable)
	if ok0 && ok1 && ok2 {
		wall, loss, dispersion, heater := unlost-plug, unspread-unlost, unfired-unspread, wait-unfired
		o.Parts = Parts{&plug, &wall, &loss, &dispersion, &heater}
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

// Slug is cooler water that follows the first usable water of an opening.
type Slug struct {
	Coolest float64  // [°C]
	At      float64  // when that comes to the tap [s]
	Until   *float64 // from when water is usable again [s]; nil if never
}

// Slug finds the first; nil if there is none.
func (o *Opening) Slug(usable float64) *Slug {
	var s *Slug
	if o.Wait == nil {
		return nil
	}
	for i, v := range o.Series.Tap {
		at := o.Series.Time[i]
		switch {
		case at < *o.Wait || s == nil && v >= usable:
		case s == nil:
			s = &Slug{Coolest: v, At: at}
		case v >= usable:
			before := o.Series.Tap[i-1]
			until := at - (v-usable)/(v-before)*(at-o.Series.Time[i-1])
			s.Until = &until
			return s
		case v < s.Coolest:
			s.Coolest, s.At = v, at
		}
	}
	return s
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
