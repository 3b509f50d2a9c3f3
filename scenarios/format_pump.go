package scenarios

import (
	"fmt"
	"strconv"
	"strings"

	"pipelag/units"
)

// pumpSaid is a pump with its control.
type pumpSaid struct {
	control                               said[string]
	flow, power, heat, opens              said[float64]
	curve                                 []said[dutySaid]
	windows                               []said[windowSaid]
	on, off                               said[float64]
	lead, likelihood, rise, warm, longest said[float64]
	dead, wrong, memory, least            said[float64]
}

func (a pumpSaid) over(b pumpSaid) pumpSaid {
	if a.windows == nil {
		a.windows = b.windows
	}
	switch {
	case a.curve != nil || a.flow.at != nil || a.power.at != nil && b.curve != nil: // one or the other
	default:
		a.curve, a.flow = b.curve, b.flow
	}
	if a.curve == nil {
		a.power = a.power.or(b.power)
	}
	return pumpSaid{
		a.control.or(b.control), a.flow, a.power, a.heat.or(b.heat), a.opens.or(b.opens),
		a.curve, a.windows, a.on.or(b.on), a.off.or(b.off),
		a.lead.or(b.lead), a.likelihood.or(b.likelihood), a.rise.or(b.rise), a.warm.or(b.warm), a.longest.or(b.longest),
		a.dead.or(b.dead), a.wrong.or(b.wrong), a.memory.or(b.memory), a.least.or(b.least),
	}
}

// The words for a pump's controls.
const (
	continuous       = "continuous"
	byClock          = "clock"
	byAquastat       = "aquastat"
	byBoth           = "clock and aquastat"
	byDemand         = "demand"
	byButton         = "button" // another word for demand
	byMotion         = "motion"
	learning         = "learning"
	learningAquastat = "learning and aquastat"
)

var controls = []string{continuous, byClock, byAquastat, byBoth, byDemand, byButton, byMotion, learning, learningAquastat}

const (
	mostWindows = 50
	mostDuties  = 50
)

var pumpKeys = table[pumpSaid]{"a pump", func() []row[pumpSaid] {
	type p = pumpSaid
	return []row[p]{
		{"control", "continuous, clock, aquastat, clock and aquastat, button (or demand), motion, learning, or learning and aquastat", false, choice(controls, func(x *p) *said[string] { return &x.control })},
		{"flow", "round the loop", false, quantity(units.Flow, 0.1e-3/60, 60e-3/60, func(x *p) *said[float64] { return &x.flow })},
		{"power", "electric, while it runs", false, quantity(units.Power, 0.1, 1000, func(x *p) *said[float64] { return &x.power })},
		{"curve", "points of its data sheet instead of flow and power, which then follow from the loop's resistance", false, many(dutyKeys, mostDuties, func(x *p) *[]said[dutySaid] { return &x.curve })},
		{"check valve", "with a curve: pressure that opens the check valve; none if left out", false, quantity(units.Pressure, 0, 1e5, func(x *p) *said[float64] { return &x.opens })},
		{"heat", "share of its power that warms the water; 50 % if left out", false, quantity(units.Share, 0, 1, func(x *p) *said[float64] { return &x.heat })},
		{"windows", "clock: when it runs, or may run", false, many(windowKeys, mostWindows, func(x *p) *[]said[windowSaid] { return &x.windows })},
		{"on", "aquastat: temperature of the return at which it starts", false, quantity(units.Temperature, 0, 95, func(x *p) *said[float64] { return &x.on })},
		{"off", "aquastat: temperature of the return at which it stops, above on", false, quantity(units.Temperature, 0, 95, func(x *p) *said[float64] { return &x.off })},
		{"lead", "button, motion: how long before a draw it is called, 1 min and 20 s if left out; learning: how long before an hour it runs, 10 min if left out", false, quantity(units.Duration, 0, 3600, func(x *p) *said[float64] { return &x.lead })},
		{"likelihood", "button: share of draws wanting hot water that are preceded by a call, 80 % if left out; motion: share of comings that it notices, 95 % if left out", false, quantity(units.Share, 0, 1, func(x *p) *said[float64] { return &x.likelihood })},
		{"false calls", "motion: calls a day of people who want no water; 10 if left out", false, factor(0, 500, func(x *p) *said[float64] { return &x.wrong })},
		{"dead time", "button, motion: how long after a run calls are not heard; 0 s and 15 min if left out", false, quantity(units.Duration, 0, 7200, func(x *p) *said[float64] { return &x.dead })},
		{"rise", "button, motion: temperature rise at the far end that stops it; 5 K if left out", false, quantity(units.Difference, 0.5, 40, func(x *p) *said[float64] { return &x.rise })},
		{"warm", "button, motion: temperature at the far end that stops it or keeps it off; 105 F if left out", false, quantity(units.Temperature, 20, 80, func(x *p) *said[float64] { return &x.warm })},
		{"max run", "button, motion: longest run; 5 min if left out", false, quantity(units.Duration, 10, 3600, func(x *p) *said[float64] { return &x.longest })},
		{"memory", "learning: how many days it remembers; 14 d if left out", false, quantity(units.Duration, 86400, 60*86400, func(x *p) *said[float64] { return &x.memory })},
		{"least draws", "learning: draws a day in an hour from which it runs in that hour; 0.3 if left out", false, factor(0.01, 100, func(x *p) *said[float64] { return &x.least })},
	}
}}

