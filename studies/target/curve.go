package target

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"pipelag/internal/decimal"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies"
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

// Point is a limit and what it does, on average over all homes of the curve. Intervals
// are as Over says.
type Point struct {
	Limit  float64
	Comply sim.Interval        // share of homes that meet it as they are
	Able   sim.Interval        // share that meet it as they are or piped another way
	Saved  [Gains]sim.Interval // a home and year
	Cost   *sim.Interval       // of building more than before, a home; nil where none is given
	Unit   [Gains]sim.Interval // that cost for each unit that a year saves; not a number where nothing is saved or no cost is given
}

// Knee is where gains flatten: the loosest limit that saves Flat of the most
// that any limit does.
type Knee struct {
	Limit sim.Interval
	Saved float64 // a home and year at that limit
}

// Flat is the share of the greatest saving from which on a tighter limit is
// taken to bring little more.
const Flat = 0.9

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
	over := IntervalsOver(c)
	curves := []Curve{draw(m, limits, all, every, "", over)}
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
				curves = append(curves, draw(m, limits, of, g, name, over))
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
func draw(m Measure, limits []float64, homes []*home, g summary.CasesAt, factor string, over Over) Curve {
	effects := underAll(m, limits, homes)
	c := curve(limits, effects)
	c.Group, c.Factor = g, factor
	if over == Homes {
		c.overHomes(limits, effects)
	} else {
		c.overReplicates(m, limits, homes)
	}
	return c
}

// curve is that of effects by limit and home, without intervals.
func curve(limits []float64, effects [][]effect) Curve {
	c := Curve{Homes: len(effects[0])}
	for i, limit := range limits {
		c.Points = append(c.Points, point(limit, effects[i]))
	}
	for g := range Gains {
		if at := flattens(effects, Gain(g), asTheyAre); at >= 0 {
			c.Knees[g] = &Knee{Limit: known(limits[at]), Saved: c.Points[at].Saved[g].Mean}
		}
	}
	return c
}

// known is a number of which no interval is known.
func known(x float64) sim.Interval {
	return sim.Interval{Mean: x, Low: math.NaN(), High: math.NaN()}
}

// effect is what a limit does to one home.
type effect struct {
	comply, able bool
	saved        [Gains]float64
	cost         float64
	priced       bool
}

// underAll is what every limit does to every home.
func underAll(m Measure, limits []float64, homes []*home) [][]effect {
	effects := make([][]effect, len(limits))
	for i, limit := range limits {
		for _, h := range homes {
			effects[i] = append(effects[i], h.under(m, limit))
		}
	}
	return effects
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
	mean := func(of func(effect) float64) sim.Interval {
		sum := 0.0
		for _, e := range effects {
			sum += of(e)
		}
		return known(sum / float64(len(effects)))
	}
	p.Comply = mean(func(e effect) float64 { return one(e.comply) })
	p.Able = mean(func(e effect) float64 { return one(e.able) })
	for g := range Gains {
		p.Saved[g] = mean(func(e effect) float64 { return e.saved[g] })
		p.Unit[g] = known(math.NaN())
	}
	if effects[0].priced {
		cost := mean(func(e effect) float64 { return e.cost })
		p.Cost = &cost
		for g := range Gains {
			p.Unit[g] = known(unitCost(effects, Gain(g), asTheyAre))
		}
	}
	return p
}

// one is 1 of what is true, and else 0.
func one(is bool) float64 {
	if is {
		return 1
	}
	return 0
}

// asTheyAre takes each home once; drawnAgain takes others in their places.
func asTheyAre(i int) int { return i }

// unitCost is the cost of building for each unit saved in a year, all homes
// together; not a number where nothing is saved.
func unitCost(effects []effect, g Gain, draw func(int) int) float64 {
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

// flattens is the limit, by its number, at which a gain flattens; −1 where nothing is
// saved at any.
func flattens(effects [][]effect, g Gain, draw func(int) int) int {
	savings := make([]float64, len(effects))
	for i := range effects {
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
