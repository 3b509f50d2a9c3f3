package target

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"pipelag/internal/decimal"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/estimate"
	"pipelag/studies/store"
	"pipelag/studies/summary"
)

// Curve is what a limit does at every value, to all homes or to a group of them.
type Curve struct {
	Group  summary.CasesAt // Level is empty for all homes
	Factor string          // that the group is by; empty for all homes
	Homes  int             // of which all layouts could be simulated
	Points []Point         // the loosest limit first
	Knees  [Gains]*Knee    // nil where nothing is saved at any limit
}

// Point is a limit and what it does, on average over all homes of the curve.
type Point struct {
	Limit  float64
	Comply sim.Interval        // share of homes that meet it as they are
	Able   sim.Interval        // share that meet it as they are or piped another way
	Saved  [Gains]sim.Interval // a home and year
	Cost   *sim.Interval       // of building more than before, a home; nil where none is given
	Unit   [Gains]sim.Interval // that cost for each unit that a year saves; not a number where nothing is saved or no cost is given
}

// Knee is where gains flatten: the loosest limit that saves Flat of the most
// that any limit does. The interval is that of homes drawn again at random.
type Knee struct {
	Limit sim.Interval
	Saved float64 // a home and year at that limit
}

// Flat is the share of the greatest saving from which on a tighter limit is
// taken to bring little more.
const Flat = 0.9

// resamples is how often homes are drawn again for an interval.
const resamples = 400

// New draws the curve of a measure for all homes of a study, and for each group
// of each factor named. Limits go in round steps of a unit [L, m, s or mm].
// It tells too which layouts some homes cannot have, since they are not held against
// the home's own, the first.
func New(c *studies.Cases, f *store.Folder, m Measure, unit float64, by []string) ([]Curve, []studies.LeftOut, error) {
	if len(c.Study.Layouts) < 2 {
		return nil, nil, errors.New("the study runs one layout, so a home that does not meet a limit could not change; run two or more")
	}
	homes, leftOut, err := gather(c, f, m)
	if err != nil {
		return nil, nil, err
	}
	every := summary.CasesAt{Cases: make([]int, len(homes))}
	for i := range homes {
		every.Cases[i] = i
	}
	all := sound(homes, every)
	if len(all) == 0 {
		return nil, nil, errors.New("every run of the study failed, so there are no homes")
	}
	limits := m.limits(all, unit)
	curves := []Curve{draw(m, limits, all, every, "")}
	for _, name := range by {
		k := slices.IndexFunc(c.Study.Factors, func(f scenarios.Factor) bool { return f.Name == name })
		if k < 0 {
			var names []string
			for _, f := range c.Study.Factors {
				names = append(names, f.Name)
			}
			return nil, nil, fmt.Errorf("the study has no factor %q; there are %s", name, strings.Join(names, ", "))
		}
		for _, g := range summary.Groups(c, k) {
			if of := sound(homes, g); len(of) > 0 {
				curves = append(curves, draw(m, limits, of, g, name))
			}
		}
	}
	return curves, leftOut, nil
}

// limits are the values to try, the loosest first: the loosest that every home
// meets as it is and, in round steps, down to the tightest that any layout meets
// which is not barred.
func (m Measure) limits(homes []*home, unit float64) []float64 {
	var own, every []float64
	for _, h := range homes {
		own = append(own, h.measured[0])
		for k, x := range h.measured {
			if !h.barred[k] {
				every = append(every, x)
			}
		}
	}
	if m.atLeast() {
		slices.Sort(every)
		return slices.CompactFunc(every, func(a, b float64) bool { return m.meets(min(a, b), max(a, b)) })
	}
	loosest, tightest := slices.Max(own)/unit, slices.Min(every)/unit
	if m.meets(loosest, tightest) {
		tightest = loosest // they differ by rounding at most
	}
	step := decimal.Step((loosest - tightest) / 30)
	var limits []float64
	for n := int(math.Ceil(loosest/step - rounding)); n >= 0 && float64(n)*step >= tightest*(1-rounding)-step; n-- {
		limits = append(limits, float64(n)*step*unit)
	}
	return limits
}

