package sampling

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"pipelag/scenarios"
)

func TestGrid(t *testing.T) {
	levels := []int{2, 3, 2}
	if n := GridSize(levels); n.Cmp(big.NewInt(12)) != 0 {
		t.Error(n)
	}
	seen := make(map[[3]int]bool)
	for i := range 12 {
		p := GridPoint(levels, i)
		seen[[3]int(p)] = true
	}
	if len(seen) != 12 {
		t.Errorf("%d of 12 combinations", len(seen))
	}
	if p := GridPoint(levels, 1); !slices.Equal(p, []int{0, 0, 1}) {
		t.Error(p)
	}
	if n := GridSize(slices.Repeat([]int{1000}, 30)); n.String() != "1"+string(slices.Repeat([]byte{'0'}, 90)) {
		t.Error(n)
	}
}

// TestStrata: each of n equal parts of each side holds one point.
func TestStrata(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, sides := rapid.IntRange(1, 60).Draw(t, "n"), rapid.IntRange(1, 8).Draw(t, "sides")
		points := LatinHypercube(n, sides, rapid.Uint64().Draw(t, "seed"))
		for k := range sides {
			held := make([]int, n)
			for i := range n {
				held[min(int(points.At(i, k)*float64(n)), n-1)]++
			}
			if slices.Max(held) != 1 {
				t.Fatalf("side %d: %v", k, held)
			}
		}
	})
}

// TestHaltonExtends: more points begin with the same ones, the same seed gives
// the same points and another others.
func TestHaltonExtends(t *testing.T) {
	few, many := Halton(40, 5, 7), Halton(100, 5, 7)
	if !mat.Equal(few, many.Slice(0, 40, 0, 5)) {
		t.Error("more points do not begin with the same ones")
	}
	if mat.Equal(few, Halton(40, 5, 8)) {
		t.Error("another seed gives the same points")
	}
}

// TestHaltonEven: in one dimension the first b^m points of base b put one into
// each of b^m equal parts, as the points of a (0, 1)-sequence do. The base of
// side k is the k-th prime.
//
// Source: H. Niederreiter, Random number generation and quasi-Monte Carlo
// methods, SIAM 1992, section 4.1, definition 4.2 (from memory).
func TestHaltonEven(t *testing.T) {
	for k, base := range []int{2, 3, 5} {
		n := base * base * base
		points := Halton(n, 3, 3)
		held := make([]int, n)
		for i := range n {
			held[int(points.At(i, k)*float64(n)*(1+1e-12))]++
		}
		if slices.Max(held) != 1 {
			t.Errorf("base %d: %v", base, held)
		}
	}
}

func TestMixture(t *testing.T) {
	points := mat.NewDense(2, 4, []float64{1, 2, 10, 20, 3, 4, 30, 40})
	for i, want := range [][]float64{{1, 2}, {10, 20}, {10, 2}, {1, 20}, {3, 4}, {30, 40}, {30, 4}, {3, 40}} {
		if got := Mixture(points, i); !slices.Equal(got, want) {
			t.Errorf("%d: %v, want %v", i, got, want)
		}
	}
}

// TestNumber: the median and quartiles of each distribution, from its own
// formula.
func TestNumber(t *testing.T) {
	for _, c := range []struct {
		name string
		r    scenarios.Range
		u    float64
		want float64
	}{
		{"uniform", scenarios.Range{From: 10, To: 20, Distribution: scenarios.Uniform}, 0.25, 12.5},
		{"log-uniform", scenarios.Range{From: 1, To: 100, Distribution: scenarios.LogUniform}, 0.5, 10},
		{"normal, far from its ends", scenarios.Range{From: -1e3, To: 1e3, Distribution: scenarios.Normal, Mean: 5, Deviation: 2}, 0.5, 5},
		// Half of what lies above the mean lies above the third quartile, 0.67449 σ.
		{"normal, cut at its mean", scenarios.Range{From: 0, To: 1e3, Distribution: scenarios.Normal, Mean: 0, Deviation: 1}, 0.5, 0.67449},
		// F(x) = (x − a)²/((b − a)(c − a)) below the peak c.
		{"triangular", scenarios.Range{From: 0, To: 1, Distribution: scenarios.Triangular, Peak: 1}, 0.25, 0.5},
		{"at its end", scenarios.Range{From: 0, To: 1, Distribution: scenarios.Uniform}, 1, 1},
	} {
		if got := Number(&c.r, c.u); !(math.Abs(got-c.want) <= 1e-5*math.Max(1, math.Abs(c.want))) {
			t.Errorf("%s: %g, want %g", c.name, got, c.want)
		}
	}
	steps := scenarios.Range{From: 120, To: 140, Steps: 3}
	if Step(&steps, 0) != 120 || Step(&steps, 1) != 130 || Step(&steps, 2) != 140 {
		t.Error("steps")
	}
}

// TestNumberWithin: no distribution leaves its range, and none runs back.
func TestNumberWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Float64Range(0.001, 100).Draw(t, "from")
		r := scenarios.Range{From: from, To: from * rapid.Float64Range(1.01, 50).Draw(t, "ratio")}
		r.Distribution = rapid.SampledFrom([]scenarios.Distribution{scenarios.Uniform, scenarios.LogUniform, scenarios.Normal, scenarios.Triangular}).Draw(t, "distribution")
		r.Mean = rapid.Float64Range(r.From, r.To).Draw(t, "mean")
		r.Deviation, r.Peak = (r.To-r.From)*rapid.Float64Range(0.05, 3).Draw(t, "deviation"), r.Mean
		u, v := rapid.Float64Range(0, 1).Draw(t, "u"), rapid.Float64Range(0, 1).Draw(t, "v")
		a, b := Number(&r, min(u, v)), Number(&r, max(u, v))
		if !(a >= r.From && a <= b && b <= r.To) {
			t.Fatalf("%g and %g of %+v", a, b, r)
		}
	})
}

func TestLevel(t *testing.T) {
	for _, c := range []struct {
		shares []float64
		u      float64
		want   int
	}{{nil, 0, 0}, {nil, 0.5, 1}, {nil, 1, 2}, {[]float64{0.5, 0.1, 0.4}, 0.49, 0}, {[]float64{0.5, 0.1, 0.4}, 0.55, 1}, {[]float64{0.5, 0.1, 0.4}, 0.999, 2}} {
		if got := Level(3, c.shares, c.u); got != c.want {
			t.Errorf("%v at %g: %d", c.shares, c.u, got)
		}
	}
}
