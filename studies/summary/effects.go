package summary

import (
	"fmt"
	"math"
	"slices"

	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies/estimate"
	"pipelag/studies/sampling"
	"pipelag/studies/sensitivity"
)

// Effect is which factors a response's variance over the cases comes from.
type Effect struct {
	Response
	Factors []FactorEffect
	Pairs   []PairEffect // of a grid, those of some weight
}

// FactorEffect is a factor's part in the variance: alone, and with all it
// interacts with. A grid's are exact for it, and the intervals, from replicate to
// replicate, are those of the years; a sensitivity sample's are estimates.
type FactorEffect struct {
	Factor string
	sensitivity.Index
}

// doubtful tells whether some index is none that a share of a variance can be, by more than
// its interval, or is as good as unknown.
func (e Effect) doubtful() bool {
	// An interval misses one in twenty times; by so little nothing is misread. (Round figure, no source.)
	const slack = 0.05
	return slices.ContainsFunc(e.Factors, func(f FactorEffect) bool {
		first, total := f.First, f.Total
		switch {
		case first.High < 0 && first.Mean < -slack:
		case first.Low > 1 && first.Mean > 1+slack:
		case total.Low > 1 && total.Mean > 1+slack:
		case first.Low > total.High && first.Mean > total.Mean+slack:
		case first.High-first.Low > 1, total.High-total.Low > 1:
		default:
			return false
		}
		return true
	})
}

// PairEffect is what two factors change together beyond what each changes alone.
type PairEffect struct {
	Factors [2]string
	Share   sim.Interval
}

// weight is from where a pair's share of the variance is worth showing.
const weight = 0.001

func (s *summing) effects() {
	switch s.cases.Study.Sampling {
	case scenarios.Grid:
		s.gridEffects()
	case scenarios.Sensitivity:
		s.sampledEffects()
	}
}

// note adds what could not be told, once for all questions.
func (s *summing) note(format string, args ...any) {
	if note := fmt.Sprintf(format, args...); !slices.Contains(s.Notes, note) {
		s.Notes = append(s.Notes, note)
	}
}

// gridEffects apportion each response's variance over a whole grid.
func (s *summing) gridEffects() {
	factors := s.cases.Study.Factors
	levels := s.cases.Levels()
	if s.cases.Limited() {
		s.note("Effects need the whole grid, and %d of its %s cases were asked for.", s.Cases, s.cases.Whole)
		return
	}
	for _, r := range s.responses {
		first, total := make([][]float64, len(factors)), make([][]float64, len(factors))
		pairs := make(map[[2]int][]float64) // looked up only
		for replicate := range s.Replicates {
			y := s.numbers.Replicate(r.number, r.layout, replicate)
			if r.against >= 0 {
				for i, x := range s.numbers.Replicate(r.number, r.against, replicate) {
					y[i] = sim.Less(y[i], x)
				}
			}
			if hasNaN(y) {
				continue
			}
			f, varies := sensitivity.NewFactorial(levels, y)
			if !varies {
				continue
			}
			for i := range factors {
				first[i], total[i] = append(first[i], f.First[i]), append(total[i], f.Total[i])
				for j := i + 1; j < len(factors); j++ {
					pairs[[2]int{i, j}] = append(pairs[[2]int{i, j}], f.Pairs[i][j])
				}
			}
		}
		if len(first[0]) == 0 {
			continue
		}
		e := Effect{Response: r.Response}
		for i, f := range factors {
			e.Factors = append(e.Factors, FactorEffect{f.Name, sensitivity.Index{First: estimate.Mean(first[i]), Total: estimate.Mean(total[i])}})
			for j := i + 1; j < len(factors); j++ {
				if share := estimate.Mean(pairs[[2]int{i, j}]); share.Mean > weight {
					e.Pairs = append(e.Pairs, PairEffect{[2]string{f.Name, factors[j].Name}, share})
				}
			}
		}
		s.Effects = append(s.Effects, e)
	}
	if len(s.Effects) == 0 {
		s.note("Effects need a replicate in which no case failed and the answer varies; there is none.")
	}
}

func hasNaN(y []float64) bool {
	for _, x := range y {
		if math.IsNaN(x) {
			return true
		}
	}
	return false
}

// sampledEffects estimate indices from a sensitivity design; samples of which a
// case failed are left out.
func (s *summing) sampledEffects() {
	factors := s.cases.Study.Factors
	m := sampling.Mixtures(len(factors))
	left := 0
	for _, r := range s.responses {
		var a, b []float64
		ab := make([][]float64, len(factors))
		left = 0
		for j := range s.Cases / m {
			y := make([]float64, m)
			for k := range y {
				y[k] = s.mean(r, j*m+k)
			}
			if hasNaN(y) {
				left++
				continue
			}
			a, b = append(a, y[0]), append(b, y[1])
			for i := range factors {
				ab[i] = append(ab[i], y[2+i])
			}
		}
		indices, err := sensitivity.Indices(a, b, ab)
		if err != nil {
			continue
		}
		e := Effect{Response: r.Response}
		for i, f := range factors {
			e.Factors = append(e.Factors, FactorEffect{f.Name, indices[i]})
		}
		s.Effects = append(s.Effects, e)
	}
	if slices.ContainsFunc(s.Effects, Effect.doubtful) {
		s.note("Of shares of the variance some are below 0 or above 1, or larger for a factor alone than with all it interacts with, by more than their intervals, or have intervals wider than from 0 to 1: %d samples are too few to tell such shares; ask for more.", s.Cases/m)
	}
	if left > 0 {
		s.note("%d of %d samples are left out of the indices because a case of each failed.", left, s.Cases/m)
	}
	if len(s.Effects) == 0 {
		s.note("There are no indices: no answer varies over two samples at least.")
	}
}