// pumpKeysOf are the controls that a key goes with; a key that is not here goes
// with any.
var pumpKeysOf = []struct {
	key      string
	controls []string
}{
	{"windows", []string{byClock, byBoth}},
	{"on", []string{byAquastat, byBoth, learningAquastat}},
	{"off", []string{byAquastat, byBoth, learningAquastat}},
	{"lead", []string{byDemand, byButton, byMotion, learning, learningAquastat}},
	{"likelihood", []string{byDemand, byButton, byMotion}},
	{"false calls", []string{byMotion}},
	{"dead time", []string{byDemand, byButton, byMotion}},
	{"rise", []string{byDemand, byButton, byMotion}},
	{"warm", []string{byDemand, byButton, byMotion}},
	{"max run", []string{byDemand, byButton, byMotion}},
	{"memory", []string{learning, learningAquastat}},
	{"least draws", []string{learning, learningAquastat}},
}

// dutySaid is a point of a pump's curve.
type dutySaid struct{ flow, head, power said[float64] }

var dutyKeys = table[dutySaid]{"a point of a curve", func() []row[dutySaid] {
	type d = dutySaid
	return []row[d]{
		{"flow", "from 0 gpm at the first point", true, quantity(units.Flow, 0, 0.1, func(x *d) *said[float64] { return &x.flow })},
		{"head", "down to 0 ft at the last point", true, quantity(units.Length, 0, 100, func(x *d) *said[float64] { return &x.head })},
		{"power", "electric", true, quantity(units.Power, 0, 1e4, func(x *d) *said[float64] { return &x.power })},
	}
}}

// windowSaid is a time of day on some weekdays.
type windowSaid struct {
	from, to said[float64]
	days     said[[]string]
}

var windowKeys = table[windowSaid]{"a window", func() []row[windowSaid] {
	type w = windowSaid
	return []row[w]{
		{"from", "time of day at which it opens", true, timeOfDay(func(x *w) *said[float64] { return &x.from })},
		{"to", "time of day at which it shuts, on the next day if that is not after from; 24:00 for midnight", true, timeOfDay(func(x *w) *said[float64] { return &x.to })},
		{"days", "weekdays on which it opens, such as [Mon, Tue] or [weekdays]; every day if left out", false, words("Mon", 7, func(x *w) *said[[]string] { return &x.days })},
	}
}}

// timeOfDay is hours and minutes [s].
func timeOfDay[T any](to func(*T) *said[float64]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, "06:30") {
				return
			}
			if s, ok := clockTime(n.text); ok {
				*to(into) = said[float64]{s, n}
				return
			}
			r.fault(n, fmt.Sprintf("%q is no time of day", n.text), "write hours and minutes from 00:00 to 24:00, such as 06:30")
		},
		schema: func() schema {
			return schema{"type": "string", "pattern": "^([01]?[0-9]|2[0-4]):[0-5][0-9]$", "examples": []string{"06:30"}}
		},
	}
}

// clockTime is a time of day of 24 hours [s].
func clockTime(text string) (float64, bool) {
	hours, minutes, parted := strings.Cut(text, ":")
	if !parted || len(hours) < 1 || len(hours) > 2 || len(minutes) != 2 {
		return 0, false
	}
	h, errH := strconv.ParseUint(hours, 10, 8)
	m, errM := strconv.ParseUint(minutes, 10, 8)
	if errH != nil || errM != nil || m > 59 || h*60+m > 24*60 {
		return 0, false
	}
	return float64(h*60+m) * 60, true
}
