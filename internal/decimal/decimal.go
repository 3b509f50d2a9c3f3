// Package decimal tells at which power of ten numbers begin and where they are cut.
package decimal

import "math"

// Magnitude is the power of ten of a number's first figure; that of 0 is below any
// that is shown.
func Magnitude(x float64) int {
	if x == 0 {
		return -9
	}
	return int(math.Floor(math.Log10(math.Abs(x))))
}

// Last is the power of ten of the last of so many figures of a number, which may have
// gained one in front as it was rounded: 9.996 to three is 10.0.
func Last(x float64, figures int) int {
	last := Magnitude(x) - figures + 1
	if math.Round(math.Abs(x)/math.Pow10(last)) >= math.Pow10(figures) {
		last++
	}
	return last
}

// Step is the least of 1, 2, 5 × a power of ten that is not below x, but for rounding;
// 1 if x is not above 0.
func Step(x float64) float64 {
	if !(x > 0) {
		return 1
	}
	power := math.Pow10(Magnitude(x))
	for _, n := range []float64{1, 2, 5} {
		if n*power >= x*(1-1e-9) {
			return n * power
		}
	}
	return 10 * power
}
