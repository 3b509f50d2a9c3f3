package household

import (
	"math"
	"math/rand/v2"

	"pipelag/schedules"
	"pipelag/schedules/published"
	"pipelag/schedules/random"
)

// Streams of random numbers: one for each end use, by Use, and these.
const (
	activity = schedules.Uses + iota
	presence
	ready
	washingUp
	streams
)

var streamNames = [streams]string{
	schedules.Shower: "shower", schedules.Bath: "bath", schedules.Kitchen: "kitchen", schedules.Lavatory: "lavatory",
	schedules.Dishwasher: "dishwasher", schedules.ClothesWasher: "clothes washer",
	activity: "activity", presence: "presence", ready: "getting ready", washingUp: "washing up",
}

// year is one replicate. It holds no more than a day.
type year struct {
	household *Household
	temper    temper
	keys      [streams]random.Key
	source    rand.PCG
	random    *rand.Rand
	wishes    []schedules.Wish // of the day being made, in seconds since its midnight
	free      []float64        // by fixture: when it is free [s]
	showers   []float64        // when they start, wanted or possible [s]
	cycles    []float64        // when dishwashers start [s]
	places    []place          // for sorting, as is the next
	unordered []schedules.Wish
}

// Day makes day d afresh from its own streams. Each use has a stream, and
// what goes with showers and dishwashers is drawn whether or not the house has
// them: a fixture more or less moves no draw of another use.
func (y *year) Day(d int, into []schedules.Wish) []schedules.Wish {
	h := y.household
	if d < 0 || d >= schedules.DaysPerYear || h.vacant[d] {
		return into
	}
	begun := len(into)
	y.wishes, y.showers, y.cycles = into, y.showers[:0], y.cycles[:0]

	y.begin(activity, d)
	busy := 0.0
	for range mixing {
		busy += y.random.ExpFloat64()
	}
	busy /= float64(mixing)
	kind, likely := 0, presentWeekday
	if weekend(d) {
		kind, likely = 1, presentWeekend
	}
	y.begin(presence, d)
	in := 0
	for range h.people {
		if y.random.Float64() < likely {
			in++
		}
	}
	working := float64(in) / (likely * float64(h.people))

	for u := range schedules.Uses {
		y.begin(u, d)
		factor := busy * y.temper.counts[u]
		if u < int(schedules.Dishwasher) {
			factor *= h.season[d] // people's; machines know no season
		}
		y.sessions(schedules.Use(u), &h.habits.sessions[u][kind], factor, working)
	}
	y.companions(d)
	into, y.wishes = y.wishes, nil
	return y.settle(d, begun, into)
}

func (y *year) begin(stream, d int) {
	y.keys[stream].With(uint64(d)).Seed(&y.source)
}

// sessions makes a Poisson stream of sessions at the hours of s, busier or
// quieter by a factor, in working hours by another too. Steps of unit
// exponential size in the cumulative rate give the starts in order.
func (y *year) sessions(u schedules.Use, s *shape, factor, working float64) {
	e := events[u]
	reached, next := 0.0, y.random.ExpFloat64()
	for hour, rate := range s {
		rate *= factor
		if hour >= firstWorking && hour <= lastWorking {
			rate *= working
		}
		for next < reached+rate {
			y.session(u, &e, (float64(hour)+(next-reached)/rate)*3600)
			next += y.random.ExpFloat64()
		}
		reached += rate
	}
}

var events = func() (e [schedules.Uses]published.Event) {
	for u := range e {
		e[u] = published.Events(schedules.Use(u))
	}
	return e
}()

// session makes the draws of one session. Machines take a number of fills as
// near the published mean as whole numbers come. People take one draw and then
// another with a fixed chance; at the sinks such a cluster may be followed by
// another, as when somebody cooks and washes up. It begins earlier than t, so that t is
// the mean time of its draws.
func (y *year) session(u schedules.Use, e *published.Event, t float64) {
	t -= y.household.habits.lead[u]
	switch u {
	case schedules.Dishwasher, schedules.ClothesWasher:
		if u == schedules.Dishwasher {
			y.cycles = append(y.cycles, t)
		}
		fills := int(e.PerCluster + y.random.Float64())
		for range fills {
			t += y.draw(u, t) + e.Gap*(0.5+y.random.Float64()) // even about the published mean, no source
		}
	case schedules.Kitchen, schedules.Lavatory:
		t = y.cluster(u, e, 1-1/e.PerCluster, t)
		for y.random.Float64() < 1-1/clustersPerSession {
			t = y.cluster(u, e, 1-1/e.PerCluster, t+betweenClusters*y.random.ExpFloat64())
		}
	default:
		y.cluster(u, e, 1-1/perSession(u, y.household.people), t)
	}
}

// cluster makes draws that follow one another closely, each with the same chance
// of one more, and returns when the last ends.
func (y *year) cluster(u schedules.Use, e *published.Event, again, t float64) float64 {
	for {
		if u == schedules.Shower {
			y.showers = append(y.showers, t)
		}
		t += y.draw(u, t)
		if y.random.Float64() >= again {
			return t
		}
		t += e.Gap * y.random.ExpFloat64()
	}
}

// draw makes one wish at t seconds past midnight and returns how long it
// keeps the tap. Past the next midnight it comes back at this one's: what runs over
// stands for what ran over from the day before.
func (y *year) draw(u schedules.Use, t float64) float64 {
	r, m := y.random, &y.household.manners[u]
	// Every number is drawn before anything is decided by what the house has.
	which := r.Float64()
	flow := r.NormFloat64()
	size := r.NormFloat64()
	w := schedules.Wish{Use: u, Start: timeOfDay(t)}
	volume := m.volume
	switch {
	case u == schedules.Bath:
		w.Kind = schedules.Filling
	case u == schedules.Dishwasher || u == schedules.ClothesWasher:
		w.Kind = schedules.Appliance
	case m.washing < 1 && r.Float64() >= m.washing:
		w.Kind = schedules.Brief
		volume = m.brief
		w.HotShare = rounded(leastHotShare+(1-leastHotShare)*r.Float64(), 1e3)
	default:
		w.Kind = schedules.Washing
		w.Patience = milliseconds(math.Exp(m.patience.mu + m.patience.sigma*r.NormFloat64()))
		if u == schedules.Shower {
			w.StepIn = milliseconds(m.stepIn.draw(r))
		}
	}
	if w.Kind != schedules.Appliance {
		w.Mixed = rounded(mixedMean+mixedSpread*r.NormFloat64(), 1e2)
	}
	used := math.Exp(volume.mu+volume.sigma*size) * y.temper.length[u]
	nominal := used / events[u].Flow
	fixtures := y.household.byUse[u]
	if len(fixtures) == 0 {
		return nominal
	}
	for _, i := range fixtures {
		if w.Fixture = i; which < y.temper.pick[i] {
			break
		}
	}
	f, tap := &y.household.fixtures[w.Fixture], &y.household.taps[w.Fixture]
	w.Flow = math.Min(f.Flow, rounded(math.Exp(tap.flow.mu+tap.flow.sigma*flow)*y.temper.flow[u], 1e8))
	w.Usable = f.Usable
	switch w.Kind {
	case schedules.Washing, schedules.Brief:
		w.Duration = milliseconds(used / tap.mean)
	default:
		w.Volume = rounded(used, 1e6)
	}
	y.wishes = append(y.wishes, w)
	return nominal
}

// timeOfDay brings t, at most a day out, back into the day.
func timeOfDay(t float64) float64 {
	t = milliseconds(t - dayLength*math.Floor(t/dayLength))
	if t >= dayLength {
		return 0
	}
	return t
}
