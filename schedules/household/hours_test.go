package household

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"pipelag/schedules"
	"pipelag/schedules/published"
)

// hourly is counts of what starts in each hour of the day.
type hourly [24]float64

// starts counts by hour, in the first sixty years of a household, the draws of each
// use (both sinks in the kitchen's place), thinned at random to about 5000. Draws of one
// session and sessions of one busy day go together, which the chi-square test does
// not allow for; of so few in so many days hardly two are from the same one. For the
// same reason a dishwasher's cycles are counted, not the fills of its next hour.
func starts(t *testing.T) (count [schedules.Uses]hourly) {
	h := mustNew(t, Config{People: 1, Bedrooms: 3, Fixtures: home}) // alone: one shower a session
	const years = 60
	var share [schedules.Uses]float64
	for u := range share {
		share[u] = 5000 / (years * daysInYear * h.Daily(schedules.Use(u)) / drawVolume(schedules.Use(u), Rated))
	}
	share[schedules.Dishwasher] *= published.Events(schedules.Dishwasher).PerCluster
	sinks := h.Daily(schedules.Kitchen) + h.Daily(schedules.Lavatory)
	share[schedules.Kitchen] = 5000 / (years * daysInYear * sinks / drawVolume(schedules.Kitchen, Rated))
	keep := rand.New(rand.NewPCG(1, 2))
	var wishes []schedules.Wish
	for r := range years {
		y := h.Year(21, r).(*year)
		for d := range daysInYear {
			wishes = y.Day(d, wishes[:0])
			for _, w := range wishes {
				u := w.Use
				if u == schedules.Lavatory {
					u = schedules.Kitchen
				}
				if u != schedules.Dishwasher && keep.Float64() < share[u] {
					count[u][int((w.Start-float64(d)*dayLength)/3600)]++
				}
			}
			for _, t := range y.cycles {
				if keep.Float64() < share[schedules.Dishwasher] {
					count[schedules.Dishwasher][int(t/3600)]++
				}
			}
		}
	}
	return count
}

// fit is the p-value of counts under a profile, hours of fewer than five
// expected being joined to the next.
func fit(count, profile hourly) float64 {
	total := 0.0
	for _, n := range count {
		total += n
	}
	chi, bins, expected, observed := 0.0, -1.0, 0.0, 0.0
	for h := range count {
		expected += total * profile[h]
		observed += count[h]
		if expected >= 5 {
			chi += (observed - expected) * (observed - expected) / expected
			bins++
			expected, observed = 0, 0
		}
	}
	return distuv.ChiSquared{K: bins}.Survival(chi)
}

// ANSI/RESNET/ICC 301-2025 Table C101.3(1) and House Simulation Protocols: the
// hours were read, those of the bath are from memory and so only reported.
func TestHoursArePublished(t *testing.T) {
	count := starts(t)
	var even hourly
	for h := range even {
		even[h] = 1. / 24
	}
	for _, c := range []struct {
		name string
		use  schedules.Use
		read bool
	}{
		{"showers", schedules.Shower, true},
		{"sinks", schedules.Kitchen, true},
		{"baths", schedules.Bath, false},
		{"dishwasher cycles", schedules.Dishwasher, true},
		{"clothes washer fills", schedules.ClothesWasher, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := fit(count[c.use], published.Hours(c.use).Hours)
			t.Logf("p = %.3f", p)
			if c.read {
				require.Greater(t, p, 0.001)
			}
			require.Less(t, fit(count[c.use], even), 1e-9, "the test must be able to fail")
		})
	}
}
