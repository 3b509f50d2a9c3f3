// Package estimate tells what a sample says of a mean.
package estimate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"pipelag/sim"
)

// Mean is a sample's mean with its 95 % interval by Student's t. The interval of
// one value alone is not known, nor is the mean of none.
func Mean(sample []float64) sim.Interval {
	mean, variance := stat.MeanVariance(sample, nil)
	return sim.StudentInterval(len(sample), mean, variance)
}

// Quantiles are those of a sample at the shares given, between its values by
// straight lines; NaN of none. The sample is put in order.
func Quantiles(sample []float64, shares ...float64) []float64 {
	slices.Sort(sample)
	all := make([]float64, len(shares))
	for i, p := range shares {
		all[i] = math.NaN()
		if len(sample) > 0 {
			at := p * float64(len(sample)-1)
			low := int(at)
			high := min(low+1, len(sample)-1)
			all[i] = sample[low] + (at-float64(low))*(sample[high]-sample[low])
		}
	}
	return all
}
