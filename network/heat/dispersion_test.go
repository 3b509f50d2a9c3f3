package heat

import (
	"math"
	"testing"

	"pipelag/internal/check"
	"pipelag/network/tubes"

	"github.com/stretchr/testify/assert"
)

// besselZeros gives the first zeros of J₁ above 0, by bisection between the
// turning points of a zero's known neighbourhood, (n + 1/4) π.
func besselZeros(n int) []float64 {
	zeros := make([]float64, n)
	for i := range zeros {
		low, high := (float64(i)+0.75)*math.Pi, (float64(i)+1.75)*math.Pi
		for range 100 {
			middle := (low + high) / 2
			if (math.J1(low) > 0) == (math.J1(middle) > 0) {
				low = middle
			} else {
				high = middle
			}
		}
		zeros[i] = low
	}
	return zeros
}

// The exact growth of the variance of a front in laminar flow, from the
// eigenfunctions J₀(αₙ r) of diffusion over the section.
func TestLaminarDispersionAgainstExactSeries(t *testing.T) {
	zeros := besselZeros(400)
	var fourth, sixth float64
	for _, a := range zeros {
		fourth += math.Pow(a, -4)
		sixth += math.Pow(a, -6)
	}
	check.Alike(t, 1.0/192, fourth, 1e-6, "Rayleigh's sum of α⁻⁴") // exact, proves the zeros
	check.Alike(t, 1.0/3072, sixth, 1e-9, "Rayleigh's sum of α⁻⁶")

	w := mustWater(t, 40)
	kappa := w.Diffusivity()
	const speed, bore = 0.08, 0.0089
	r := bore / 2.0
	worst := 0.0
	for lag := 1e-3; lag < 100; lag *= 1.2 { // κ t / r²
		exact := kappa
		for _, a := range zeros {
			exact -= 64 * speed * speed * r * r / kappa * math.Expm1(-a*a*lag) / math.Pow(a, 6)
		}
		got := laminarDispersion(w, speed, bore, lag*r*r/kappa)
		check.Alike(t, exact, got, 0.04, "K")
		worst = max(worst, math.Abs(got/exact-1))
	}
	t.Logf("largest deviation of the single exponential %.2f %%", worst*100)
}

// At first the parabolic profile alone spreads the front: variance u² t²/3.
func TestLaminarDispersionAtFirstIsConvective(t *testing.T) {
	w := mustWater(t, 40)
	const speed, bore = 0.08, 0.0199
	tau := bore * bore / 4 / (16 * w.Diffusivity())
	end := tau / 200
	const steps = 1000
	variance := 0.0
	for i := range steps {
		elapsed := (float64(i) + 0.5) / steps * end
		variance += 2 * (laminarDispersion(w, speed, bore, elapsed) - w.Diffusivity()) * end / steps
	}
	check.Alike(t, speed*speed*end*end/3, variance, 0.003, "variance")
}

// The single exponential's time is near that of the slowest exact mode, r²/(α₁² κ)
// with α₁ = 3.8317: a tenth shorter.
func TestMixingTimeIsNearTheSlowestMode(t *testing.T) {
	w := mustWater(t, 40)
	l := mustLine(t, "PEX", "1/2", tubes.Sleeve{}, 0, Burial{}, false)
	r := l.tube.Inside / 2
	alpha := besselZeros(1)[0]
	check.Alike(t, r*r/(alpha*alpha*w.Diffusivity()), l.MixingTime(w), 0.1, "τ")
}

func TestLaminarDispersionInTheEndIsTaylors(t *testing.T) {
	w := mustWater(t, 40)
	const speed, bore = 0.08, 0.0089
	kappa := w.Diffusivity()
	want := kappa * (1 + speed*speed*bore*bore/4/(48*kappa*kappa))
	check.Alike(t, want, laminarDispersion(w, speed, bore, math.Inf(1)), 1e-12, "K")
	check.Alike(t, want, laminarDispersion(w, speed, bore, 1e5), 1e-12, "K after a day")
	check.Alike(t, kappa, laminarDispersion(w, speed, bore, 0), 1e-12, "K at the start")
	check.Alike(t, kappa, laminarDispersion(w, 0, bore, 100), 1e-12, "K of still water")
}

// At high Reynolds numbers Taylor's 10.1 r u* is left.
func TestTurbulentDispersionTendsToTaylors(t *testing.T) {
	for re := 1e5; re <= 1e7; re *= 2 {
		shear := math.Sqrt(friction(re) / 8)
		check.Alike(t, 10.1*0.01*shear, turbulentDispersion(re, 1, 0.02), 0.003, "K")
	}
	assert.Greater(t, turbulentDispersion(4000, 1, 0.02), 3*10.1*0.01*math.Sqrt(friction(4000)/8))
}

func TestDispersionIsContinuousInFlow(t *testing.T) {
	for _, size := range []string{"3/8", "1"} {
		l := mustLine(t, "PEX", size, tubes.Sleeve{}, 0, Burial{}, false)
		w := mustWater(t, 40)
		const steps = 20000
		before := l.Dispersion(w, 0, 30)
		check.Alike(t, w.Diffusivity(), before, 1e-12, "K at rest")
		top := 0.0
		for i := 1; i <= steps; i++ {
			k := l.Dispersion(w, 0.4e-3*float64(i)/steps, 30)
			top = max(top, k)
			if !(math.Abs(k-before) < 0.01*top+1e-9) && i > 200 {
				t.Fatalf("K jumps from %g to %g at step %d", before, k, i)
			}
			before = k
		}
	}
}
