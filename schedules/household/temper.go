package household

import (
	"math"

	"pipelag/schedules"
	"pipelag/schedules/random"
)

// temper is what makes one household unlike another, for a whole year. In a
// typical household every factor is one.
type temper struct {
	counts [schedules.Uses]float64 // of sessions
	length [schedules.Uses]float64 // of draws, in time or volume
	flow   [schedules.Uses]float64 // wanted
	pick   []float64               // by fixture: running sum of the shares among fixtures of its use
}

// Households differ in how much they draw by more than in how many they are:
// 120 British dwellings had a mean of 122 ± 9 L/day (EST 2008, memory), that is a
// standard deviation near 100 L, a third of it explained by people. Half of
// the variation, 0.4, is taken for counts as a whole and 0.3 for each use on its
// own (no source); lengths and flows add the rest.
const (
	countVariation    = 0.4
	useCountVariation = 0.3
)

func newTemper(h *Household, seed, replicate uint64) temper {
	t := temper{pick: make([]float64, len(h.fixtures))}
	weight := make([]float64, len(h.fixtures))
	for u := range schedules.Uses {
		t.counts[u], t.length[u], t.flow[u] = 1, 1, 1
	}
	for i := range weight {
		weight[i] = 1
	}
	if h.population {
		all := newLogNormal(1, countVariation).draw(random.Stream(seed, "household", replicate))
		for u := range schedules.Uses {
			use := schedules.Use(u)
			s := random.Stream(seed, "household "+use.String(), replicate)
			t.counts[u] = all * newLogNormal(1, useCountVariation).draw(s)
			t.length[u] = h.manners[u].length.draw(s)
			t.flow[u] = h.manners[u].flow.draw(s)
		}
		for i, f := range h.fixtures {
			weight[i] = random.Stream(seed, "fixture "+f.Name, replicate).ExpFloat64()
		}
	}
	for _, fixtures := range h.byUse {
		sum, run := 0.0, 0.0
		for _, i := range fixtures {
			sum += weight[i]
		}
		for _, i := range fixtures {
			run += weight[i] / sum
			t.pick[i] = run
		}
		if n := len(fixtures); n > 0 {
			t.pick[fixtures[n-1]] = math.Inf(1) // whatever rounding did to the sum
		}
	}
	return t
}
