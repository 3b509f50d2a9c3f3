package sim

// disperse spreads the temperatures of neighbouring cells into each other for
// one step with dispersion number d = K dt/dx². Nothing passes the ends, and
// the spread of a pulse grows by 2 d cells² whichever way it is worked out.
//
// scratch must be as long as x.
func disperse(x []float64, d float64, scratch []float64) {
	if len(x) < 2 || d == 0 {
		return
	}
	if d <= 0.5 { // explicit: no undershoot up to here
		above := 0.0 // flow of heat in from the cell before
		for i := range len(x) - 1 {
			flux := d * (x[i] - x[i+1])
			x[i] += above - flux
			above = flux
		}
		x[len(x)-1] += above
		return
	}
	// Implicit, backward in time: −d x'₋ + (1+2d) x' − d x'₊ = x, with 1+d at
	// the ends, by elimination (Thomas).
	ratio := scratch[:len(x)]
	ratio[0] = d / (1 + d)
	x[0] /= 1 + d
	for i := 1; i < len(x); i++ {
		diagonal := 1 + 2*d
		if i == len(x)-1 {
			diagonal = 1 + d
		}
		pivot := 1 / (diagonal - d*ratio[i-1])
		ratio[i] = d * pivot
		x[i] = (x[i] + d*x[i-1]) * pivot
	}
	for i := len(x) - 2; i >= 0; i-- {
		x[i] += ratio[i] * x[i+1]
	}
}
