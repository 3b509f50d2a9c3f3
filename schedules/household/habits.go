package household

import (
	"math"

	"pipelag/schedules"
	"pipelag/schedules/published"
)

// What the publications do not tell. Values marked "no source" are common
// practice and stand here to be changed.
const (
	// usedShare is the part of a metered shower or sink draw that is used, the
	// rest being run while waiting: refFgpd/(refFgpd + refWgpd) of ANSI/RESNET/ICC
	// 301 at three bedrooms, 44.6/60.3 gal (read). The House Simulation Protocols
	// have 60.0 gal for the two together, which bears it out.
	usedShare = 44.6 / 60.3

	// Wanted-hot demands are some 4000 a year (Home Energy, March 2015, read);
	// less two showers and baths a day that is 0.27 of the 32.9 sink draws. That
	// the kitchen wants hot twice as often as the lavatory has no source.
	kitchenWashing  = 0.35
	lavatoryWashing = 0.18

	// A brief opening is 20 s with this variation; the washings then make up the
	// published mean and standard deviation of all sink draws (0.62 and 0.67 min).
	// The open WEUSEDTO data have tap draws of median 13 to 17 s (computed).
	briefDuration    = 20.0
	briefVariation   = 0.9
	washingVariation = 0.55
	clothesHotShare  = 0.278 // of a washing machine's fill; DeOreo & Mayer 2000 (memory)

	// mixing is the shape of the gamma-distributed activity of a day. One flat's
	// daily counts in the open data have (variance − mean)/mean² = 0.37 (computed); sessions
	// of three draws explain 0.16 of it and being in or out another 0.1; the rest is 1/mixing.
	mixing = 10

	readyDraws     = 2.0 // lavatory draws that go with a shower; no source
	washingUpDraws = 3.0 // kitchen draws before a dishwasher starts; no source

	// Clusters of sink draws come in twos and threes: chosen so that the share of
	// gaps up to half an hour is nearly that of the open data (WEUSEDTO, 0.78, computed).
	clustersPerSession = 1.6
	betweenClusters    = 12 * 60.0 // from the end of one to the start of the next [s]

	weekendRatio = 1.13 // of a weekend day's sessions to a weekday's: WEUSEDTO, computed (28.2 and 24.9 draws a day, one flat)
	weekendLater = 1    // how much later everything happens at weekends; common practice, no source [h]

	presentWeekday  = 0.5 // chance that a person is at home in working hours; no source
	presentWeekend  = 0.8 // no source
	firstWorking    = 9   // hour at which working hours begin
	lastWorking     = 16  // the last of them
	leastOtherDraws = 0.1 // share of any hour's sink draws that belong to no other session

	// betweenHouseholds is the share of the published variance of durations and
	// flows that lies between households, the rest lying within each. One flat's own
	// showers vary by 0.66 of their mean and its tap draws by 1.25 (WEUSEDTO, computed from means
	// and medians), more than the published 0.45 and 1.08 of many homes: most of the
	// spread is within. The figure itself has no source.
	betweenHouseholds = 0.2
)

// kitchenShare is the kitchen's share of sink draws by the hour: WEUSEDTO,
// kitchen against basin and bidet in bands of hours (computed, one flat).
var kitchenShare = [24]float64{
	0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.4, 0.4, 0.42, 0.42, 0.42,
	0.58, 0.58, 0.58, 0.58, 0.4, 0.4, 0.4, 0.57, 0.57, 0.57, 0.46, 0.46,
}

// shape is the mean number of sessions in each hour of a day.
type shape [24]float64

func (s shape) total() float64 {
	sum := 0.0
	for _, v := range s {
		sum += v
	}
	return sum
}

// plus is s + k·t.
func (s shape) plus(k float64, t shape) shape {
	for h := range s {
		s[h] += k * t[h]
	}
	return s
}

// habits are what a typical household does.
type habits struct {
	sessions  [schedules.Uses][2]shape // by use, on a weekday and a weekend day
	ready     float64                  // lavatory draws with each shower
	washingUp float64                  // kitchen draws before each dishwasher
	daily     [schedules.Uses]float64  // volume used [m³/d]
	lead      [schedules.Uses]float64  // from a session's start to the mean time of its draws [s]
}

func newHabits(c Config) habits {
	h := habitsOf(c, 1)
	if c.Total != Stated {
		return h
	}
	used, counted := 0.0, [schedules.Uses]bool{}
	for _, f := range c.Fixtures {
		if !counted[f.Use] {
			counted[f.Use] = true
			used += h.daily[f.Use]
		}
	}
	return habitsOf(c, c.Daily/used)
}

