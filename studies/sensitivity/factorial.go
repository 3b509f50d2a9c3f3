package sensitivity

import "fmt"

// Factorial apportions the variance of a result over a full grid, exactly: every
// combination of levels counts alike.
type Factorial struct {
	First []float64   // share of each factor alone [-]
	Total []float64   // share of each factor with all it interacts with [-]
	Pairs [][]float64 // share of the interaction of two factors, [i][j] with i < j [-]
}

// NewFactorial apportions y, which holds the result of every combination of
// levels, the last factor's changing fastest:
//
//	V_i  = variance over i's levels of the mean of y at each
//	V_ij = variance over pairs of levels of the mean of y at each − V_i − V_j
//	V_T  = mean over all other factors' combinations of the variance over i
//
// each over the variance V of y. It is false where y does not vary.
//
// Source: analysis of variance of a full factorial, R. A. Fisher, The design of
// experiments, 1935 (from memory).
func NewFactorial(levels []int, y []float64) (*Factorial, bool) {
	size := 1
	for _, l := range levels {
		size *= l
	}
	if size != len(y) {
		panic(fmt.Sprintf("sensitivity: %d results of a grid of %d", len(y), size))
	}
	k := len(levels)
	mean, variance := moments(y)
	if !(variance > 1e-24*mean*mean) {
		return nil, false
	}
	f := &Factorial{First: make([]float64, k), Total: make([]float64, k), Pairs: make([][]float64, k)}
	for i := range k {
		f.First[i] = varianceOfMeans(levels, y, i) / variance
		f.Total[i] = 1 - varianceOfMeans(levels, y, others(k, i)...)/variance
	}
	for i := range k {
		f.Pairs[i] = make([]float64, k)
		for j := i + 1; j < k; j++ {
			f.Pairs[i][j] = varianceOfMeans(levels, y, i, j)/variance - f.First[i] - f.First[j]
		}
	}
	return f, true
}

func others(k, i int) []int {
	var all []int
	for j := range k {
		if j != i {
			all = append(all, j)
		}
	}
	return all
}

// varianceOfMeans is the variance, over the combinations of levels of some
// factors, of the mean of y at each.
func varianceOfMeans(levels []int, y []float64, factors ...int) float64 {
	cells := 1
	for _, i := range factors {
		cells *= levels[i]
	}
	means := make([]float64, cells)
	share := float64(cells) / float64(len(y))
	stride := make([]int, len(levels))
	for i, s := len(levels)-1, 1; i >= 0; i-- {
		stride[i] = s
		s *= levels[i]
	}
	for n, v := range y {
		cell := 0
		for _, i := range factors {
			cell = cell*levels[i] + n/stride[i]%levels[i]
		}
		means[cell] += v * share
	}
	_, variance := moments(means)
	return variance
}

func moments(y []float64) (mean, variance float64) {
	for _, v := range y {
		mean += v / float64(len(y))
	}
	for _, v := range y {
		variance += (v - mean) * (v - mean) / float64(len(y))
	}
	return mean, variance
}
