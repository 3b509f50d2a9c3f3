package sampling

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"

	"pipelag/scenarios"
)

// Number is the value of a range below which lies the share u of its
// distribution, as cut off at the ends: F⁻¹(F(from) + u (F(to) − F(from))).
// It is rounded to six figures, so that a scenario can show all of it.
func Number(r *scenarios.Range, u float64) float64 {
	x := r.From + u*(r.To-r.From)
	switch r.Distribution {
	case scenarios.LogUniform:
		x = r.From * math.Pow(r.To/r.From, u)
	case scenarios.Normal:
		x = cutOff(distuv.Normal{Mu: r.Mean, Sigma: r.Deviation}, r, u)
	case scenarios.Triangular:
		x = distuv.NewTriangle(r.From, r.To, r.Peak, nil).Quantile(u)
	}
	return within(r, x)
}

// Step is value i of the equal steps of a range in a grid.
func Step(r *scenarios.Range, i int) float64 {
	return within(r, r.From+float64(i)/float64(r.Steps-1)*(r.To-r.From))
}

func cutOff(d interface {
	CDF(float64) float64
	Quantile(float64) float64
}, r *scenarios.Range, u float64,
) float64 {
	low, high := d.CDF(r.From), d.CDF(r.To)
	return d.Quantile(low + u*(high-low))
}

func within(r *scenarios.Range, x float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil {
		panic("sampling: " + err.Error()) // what was written can be read
	}
	return min(max(rounded, r.From), r.To)
}

// Level is which of n levels the share u falls to; shares are how common each
// is, or nil if all are alike.
func Level(n int, shares []float64, u float64) int {
	if shares == nil {
		return min(int(u*float64(n)), n-1)
	}
	sum := 0.0
	for i, s := range shares {
		if sum += s; u < sum {
			return i
		}
	}
	return n - 1
}
