package statistics

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/schedules/household"
	"pipelag/schedules/published"
)

// clumped is days on which starts follow a profile in clumps of three that share
// an hour, some days having many times the clumps of others.
func clumped(r *rand.Rand, days int, profile [24]float64) *hourly {
	h := &hourly{}
	for range days {
		for left := 4 * r.ExpFloat64(); left > 0; left-- {
			u, hour := r.Float64(), 0
			for ; hour < 23 && u >= profile[hour]; hour++ {
				u -= profile[hour]
			}
			for range 3 {
				h.add(hour)
			}
		}
		h.endDay()
	}
	return h
}

// Where the profile is true and starts clump, p must be below 0.05 in one case
// of twenty: the usual chi-square test would see three times the starts there are and
// reject nearly every time. Of 2000 cases 100 ± 10 are expected.
func TestFitIsFair(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	profile := published.Hours(0).Hours
	const cases = 2000
	low, half := 0, 0
	for range cases {
		p := clumped(r, 200, profile).fit(profile)
		require.True(t, p >= 0 && p <= 1)
		if p < 0.05 {
			low++
		}
		if p < 0.5 {
			half++
		}
	}
	t.Logf("p below 0.05 in %d, below 0.5 in %d of %d", low, half, cases)
	require.InDelta(t, 0.05*cases, low, 4*math.Sqrt(0.05*0.95*cases))
	require.InDelta(t, 0.5*cases, half, 5*math.Sqrt(0.25*cases))
}

func TestFitTellsAWrongProfile(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	showers, sinks := published.Hours(0).Hours, published.Hours(2).Hours
	require.Less(t, clumped(r, 200, showers).fit(sinks), 1e-6)
}

// Independent starts, one a day: the usual test, worked by hand. Of 40 starts 30 fall in
// the first half of the day and 10 in the second: X² = 10²/20 + 10²/20 = 10 against
// even halves; V = s(1-s)/N = 0.1875/40, so δ = 0.75 and F = 13.3 with one degree of
// freedom, P(χ² > 40/3) = erfc(sqrt(20/3)).
func TestFitByHand(t *testing.T) {
	h := &hourly{}
	for d := range 40 {
		h.add(map[bool]int{true: 0, false: 12}[d < 30])
		h.endDay()
	}
	check.Within(t, math.Erfc(math.Sqrt(20./3)), h.fit([24]float64{0: 0.5, 12: 0.5}), 1e-12, "p")
	short := &hourly{}
	for range fewestDays - 1 {
		short.add(0)
		short.endDay()
	}
	require.True(t, math.IsNaN(short.fit([24]float64{0: 0.5, 12: 0.5})), "too few days to tell")
}

// ANSI/RESNET/ICC 301-2025 Table C101.3(1) and House Simulation Protocols (read; the
// bath's hours are from memory and only reported). A year of draws must not be told
// from the published hours. Over many years it can be, for only sessions follow them and
// later draws of a session, and people who wait their turn, come minutes behind:
// that must stay below one part in a hundred of the day's draws in any hour.
func TestHoursArePublished(t *testing.T) {
	for people := 1; people <= 5; people++ {
		h, err := household.New(household.Config{People: people, Bedrooms: max(1, people-1), Fixtures: home})
		require.NoError(t, err)
		one, err := Measure(h, 11, Sample{Years: 1})
		require.NoError(t, err)
		many, err := Measure(h, 11, Sample{Years: 40})
		require.NoError(t, err)
		require.Len(t, one.Shapes, len(subjects))
		for i, s := range one.Shapes {
			most := 0.0
			for hour, share := range many.Shapes[i].Hours {
				most = math.Max(most, math.Abs(share-s.Published.Hours[hour]))
			}
			t.Logf("%d people, %s: %d in a year, p = %.3f; 40 years: p = %.3g, farthest %.4f", people, s.Subject, s.Starts, s.P, many.Shapes[i].P, most)
			if s.Published.Status == "read" {
				require.Greater(t, s.P, 0.001)
				require.Less(t, most, 0.01)
			}
		}
	}
}