// draw makes the curve of some homes.
func draw(m Measure, limits []float64, homes []*home, g summary.CasesAt, factor string) Curve {
	c := Curve{Group: g, Factor: factor, Homes: len(homes)}
	effects := make([][]effect, len(limits)) // by limit and home
	for i, limit := range limits {
		effects[i] = make([]effect, len(homes))
		for k, h := range homes {
			effects[i][k] = h.under(m, limit)
		}
		c.Points = append(c.Points, point(limit, effects[i]))
	}
	for gain := range Gains {
		c.Knees[gain] = knee(gain, limits, effects)
	}
	return c
}

// effect is what a limit does to one home.
type effect struct {
	comply, able bool
	saved        [Gains]float64
	cost         float64
	priced       bool
}

func (h *home) under(m Measure, limit float64) effect {
	k := h.remedy(m, limit)
	e := effect{comply: k == 0, able: k >= 0, priced: h.cost != nil}
	if k > 0 {
		for g := range Gains {
			e.saved[g] = sim.Less(h.year[0][g], h.year[k][g])
		}
		if e.priced {
			e.cost = h.cost[k] - h.cost[0]
		}
	}
	return e
}

func point(limit float64, effects []effect) Point {
	p := Point{Limit: limit}
	sample := make([]float64, len(effects))
	over := func(of func(effect) float64) []float64 {
		for i, e := range effects {
			sample[i] = of(e)
		}
		return sample
	}
	p.Comply = share(effects, func(e effect) bool { return e.comply })
	p.Able = share(effects, func(e effect) bool { return e.able })
	for g := range Gains {
		p.Saved[g] = estimate.Mean(over(func(e effect) float64 { return e.saved[g] }))
		p.Unit[g] = sim.Interval{Mean: math.NaN(), Low: math.NaN(), High: math.NaN()}
	}
	if effects[0].priced {
		cost := estimate.Mean(over(func(e effect) float64 { return e.cost }))
		p.Cost = &cost
		for g := range Gains {
			p.Unit[g] = unitCost(effects, Gain(g))
		}
	}
	return p
}

// unitCost is the cost of building for each unit saved in a year, all homes
// together; not a number where nothing is saved.
func unitCost(effects []effect, g Gain) sim.Interval {
	ratio := func(draw func(int) int) float64 {
		var cost, saved float64
		for i := range effects {
			e := &effects[draw(i)]
			cost, saved = cost+e.cost, saved+e.saved[g]
		}
		if !(saved > 0) {
			return math.NaN()
		}
		return cost / saved
	}
	i := sim.Interval{Mean: ratio(func(i int) int { return i })}
	i.Low, i.High = drawnAgain(len(effects), ratio)
	return i
}

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

// knee finds where a gain flattens.
func knee(g int, limits []float64, effects [][]effect) *Knee {
	savings := make([]float64, len(limits))
	find := func(draw func(int) int) int {
		for i := range limits {
			savings[i] = 0
			for k := range effects[i] {
				savings[i] += effects[i][draw(k)].saved[g]
			}
		}
		most := slices.Max(savings)
		if !(most > 0) {
			return -1
		}
		return slices.IndexFunc(savings, func(s float64) bool { return s >= Flat*most })
	}
	at := find(func(k int) int { return k })
	if at < 0 {
		return nil
	}
	n := len(effects[0])
	k := &Knee{Limit: sim.Interval{Mean: limits[at]}, Saved: savings[at] / float64(n)}
	k.Limit.Low, k.Limit.High = drawnAgain(n, func(draw func(int) int) float64 {
		if i := find(draw); i >= 0 {
			return limits[i]
		}
		return math.NaN()
	})
	return k
}
