package records

import (
	"errors"
	"math/big"
	"strconv"
)

// precision of the arithmetic between a cell and an SI value [bit]: more than
// twice a float64's, so that only the last step rounds.
const precision = 128

// value reads a cell whose unit is 1/scale of the SI unit: 60000 for L/min.
func value(cell string, scale int64) (float64, error) {
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		return 0, errors.New("not a number")
	}
	if scale == 1 || v == 0 || v-v != 0 { // the caller refuses NaN and infinity
		return v, nil
	}
	exact, _, err := big.ParseFloat(cell, 10, precision, big.ToNearestEven)
	if err != nil {
		return 0, errors.New("not a decimal number")
	}
	v, _ = exact.Quo(exact, big.NewFloat(float64(scale))).Float64()
	return v, nil
}

// cell writes v with as few digits as value needs to read the same v again.
func cell(v float64, scale int64) string {
	if scale == 1 || v == 0 {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	scaled := new(big.Float).SetPrec(precision).SetFloat64(v)
	scaled.Mul(scaled, big.NewFloat(float64(scale)))
	for digits := 4; ; digits++ {
		s := scaled.Text('g', digits)
		if back, err := value(s, scale); err == nil && back == v {
			return s
		}
	}
}
