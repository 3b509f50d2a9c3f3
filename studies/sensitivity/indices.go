// Package sensitivity apportions the variance of a result to the factors that
// cause it: from samples made for it, or from a full grid.
//
// Not modelled: factors that depend on one another, indices of higher order than
// the pairs of a grid.
package sensitivity

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"pipelag/sim"
	"pipelag/studies/estimate"
)

// Index is one factor's part in the variance of a result: by itself, and
// together with all it interacts with.
type Index struct {
	First sim.Interval // first-order index [-]
	Total sim.Interval // total-effect index [-]
}

// resamples is how often samples are drawn again for the intervals.
const resamples = 1000

// Indices are those of each factor, from the results y of a model at N points of
// two samples A and B and, for each factor i, of A with factor i from B:
//
//	V   = variance of y over A and B together
//	S_i = 1/N Σ y(B)_j (y(AB_i)_j − y(A)_j) / V
//	T_i = 1/(2N) Σ (y(A)_j − y(AB_i)_j)² / V
//
// a and b are y at A and B, ab[i] y at AB_i, all of one length, at least 2. The
// intervals hold 95 % of what resampling the N points gives (percentile
// bootstrap). y's mean is taken off first, which changes no expectation and
// leaves less noise. A result that does not vary is an error.
//
// Source: S_i from A. Saltelli and others, Variance based sensitivity analysis
// of model output, Computer Physics Communications 181 (2010) 259, table 2 (b);
// T_i from M. J. W. Jansen, Analysis of variance designs for model output,
// Computer Physics Communications 117 (1999) 35, as in the same table (f). Both
// from memory; the tests hold them against a function whose indices are known.
func Indices(a, b []float64, ab [][]float64) ([]Index, error) {
	n := len(a)
	if n < 2 || len(b) != n {
		return nil, fmt.Errorf("%d and %d results; two at least, as many of each", n, len(b))
	}
	for i := range ab {
		if len(ab[i]) != n {
			return nil, fmt.Errorf("factor %d has %d results, not %d", i+1, len(ab[i]), n)
		}
	}
	rows := make([]int, n)
	for j := range rows {
		rows[j] = j
	}
	first, total, ok := at(rows, a, b, ab)
	if !ok {
		return nil, errors.New("the result does not vary, so there is nothing to apportion")
	}
	firsts, totals := make([][]float64, len(ab)), make([][]float64, len(ab))
	random := rand.New(rand.NewPCG(1, uint64(n)))
	for range resamples {
		for j := range rows {
			rows[j] = random.IntN(n)
		}
		s, t, ok := at(rows, a, b, ab)
		if !ok {
			continue // one point drawn n times
		}
		for i := range ab {
			firsts[i], totals[i] = append(firsts[i], s[i]), append(totals[i], t[i])
		}
	}
	indices := make([]Index, len(ab))
	for i := range indices {
		indices[i] = Index{between(first[i], firsts[i]), between(total[i], totals[i])}
	}
	return indices, nil
}

// at gives the indices from some of the points; false if the result is the same
// at all of them.
func at(rows []int, a, b []float64, ab [][]float64) (first, total []float64, ok bool) {
	n := float64(len(rows))
	var mean, variance float64
	for _, j := range rows {
		mean += (a[j] + b[j]) / (2 * n)
	}
	for _, j := range rows {
		variance += ((a[j]-mean)*(a[j]-mean) + (b[j]-mean)*(b[j]-mean)) / (2 * n)
	}
	if !(variance > 1e-24*mean*mean) {
		return nil, nil, false
	}
	first, total = make([]float64, len(ab)), make([]float64, len(ab))
	for i, mixed := range ab {
		for _, j := range rows {
			d := mixed[j] - a[j]
			first[i] += (b[j] - mean) * d / n / variance
			total[i] += d * d / (2 * n) / variance
		}
	}
	return first, total, true
}

func between(value float64, resampled []float64) sim.Interval {
	if len(resampled) == 0 {
		return sim.Interval{Mean: value, Low: math.NaN(), High: math.NaN()}
	}
	ends := estimate.Quantiles(resampled, 0.025, 0.975)
	return sim.Interval{Mean: value, Low: ends[0], High: ends[1]}
}
