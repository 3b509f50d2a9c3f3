package pipework

import "math"

// cooling is how fast a pipe as a whole falls to the temperature of its
// surroundings. The outside film weakens as the pipe cools, so the excess
// temperature θ does not fall exponentially:
//
//	dθ/dt = −λ(θ) θ,   so   t = F(ln θ₀) − F(ln θ₁)   with   F(u) = ∫ du/λ
//
// F is tabulated on equal steps of ln θ, once for a pipe, and both ways of
// reading it are a lookup: a rest of any length costs one.
type cooling struct {
	age []float64 // F at each step, from the least excess up [s]
}

const (
	leastExcess  = 0.05 // [K]; the film is taken as constant below
	excessStep   = 0.2  // in ln θ
	coolingSteps = 40   // to 0.05·e⁸ = 149 K
)

// newCooling integrates F by the trapezoidal rule from rate, λ as a function
// of the excess [1/s].
func newCooling(rate func(excess float64) float64) cooling {
	c := cooling{age: make([]float64, coolingSteps+1)}
	last := 1 / rate(leastExcess)
	for i := 1; i <= coolingSteps; i++ {
		next := 1 / rate(leastExcess*math.Exp(float64(i)*excessStep))
		c.age[i] = c.age[i-1] + (last+next)/2*excessStep
		last = next
	}
	return c
}

// remaining is the share of the excess left after a rest: θ₁/θ₀.
func (c *cooling) remaining(excess, rest float64) float64 {
	u := math.Log(math.Abs(excess) / leastExcess)
	return math.Exp(c.later(u, rest) - u)
}

// later is ln(θ₁/leastExcess) a time t after it was u.
func (c *cooling) later(u, t float64) float64 {
	x := u / excessStep
	i := min(max(int(x), 0), coolingSteps-1) // at the ends its straight lines go on
	age := c.age[i] + (x-float64(i))*(c.age[i+1]-c.age[i]) - t
	for i > 0 && age < c.age[i] {
		i--
	}
	return (float64(i) + (age-c.age[i])/(c.age[i+1]-c.age[i])) * excessStep
}
