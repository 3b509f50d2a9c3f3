// Package household draws the wishes of a family, one day at a time.
//
// A day is made of sessions: somebody gets ready (lavatory, shower, lavatory),
// cooks and washes up and starts the dishwasher, washes hands twice running,
// does the laundry. Sessions arrive at random at the published hours; draws
// within one follow each other as closely as published. Each day is a pure
// function of (seed, replicate, day), so days can be asked for in any order.
//
// A busy day is busy at every tap, and in working hours a house draws as many
// of its people are in: none, when none is. Weekends are a little busier and later.
// Where the mains are known, people use a little more while they are cold.
//
// Times are kept to the millisecond and other figures as coarsely as a tap is
// turned, so that processors that differ in the last bit of an exponential
// give the same draws.
//
// Not modelled: which bathroom stands next to which bedroom; one person who cannot
// be at two taps at once (only a tap cannot have two users); guests; holidays
// other than the vacations given; habits of clock time that one person has and
// another has not; warmer water wanted in winter. Dishwashers and washing machines take hot water only as their published
// daily volumes say.
package household

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"pipelag/schedules"
	"pipelag/schedules/random"
)

// Total says what the household's volume over a year is scaled to.
type Total uint8

const (
	// Rated is ANSI/RESNET/ICC 301: water used, by bedrooms; waiting is apart. It
	// is modest: 1.7 showers a day for the four people of three bedrooms, where metered
	// homes had 0.7 a person (REU 2016, memory).
	Rated Total = iota
	// Benchmark is the House Simulation Protocols, by bedrooms. Its volumes were
	// metered with the waiting in them, so waiting comes on top twice.
	Benchmark
	// Stated is Config.Daily.
	Stated
	// Unscaled takes the published numbers of draws as they stand, whatever the
	// size of the household.
	Unscaled
)

// Vacation is a stretch of days on which nobody draws water.
type Vacation struct {
	Start int // first day, 0 = 1 January
	Days  int // [d]
}

// Config describes a household.
type Config struct {
	People   int // 1 to 12
	Bedrooms int // 0: one fewer than people, as ANSI/RESNET/ICC 301 rates (Nocc = Nbr + 1, memory); one person gets the published lines' intercepts
	Fixtures []schedules.Fixture
	Total    Total
	Daily    float64 // Stated: mixed at taps and hot into machines of the house, together [m³/d]

	// Population makes each replicate another household: its shower length,
	// counts, flows and favourite fixtures persist through the year. Otherwise
	// every replicate is a year of the same typical household.
	Population bool

	// Mains is the cold water's temperature, which the season follows: people use
	// more while it is below its mean. nil: the same all year. That colder mains need
	// more hot water for the same mixed draw comes on top; it is the engine's arithmetic.
	Mains schedules.Temperature

	Vacations []Vacation
}

// Household is a schedule.
//
// Uses that have no fixture make no wishes, and their water is not given to
// the others: a house without a bath draws less. Only a stated volume is that of
// the fixtures there are. Vacations lower the year's volume in the same way.
// Fixtures of one use share its draws.
type Household struct {
	people     int
	population bool
	fixtures   []schedules.Fixture
	byUse      [schedules.Uses][]int
	taps       []tap
	vacant     [schedules.DaysPerYear]bool
	season     [schedules.DaysPerYear]float64 // factor on people's sessions, of mean one
	habits     habits
	manners    [schedules.Uses]manner
}

// New checks c, reporting all that is wrong with it, and makes it a household.
func New(c Config) (*Household, error) {
	var errs []error
	refuse := func(wrong bool, format string, args ...any) {
		if wrong {
			errs = append(errs, fmt.Errorf(format, args...))
		}
	}
	refuse(c.People < 1 || c.People > 12, "people: %d; must be from 1 to 12", c.People)
	refuse(c.Bedrooms < 0 || c.Bedrooms > 12, "bedrooms: %d; must be from 1 to 12, or 0 for one fewer than people", c.Bedrooms)
	refuse(c.Total > Unscaled, "total: %d is unknown", c.Total)
	stated := c.Total == Stated
	refuse(stated && !(c.Daily >= 0.001 && c.Daily <= 5), "daily volume: %g L; must be from 1 to 5000", c.Daily*1000)
	refuse(!stated && c.Daily != 0, "daily volume: %g L is given, but the total is not a stated one", c.Daily*1000)
	h := &Household{people: c.People, population: c.Population}
	for i, v := range c.Vacations {
		if v.Start < 0 || v.Start >= schedules.DaysPerYear || v.Days < 1 || v.Days > schedules.DaysPerYear {
			refuse(true, "vacation %d: %d days from day %d; the first must be from 0 to 364, the length from 1 to 365", i+1, v.Days, v.Start)
			continue
		}
		for d := range v.Days {
			h.vacant[(v.Start+d)%schedules.DaysPerYear] = true // one over the new year comes back in January
		}
	}
	season, err := newSeason(c.Mains)
	if err != nil {
		errs = append(errs, err)
	}
	if err := schedules.CheckFixtures(c.Fixtures); err != nil {
		errs = append(errs, err)
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	h.fixtures = append(h.fixtures, c.Fixtures...)
	h.season = season
	h.habits = newHabits(c)
	h.manners = newManners(c.Total)
	for i, f := range h.fixtures {
		h.byUse[f.Use] = append(h.byUse[f.Use], i)
		h.taps = append(h.taps, newTap(f, c.Population))
	}
	return h, nil
}

// Daily is the volume [m³/d] of an end use in a typical year without
// vacations, as if the house had a fixture for it: used water, mixed at taps and
// hot into machines.
func (h *Household) Daily(u schedules.Use) float64 { return h.habits.daily[u] }

// Year is replicate r of the household's years.
func (h *Household) Year(seed uint64, r int) schedules.Year {
	y := &year{household: h, temper: newTemper(h, seed, uint64(r))}
	y.random = rand.New(&y.source)
	y.free = make([]float64, len(h.fixtures))
	for s := range y.keys {
		y.keys[s] = random.NewKey(seed, streamNames[s], uint64(r))
	}
	return y
}

const dayLength = 86400.0 // [s]

// weekend says whether day d is a Saturday or Sunday: the year is a common one
// that begins on a Thursday, as 2026 does.
func weekend(d int) bool { return d%7 == 2 || d%7 == 3 }

// logNormal is a positive quantity by the mean and standard deviation of its
// logarithm.
type logNormal struct{ mu, sigma float64 }

// newLogNormal has the given mean and coefficient of variation.
func newLogNormal(mean, variation float64) logNormal {
	s2 := math.Log1p(variation * variation)
	return logNormal{math.Log(mean) - s2/2, math.Sqrt(s2)}
}

func (l logNormal) draw(r *rand.Rand) float64 { return math.Exp(l.mu + l.sigma*r.NormFloat64()) }

// cappedMean is the mean of the lesser of the quantity and a cap.
//
//	E min(X, c) = m Φ(z − σ) + c (1 − Φ(z)),  z = (ln c − μ)/σ,  m = exp(μ + σ²/2)
func (l logNormal) cappedMean(limit float64) float64 {
	z := (math.Log(limit) - l.mu) / l.sigma
	phi := func(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }
	return math.Exp(l.mu+l.sigma*l.sigma/2)*phi(z-l.sigma) + limit*phi(-z)
}
