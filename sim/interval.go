package sim

import (
	"encoding/json"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Interval is an estimate of a mean with its 95 % confidence interval. Low and
// High are NaN where one year alone cannot give one.
type Interval struct {
	Mean, Low, High float64
}

// MarshalJSON writes unknown limits as null.
func (i Interval) MarshalJSON() ([]byte, error) {
	wire := struct {
		Mean float64  `json:"mean"`
		Low  *float64 `json:"low"`
		High *float64 `json:"high"`
	}{Mean: i.Mean}
	if !math.IsNaN(i.Low) {
		wire.Low, wire.High = &i.Low, &i.High
	}
	return json.Marshal(wire)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (i *Interval) UnmarshalJSON(data []byte) error {
	var wire struct{ Mean, Low, High *float64 }
	if err := json.Unmarshal(data, &wire); err != nil {
		return err
	}
	*i = Interval{math.NaN(), math.NaN(), math.NaN()}
	if wire.Mean != nil {
		i.Mean = *wire.Mean
	}
	if wire.Low != nil && wire.High != nil {
		i.Low, i.High = *wire.Low, *wire.High
	}
	return nil
}

func (i Interval) scaled(by float64) Interval {
	return Interval{i.Mean * by, i.Low * by, i.High * by}
}

// StudentInterval is the 95 % interval of the mean of a sample of n values by
// Student's t:
//
//	mean ± t(0.975, n−1) s/√n
//
// with s² the sample's variance, over n−1. The interval of one value alone is not
// known.
func StudentInterval(n int, mean, variance float64) Interval {
	if n < 2 {
		return Interval{mean, math.NaN(), math.NaN()}
	}
	half := distuv.StudentsT{Sigma: 1, Nu: float64(n - 1)}.Quantile(0.975) * math.Sqrt(variance/float64(n))
	return Interval{mean, mean - half, mean + half}
}

// HalfWidth is half the width of the interval.
func (i Interval) HalfWidth() float64 { return (i.High - i.Low) / 2 }

// moments gathers the mean and the spread of a sample without keeping it.
// Source: B. P. Welford, Note on a method for calculating corrected sums of
// squares and products, Technometrics 4 (1962) 419 (from memory).
type moments struct {
	n       int
	mean    float64
	squares float64 // sum of squared deviations from the mean
}

func (m *moments) add(x float64) {
	m.n++
	d := x - m.mean
	m.mean += d / float64(m.n)
	m.squares += d * (x - m.mean)
}

// interval is the 95 % interval of the mean by Student's t.
func (m *moments) interval() Interval {
	return StudentInterval(m.n, m.mean, m.squares/float64(m.n-1))
}
