package sim

import (
	"fmt"
	"math"
	"slices"

	"pipelag/schedules"
)

// comparison adds replicates up: means and intervals of every layout's annual
// numbers, and of each layout's difference from the first, replicate by
// replicate. Its size does not grow with the years.
type comparison struct {
	house   *House
	years   int
	layouts []layoutYears
	short   [][]Shortfall // by layout
}

// layoutYears is what a comparison knows of one layout.
type layoutYears struct {
	annual     [Quantities]moments
	difference [Quantities]moments // from the first layout
	months     [12]Values          // sums
	taps       []tapAccount        // sums
	waits      []histogram
	zones      []float64 // pipe loss, sums [J]
	starts     int
	lukewarm   int     // hours, sum
	returned   float64 // as the ledger's, sums
	returning  float64
	hottest    float64 // water sent into a cold line in any year, 0 if none was [°C]
	coolest    float64 // of all years [°C]
	rests      []rest  // by fixture, the longest of all years
	imbalance  float64 // the worst
}

func newComparison(h *House, short [][]Shortfall) *comparison {
	c := &comparison{house: h, layouts: make([]layoutYears, len(h.Layouts)), short: short}
	for i := range c.layouts {
		l := &c.layouts[i]
		l.coolest = never
		l.rests = make([]rest, len(h.Fixtures))
		l.taps = make([]tapAccount, len(h.Fixtures))
		l.waits = make([]histogram, len(h.Fixtures))
		l.zones = make([]float64, len(h.Climate.Zones))
	}
	return c
}

// add adds one replicate's outcomes, in the order of layouts, and gives the annual
// numbers of each.
func (c *comparison) add(outcomes []outcome) ([]Values, error) {
	replicate := c.years
	c.years++
	annual := make([]Values, len(outcomes))
	for i, o := range outcomes {
		if o.err != nil {
			return nil, fmt.Errorf("layout %q, year %d: %w", c.house.Layouts[i].Network.Name, replicate+1, o.err)
		}
		l := &c.layouts[i]
		total := &annual[i]
		for m := range o.ledger.months {
			month := &o.ledger.months[m]
			v := month.values(c.house, m)
			for q := range v {
				total[q] += v[q]
				l.months[m][q] += v[q]
			}
			for k := range month.taps {
				l.taps[k].add(&month.taps[k])
			}
			for z, loss := range month.pipeLoss {
				l.zones[z] += loss
			}
			l.starts += month.starts
		}
		l.lukewarm += o.ledger.lukewarm
		l.returned += o.ledger.returned
		l.returning += o.ledger.returning
		l.hottest = max(l.hottest, o.ledger.hottest)
		l.coolest = min(l.coolest, o.ledger.coolest)
		for k, r := range o.ledger.rests {
			l.rests[k] = rest{r.volume, max(l.rests[k].longest, r.longest)}
		}
		for q := range total {
			l.annual[q].add(total[q])
			l.difference[q].add(Less(total[q], annual[0][q]))
		}
		for k := range o.waits {
			l.waits[k].merge(&o.waits[k])
		}
		if e := o.ledger.imbalance(); math.Abs(e) > math.Abs(l.imbalance) {
			l.imbalance = e
		}
	}
	return annual, nil
}

// same tells whether every year gave the same numbers, where there are several: so it
// is where nothing of draws and pump is left to chance.
func (l *layoutYears) same() bool {
	return l.annual[0].n > 1 && !slices.ContainsFunc(l.annual[:], func(m moments) bool { return m.squares != 0 })
}

// lukewarmHours is for how many hours of a year some water in the loop was lukewarm, mean.
func (l *layoutYears) lukewarmHours() float64 {
	return float64(l.lukewarm) / float64(l.annual[0].n)
}

func (a *tapAccount) add(b *tapAccount) {
	a.used.add(b.used.water, b.used.heat)
	a.purged.add(b.purged.water, b.purged.heat)
	a.left.add(b.left.water, b.left.heat)
	a.cooled += b.cooled
	a.hot += b.hot
	a.wait += b.wait
	a.draws += b.draws
	a.never += b.never
}

// known tells whether every layout's difference from the first is known as
// well as asked.
func (c *comparison) known(p *Precision) bool {
	for i := range c.layouts[1:] {
		if !(c.layouts[i+1].difference[p.Quantity].interval().HalfWidth() <= p.HalfWidth) {
			return false
		}
	}
	return true
}

func (c *comparison) result() *Result {
	r := &Result{Years: c.years, Currency: c.house.Rates.Currency, Bill: c.house.bill(), Mains: monthlyMeans(c.house.Climate.Mains)}
	var raised []Caution
	r.Scenario.Name = c.house.Name
	n := float64(c.years)
	for i := range c.layouts {
		l := &c.layouts[i]
		network := c.house.Layouts[i].Network
		out := LayoutResult{
			Name:         network.Name,
			Arrangement:  network.Arrangement,
			BalanceError: l.imbalance,
			Control:      c.house.Layouts[i].Pump.ControlName(),
			PumpStarts:   float64(l.starts) / n,
			Lukewarm:     l.lukewarmHours(),
			Months:       l.months,
			Crossover:    l.crossover(c.house, &c.house.Layouts[i]),
			Shortfalls:   c.short[i],
		}
		for m := range out.Months {
			for q := range out.Months[m] {
				out.Months[m][q] /= n
			}
		}
		for z, zone := range c.house.Climate.Zones {
			out.ZoneLoss = append(out.ZoneLoss, ZoneLoss{zone.Name, l.zones[z] / kWh / n})
		}
		for k := range c.house.Fixtures {
			out.Fixtures = append(out.Fixtures, c.fixture(l, k))
		}
		d := Difference{Layout: network.Name, Against: c.house.Layouts[0].Network.Name}
		for q := range Quantities {
			out.Annual[q] = l.annual[q].interval()
			d.Annual[q] = l.difference[q].interval()
		}
		r.Layouts = append(r.Layouts, out)
		raised = append(raised, l.cautions(c.house, network.Name)...)
		if i > 0 {
			r.Differences = append(r.Differences, d)
		}
	}
	r.Cautions = append(raised, c.house.cautions(func(layout int) ([]Shortfall, error) { return c.short[layout], nil })...)
	if c.years == 1 {
		r.Warnings = append(r.Warnings, "One year alone gives no intervals; run two or more.")
	}
	return r
}

// monthlyMeans are the means of a temperature over the days of each month [°C].
func monthlyMeans(t schedules.Temperature) (means [12]float64) {
	d := 0
	for m, days := range schedules.MonthDays {
		for range days {
			means[m] += t.At((float64(d)+0.5)*Day) / float64(days)
			d++
		}
	}
	return means
}

func (c *comparison) fixture(l *layoutYears, k int) FixtureResult {
	t, w := &l.taps[k], &l.waits[k]
	days := float64(c.years) * schedules.DaysPerYear
	draws := math.Max(float64(t.draws), 1)
	return FixtureResult{
		Name:           c.house.Fixtures[k].Name,
		DrawsPerDay:    float64(t.draws) / days,
		Waits:          Waits{P50: w.quantile(0.5), P90: w.quantile(0.9)},
		PurgedPerDraw:  t.purged.water / litre / draws,
		NeverHot:       float64(t.never) / draws,
		WaitingDraws:   float64(w.total) / days,
		WaitCounts:     w.seconds(),
		HotDrawnPerDay: t.hot / litre / days,
		Leg:            l.rests[k].volume / litre,
		LongestRest:    l.rests[k].longest / hour,
	}
}
