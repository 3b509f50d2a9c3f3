// Package sampling chooses the points at which a study looks: every combination
// of levels, or a number of points spread over a unit cube that has one side for
// each factor.
//
// Not modelled: factors that depend on one another.
package sampling

import (
	"math/big"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"
)

// GridSize is how many combinations there are of so many levels of each factor.
func GridSize(levels []int) *big.Int {
	n := big.NewInt(1)
	for _, l := range levels {
		n.Mul(n, big.NewInt(int64(l)))
	}
	return n
}

// GridPoint is the level of each factor at point i of a grid; the last factor's
// changes from point to point.
func GridPoint(levels []int, i int) []int {
	point := make([]int, len(levels))
	for k := len(levels) - 1; k >= 0; k-- {
		point[k] = i % levels[k]
		i /= levels[k]
	}
	return point
}

// LatinHypercube is n points, a row each, of which every one of n equal parts of
// each side holds exactly one. Another n gives other points.
//
// Source: M. D. McKay, R. J. Beckman, W. J. Conover, A comparison of three
// methods for selecting values of input variables, Technometrics 21 (1979) 239
// (from memory).
func LatinHypercube(n, sides int, seed uint64) *mat.Dense {
	points := mat.NewDense(n, sides, nil)
	samplemv.LatinHypercube{Q: distmv.NewUnitUniform(sides, nil), Src: source(seed)}.Sample(points)
	return points
}

// Halton is the first n points, a row each, of a scrambled low-discrepancy
// sequence: more of them begin with the same ones.
//
// Source: A. B. Owen, A randomized Halton algorithm in R, arXiv:1706.02808 (2017)
// (as named by the library used).
func Halton(n, sides int, seed uint64) *mat.Dense {
	points := mat.NewDense(n, sides, nil)
	samplemv.Halton{Kind: samplemv.Owen, Q: distmv.NewUnitUniform(sides, nil), Src: source(seed)}.Sample(points)
	return points
}

func source(seed uint64) rand.Source { return rand.NewPCG(seed, 0x73616d706c696e67) } // a stream of its own

// A sensitivity design takes Mixtures(k) points for each of its samples of k
// factors: one of A, one of B and, factor by factor, that of A with the factor's
// value of B.
//
// Source: A. Saltelli and others, Variance based sensitivity analysis of model
// output, Computer Physics Communications 181 (2010) 259, table 2 (from memory).
func Mixtures(factors int) int { return factors + 2 }

// Mixture is point i of a sensitivity design, made of points of twice as many
// sides as there are factors: A's first, then B's.
func Mixture(points *mat.Dense, i int) []float64 {
	_, sides := points.Dims()
	factors := sides / 2
	row := points.RawRowView(i / Mixtures(factors))
	a, b := row[:factors], row[factors:]
	switch part := i % Mixtures(factors); part {
	case 0:
		return a
	case 1:
		return b
	default:
		mixed := append([]float64(nil), a...)
		mixed[part-2] = b[part-2]
		return mixed
	}
}
