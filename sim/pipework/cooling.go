package pipework

import "math"

// cooling is how fast a pipe as a whole falls to the temperature of its
// surroundings. The outside film weakens as the pipe cools, so the excess
// temperature θ does not fall exponentially:
//
//	dθ/dt = −λ(θ) θ,   so   t = F(θ₀) − F(θ₁)   with   F = ∫ dθ/(λ θ)
//
// From each quarter of an octave of θ to the next, which the bits of a number tell, it
// does fall exponentially, as fast as takes the time that F does. So a rest of any length
// is a few steps, and mostly one.
type cooling struct {
	excess [coolingSteps + 1]float64 // where each step ends, from the least up [K]
	rate   [coolingSteps]float64     // λ [1/s]
	takes  [coolingSteps]float64     // the whole of it [s]
}

const (
	leastExcess  = 1.0 / 16  // [K]; the film is taken as constant below
	coolingSteps = 4 * 12    // to 256 K
	quarterBits  = 52 - 2    // of a float64 below those that tell the quarter of an octave
	excessStep   = 5.0/4 - 1 // the largest, as a share of where it ends
)

// newCooling integrates F by the trapezoidal rule in ln θ from rate, λ as a function
// of the excess [1/s].
func newCooling(rate func(excess float64) float64) (c cooling) {
	for i := range c.excess {
		c.excess[i] = math.Float64frombits((math.Float64bits(leastExcess)>>quarterBits + uint64(i)) << quarterBits)
	}
	low := 1 / rate(leastExcess)
	for i := range c.rate {
		high := 1 / rate(c.excess[i+1])
		c.rate[i] = 2 / (low + high)
		c.takes[i] = math.Log(c.excess[i+1]/c.excess[i]) / c.rate[i]
		low = high
	}
	return c
}

// remaining is the share of the excess left after a rest: θ₁/θ₀.
func (c *cooling) remaining(excess, rest float64) float64 {
	x := math.Abs(excess)
	i := int(math.Float64bits(x)>>quarterBits) - int(math.Float64bits(leastExcess)>>quarterBits)
	i = min(max(i, 0), coolingSteps-1)
	fall := c.rate[i] * rest // of ln θ, if the step is long enough
	if i == 0 {
		return decay(fall)
	}
	if fall < excessStep {
		if left := decay(fall); x*left >= c.excess[i] {
			return left
		}
	}
	rest -= apart(x, c.excess[i]) / c.rate[i]
	for i--; i > 0 && rest > c.takes[i]; i-- {
		rest -= c.takes[i]
	}
	return c.excess[i+1] / x * decay(c.rate[i]*rest)
}

// apart is ln(a/b) of numbers no more than a quarter apart, by its series to 1e-11.
func apart(a, b float64) float64 {
	x := (a - b) / (a + b)
	y := x * x
	return 2 * x * (1 + y*(1.0/3+y*(1.0/5+y*(1.0/7+y*(1.0/9)))))
}