// habitsOf are habits by which a stated volume is so many times the rated one.
func habitsOf(c Config, scale float64) habits {
	bedrooms := float64(c.Bedrooms)
	if c.Bedrooms == 0 {
		bedrooms = float64(c.People - 1)
	}
	draws := func(u schedules.Use) shape {
		per := drawVolume(u, c.Total)
		var perDay float64
		switch c.Total {
		case Rated, Stated:
			perDay = scale * published.Volumes(published.Rated, u).At(bedrooms) / per
		case Benchmark:
			perDay = published.Volumes(published.Benchmark, u).At(bedrooms) / per
		case Unscaled:
			perDay = published.Events(u).PerDay
		}
		return shape{}.plus(perDay, published.Hours(u).Hours)
	}

	var h habits
	sinks := draws(schedules.Kitchen)
	var kitchen, lavatory shape
	for hour, n := range sinks {
		kitchen[hour] = n * kitchenShare[hour]
		lavatory[hour] = n - kitchen[hour]
	}
	showers, baths := draws(schedules.Shower), draws(schedules.Bath)
	dishes := draws(schedules.Dishwasher)
	clothes := draws(schedules.ClothesWasher)

	h.daily[schedules.Shower] = showers.total() * drawVolume(schedules.Shower, c.Total)
	h.daily[schedules.Bath] = baths.total() * drawVolume(schedules.Bath, c.Total)
	h.daily[schedules.Dishwasher] = dishes.total() * drawVolume(schedules.Dishwasher, c.Total)
	h.daily[schedules.ClothesWasher] = clothes.total() * drawVolume(schedules.ClothesWasher, c.Total)
	brief, washing := sinkVolumes(c.Total)
	h.daily[schedules.Kitchen] = kitchen.total() * (kitchenWashing*washing + (1-kitchenWashing)*brief)
	h.daily[schedules.Lavatory] = lavatory.total() * (lavatoryWashing*washing + (1-lavatoryWashing)*brief)

	// The published hours are those of all sink draws. What goes with showers
	// and dishwashers is taken out, so that all together keep those hours.
	cycles := shape{}.plus(1/published.Events(schedules.Dishwasher).PerCluster, dishes)
	h.ready = attach(readyDraws, lavatory, showers)
	h.washingUp = attach(washingUpDraws, kitchen, cycles)
	lavatory = lavatory.plus(-h.ready, showers)
	kitchen = kitchen.plus(-h.washingUp, cycles)

	for u, s := range [schedules.Uses]shape{
		schedules.Shower: showers, schedules.Bath: baths, schedules.Kitchen: kitchen,
		schedules.Lavatory: lavatory, schedules.Dishwasher: dishes, schedules.ClothesWasher: clothes,
	} {
		s = shape{}.plus(1/perSession(schedules.Use(u), c.People), s)
		h.sessions[u][0], h.sessions[u][1] = s.week()
		h.lead[u] = lead(schedules.Use(u), c)
	}
	return h
}

// perSession is the mean number of draws in a session of a use: what is
// published for a cluster, and at the sinks several clusters; but a person alone
// takes one shower.
func perSession(u schedules.Use, people int) float64 {
	switch {
	case u == schedules.Shower && people == 1:
		return 1
	case u == schedules.Kitchen || u == schedules.Lavatory:
		return events[u].PerCluster * clustersPerSession
	}
	return events[u].PerCluster
}

// lead is how long after a session's start its draws come, on average [s]. The
// published hours are those of draws, so sessions start so much earlier; a
// machine's are taken for those of its cycles.
//
// When each draw is followed by another with chance c, mean step s after its start, the
// mean over draws of the time since the first is s c/(1 − c).
func lead(u schedules.Use, c Config) float64 {
	if u == schedules.Dishwasher || u == schedules.ClothesWasher {
		return 0
	}
	e := events[u]
	length := drawVolume(u, c.Total) / e.Flow
	if u != schedules.Kitchen && u != schedules.Lavatory {
		return (length + e.Gap) * (perSession(u, c.People) - 1)
	}
	more := 1 - 1/e.PerCluster                                        // chance of another draw in the cluster
	another := (1 - more) * (1 - 1/clustersPerSession)                // or else of another cluster
	step := (more*e.Gap + another*betweenClusters) / (more + another) // between draws
	return (length + step) * (perSession(u, c.People) - 1)
}

// attach is the number of draws of all that can go with each of the sessions
// in with, at most wanted, so that every hour keeps some of its own.
func attach(wanted float64, all, with shape) float64 {
	for h := range all {
		if with[h] > 0 {
			wanted = math.Min(wanted, (1-leastOtherDraws)*all[h]/with[h])
		}
	}
	return wanted
}

// week parts the mean day into weekday and weekend day, so that five of the
// one and two of the other make seven of the mean. Where that would leave little
// for the weekdays, just after a steep fall, the weekend gives way.
func (s shape) week() (weekday, weekend shape) {
	const more = 7 * weekendRatio / (5 + 2*weekendRatio)
	for h := range s {
		weekend[h] = math.Min(more*s[(h-weekendLater+24)%24], 3*s[h])
		weekday[h] = (7*s[h] - 2*weekend[h]) / 5
	}
	return weekday, weekend
}

// drawVolume is the mean volume used in a draw of a use [m³].
func drawVolume(u schedules.Use, t Total) float64 {
	metered := published.Events(u).Volume
	switch u {
	case schedules.Shower, schedules.Kitchen, schedules.Lavatory:
		if t != Benchmark {
			return metered * usedShare
		}
	case schedules.ClothesWasher:
		return metered * clothesHotShare
	}
	return metered // a bath is filled with what comes
}

// sinkVolumes are the mean volumes used of a brief opening and of a washing
// [m³], such that the mean over all sink draws is drawVolume. A brief opening has
// no waiting in it, so what is not used comes out of the washings.
func sinkVolumes(t Total) (brief, washing float64) {
	e := published.Events(schedules.Kitchen)
	kitchen, all := 0.0, 0.0
	for h, n := range published.Hours(schedules.Kitchen).Hours {
		kitchen += n * kitchenShare[h]
		all += n
	}
	share := (kitchen*kitchenWashing + (all-kitchen)*lavatoryWashing) / all
	brief = e.Volume * briefDuration / e.Duration
	return brief, (drawVolume(schedules.Kitchen, t) - (1-share)*brief) / share
}
