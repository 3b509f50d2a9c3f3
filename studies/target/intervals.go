package target

import (
	"math"
	"math/rand/v2"

	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/estimate"
)

// Over is what a curve's 95 % intervals are over.
type Over string

// What intervals are over: of cases that are a sample of homes, the homes; in a grid, whose
// cases are chosen and all there are, the replicates of their years, of which one alone
// gives no interval.
const (
	Homes      Over = "homes"
	Replicates Over = "replicates"
)

// IntervalsOver is what they are over in a study.
func IntervalsOver(c *studies.Cases) Over {
	if c.Study.Sampling == scenarios.Grid {
		return Replicates
	}
	return Homes
}

// overHomes adds the intervals of homes that are a sample.
func (c *Curve) overHomes(limits []float64, effects [][]effect) {
	sample := make([]float64, c.Homes)
	for n := range c.Points {
		p, at := &c.Points[n], effects[n]
		over := func(of func(effect) float64) sim.Interval {
			for i, e := range at {
				sample[i] = of(e)
			}
			return estimate.Mean(sample)
		}
		p.Comply = share(at, func(e effect) bool { return e.comply })
		p.Able = share(at, func(e effect) bool { return e.able })
		for g := range Gains {
			p.Saved[g] = over(func(e effect) float64 { return e.saved[g] })
		}
		if p.Cost == nil {
			continue
		}
		*p.Cost = over(func(e effect) float64 { return e.cost })
		for g := range Gains {
			u := &p.Unit[g]
			u.Low, u.High = drawnAgain(c.Homes, func(draw func(int) int) float64 { return unitCost(at, Gain(g), draw) })
		}
	}
	for g, k := range c.Knees {
		if k == nil {
			continue
		}
		k.Limit.Low, k.Limit.High = drawnAgain(c.Homes, func(draw func(int) int) float64 {
			if i := flattens(effects, Gain(g), draw); i >= 0 {
				return limits[i]
			}
			return math.NaN()
		})
	}
}

// overReplicates adds the intervals from replicate to replicate: each is a year of the same
// homes, under the same limits, that gives a curve of its own. Replicates that some home
// lacks are left out.
func (c *Curve) overReplicates(m Measure, limits []float64, homes []*home) {
	var years []Curve
	for r := range homes[0].replicates {
		var then []*home
		for _, h := range homes {
			if h.replicates[r] != nil {
				then = append(then, h.replicates[r])
			}
		}
		if len(then) == len(homes) {
			years = append(years, curve(limits, underAll(m, limits, then)))
		}
	}
	values := make([]float64, len(years))
	// about puts an interval about a mean, of what each year has in its place, between bounds
	// that such a number has.
	about := func(i *sim.Interval, least, most float64, of func(*Curve) float64) {
		for y := range years {
			values[y] = of(&years[y])
		}
		half := estimate.Mean(values).HalfWidth()
		i.Low, i.High = max(i.Mean-half, least), min(i.Mean+half, most)
	}
	for n := range c.Points {
		p := &c.Points[n]
		about(&p.Comply, 0, 1, func(y *Curve) float64 { return y.Points[n].Comply.Mean })
		about(&p.Able, 0, 1, func(y *Curve) float64 { return y.Points[n].Able.Mean })
		for g := range Gains {
			about(&p.Saved[g], math.Inf(-1), math.Inf(1), func(y *Curve) float64 { return y.Points[n].Saved[g].Mean })
			about(&p.Unit[g], math.Inf(-1), math.Inf(1), func(y *Curve) float64 { return y.Points[n].Unit[g].Mean })
		}
		if p.Cost != nil {
			about(p.Cost, math.Inf(-1), math.Inf(1), func(y *Curve) float64 { return y.Points[n].Cost.Mean })
		}
	}
	for g, k := range c.Knees {
		if k == nil {
			continue
		}
		about(&k.Limit, min(limits[0], limits[len(limits)-1]), max(limits[0], limits[len(limits)-1]), func(y *Curve) float64 {
			if y.Knees[g] == nil {
				return math.NaN()
			}
			return y.Knees[g].Limit.Mean
		})
	}
}

// resamples is how often homes are drawn again for an interval.
const resamples = 400

// drawnAgain is the stretch that holds 95 % of what a statistic gives for homes
// drawn again, with repetition; not numbers where it often gives none, and of one home,
// which says nothing of others.
func drawnAgain(n int, statistic func(draw func(int) int) float64) (low, high float64) {
	random := rand.New(rand.NewPCG(2, uint64(n)))
	drawn := make([]int, n)
	var values []float64
	for range resamples {
		for i := range drawn {
			drawn[i] = random.IntN(n)
		}
		if x := statistic(func(i int) int { return drawn[i] }); !math.IsNaN(x) {
			values = append(values, x)
		}
	}
	if n < 2 || len(values) < resamples*19/20 {
		return math.NaN(), math.NaN()
	}
	ends := estimate.Quantiles(values, 0.025, 0.975)
	return ends[0], ends[1]
}

// share is the part of homes of which something is true, with the 95 % interval
// of Wilson's score, which stays between 0 and 1:
//
//	(p + z²/2n ± z √(p(1−p)/n + z²/4n²)) / (1 + z²/n), z = 1.96
//
// Source: E. B. Wilson, Probable inference, the law of succession, and
// statistical inference, Journal of the American Statistical Association 22
// (1927) 209 (from memory).
func share(effects []effect, is func(effect) bool) sim.Interval {
	count := 0
	for _, e := range effects {
		if is(e) {
			count++
		}
	}
	const z = 1.959964
	n := float64(len(effects))
	p := float64(count) / n
	middle, half := p+z*z/(2*n), z*math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	return sim.Interval{Mean: p, Low: max((middle-half)/(1+z*z/n), 0), High: min((middle+half)/(1+z*z/n), 1)}
}
