package statistics

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pipelag/schedules"
	"pipelag/schedules/published"
)

// Shape is at which hours of the day a use begins, beside what is published.
// Machines are counted by cycle, not by fill; the publications do not part the
// sinks.
type Shape struct {
	Subject   string
	Starts    int
	Hours     [24]float64 // share of starts in each hour
	Published published.Profile

	// P is the chance that starts which do follow the published hours come to
	// differ from them by as much as these; NaN where there are too few days to
	// tell.
	P float64
}

// subjects are what hours are published of.
var subjects = []struct {
	name string
	of   schedules.Use
}{
	{"showers", schedules.Shower},
	{"baths", schedules.Bath},
	{"sinks", schedules.Kitchen},
	{"dishwasher", schedules.Dishwasher},
	{"clothes washer", schedules.ClothesWasher},
}

// subjectOf is the index in subjects of each use.
var subjectOf = [schedules.Uses]int{
	schedules.Shower: 0, schedules.Bath: 1, schedules.Kitchen: 2, schedules.Lavatory: 2,
	schedules.Dishwasher: 3, schedules.ClothesWasher: 4,
}

// cycleGap parts a machine's cycles: a fill that begins no later than this after
// the one before it, or after a midnight with none before it, belongs to a cycle
// that began earlier [s]. (A simulated day is made by itself: what runs past its
// end stands at its beginning.) Published gaps between fills are 5 to 10 min on average;
// twice the longer is common practice, no source.
const cycleGap = 20 * 60.0

// hourly are sums over days of the numbers of starts in each hour.
type hourly struct {
	days  int
	count [24]float64
	pairs [24][24]float64 // sum of the products of two hours' counts

	today [24]float64
}

func (h *hourly) add(hour int) { h.today[hour]++ }

// endDay takes up the day's counts.
func (h *hourly) endDay() {
	h.days++
	for i, n := range h.today {
		if n == 0 {
			continue
		}
		h.count[i] += n
		for j, m := range h.today {
			h.pairs[i][j] += n * m
		}
	}
	h.today = [24]float64{}
}

// fewestDays is the least number of days from which clumping can be judged
// (common practice, no source), fewestExpected the least number of starts expected in
// an hour that stands by itself in a chi-square test (common practice, no source).
const (
	fewestDays     = 28
	fewestExpected = 5
)

// fit is the p-value of the counts under a profile by Pearson's chi-square,
// corrected for the clumping of starts within days:
//
//	X² = Σ (n_i − N p_i)² / (N p_i),  F = X² / (δ (1 + a²)),  ν = (k − 1) / (1 + a²)
//	δ = Σ D_ii / (k − 1),  1 + a² = Σ_ij D_ij D_ji / ((k − 1) δ²),  D_ij = N V_ij / p_j
//
// with V the covariance of the shares n_i/N as the days' own counts show it
// (ratio estimator, days independent). F is referred to chi-square with ν degrees of
// freedom. Were starts independent, δ would be 1 and a 0: the usual test.
// Hours in which few starts are expected are joined to the next.
//
//	profile  share of each hour, adding to 1
//
// It is NaN with fewer than 28 days, or when every day is the same.
//
// Source: J. N. K. Rao and A. J. Scott, The analysis of categorical data from
// complex sample surveys, J. Am. Stat. Assoc. 76, 1981, first- and second-order
// corrections (from memory; TestFitIsFair tries it on clumped days).
func (h *hourly) fit(profile [24]float64) float64 {
	total := 0.0
	for _, n := range h.count {
		total += n
	}
	bin, p := bins(total, profile)
	k := len(p)
	if h.days < fewestDays || k < 2 {
		return math.NaN()
	}
	n := make([]float64, k)
	row := make([]float64, k) // sum over days of a bin's count by the day's
	pairs := make([][]float64, k)
	for i := range pairs {
		pairs[i] = make([]float64, k)
	}
	every := 0.0
	for i := range 24 {
		n[bin[i]] += h.count[i]
		for j := range 24 {
			pairs[bin[i]][bin[j]] += h.pairs[i][j]
			row[bin[i]] += h.pairs[i][j]
			every += h.pairs[i][j]
		}
	}
	chi, trace, square := 0.0, 0.0, 0.0
	for i := range k {
		chi += (n[i] - total*p[i]) * (n[i] - total*p[i]) / (total * p[i])
		for j := range k {
			si, sj := n[i]/total, n[j]/total
			v := (pairs[i][j] - sj*row[i] - si*row[j] + si*sj*every) / total // N V_ij
			square += v * v / (p[i] * p[j])
			if i == j {
				trace += v / p[i]
			}
		}
	}
	if !(trace > 1e-9) {
		return math.NaN()
	}
	// F and ν with the sums put in: the k−1 cancel.
	return distuv.ChiSquared{K: trace * trace / square}.Survival(chi * trace / square)
}

// bins joins hours until enough is expected in each: the bin of each hour, and the
// share of each bin.
func bins(total float64, profile [24]float64) (bin [24]int, share []float64) {
	open := false
	for h, p := range profile {
		if !open {
			share = append(share, 0)
		}
		bin[h] = len(share) - 1
		share[bin[h]] += p
		open = total*share[bin[h]] < fewestExpected
	}
	if last := len(share) - 1; open && last > 0 { // the rest is too little by itself
		share[last-1] += share[last]
		share = share[:last]
		for h := range bin {
			bin[h] = min(bin[h], last-1)
		}
	}
	return bin, share
}

// shapes are those of the subjects that were seen at all.
func (m *measurement) shapes() []Shape {
	var all []Shape
	for i, subject := range subjects {
		h := &m.hours[i]
		s := Shape{Subject: subject.name, Published: published.Hours(subject.of)}
		total := 0.0
		for _, n := range h.count {
			total += n
		}
		if total == 0 {
			continue
		}
		for hour, n := range h.count {
			s.Hours[hour] = n / total
		}
		s.Starts = int(total)
		s.P = h.fit(s.Published.Hours)
		all = append(all, s)
	}
	return all
}
