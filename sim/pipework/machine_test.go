package pipework

import (
	"fmt"
	"testing"
)

// Timed is the body of a benchmark, by name. The tables of speed run the same bodies.
type Timed struct {
	Name string
	Body func(*testing.B)
}

// Machine is what plain Go gets out of a core: the limits of any kernel.
var Machine = []Timed{
	{"multiply-add", multiplyAdd},
	{"triad in cache", func(b *testing.B) { triad(b, 1<<10) }},
	{"triad in memory", func(b *testing.B) { triad(b, 1<<22) }},
}

// BenchmarkMachine measures arithmetic and memory.
func BenchmarkMachine(b *testing.B) {
	for _, m := range Machine {
		b.Run(m.Name, m.Body)
	}
}

// sink keeps results from being left out.
var sink float64

func multiplyAdd(b *testing.B) {
	const rounds = 1000
	for b.Loop() {
		sink = chains(rounds)
	}
	perSecond(b, 2*12*rounds, "flop")
}

// chains is x ← m x + a on twelve numbers, as many as registers hold, none of which
// waits for another. It stands alone because what is assigned within a benchmark's loop
// is kept in memory.
//
//go:noinline
func chains(rounds int) float64 {
	m, a := 0.999, 0.001
	var x0, x1, x2, x3, x4, x5, x6, x7, x8, x9, x10, x11 float64
	for range rounds {
		x0 = x0*m + a
		x1 = x1*m + a
		x2 = x2*m + a
		x3 = x3*m + a
		x4 = x4*m + a
		x5 = x5*m + a
		x6 = x6*m + a
		x7 = x7*m + a
		x8 = x8*m + a
		x9 = x9*m + a
		x10 = x10*m + a
		x11 = x11*m + a
	}
	return x0 + x1 + x2 + x3 + x4 + x5 + x6 + x7 + x8 + x9 + x10 + x11
}

func triad(b *testing.B, n int) {
	to, one, other := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range one {
		one[i], other[i] = float64(i), 1
	}
	for b.Loop() {
		scaledSum(to, one, other)
	}
	perSecond(b, 3*8*n, "B")
}

// scaledSum is to ← one + s other, of as many numbers each: two arrays read, one written.
//
//go:noinline
func scaledSum(to, one, other []float64) {
	to, other = to[:len(one)], other[:len(one)]
	for i, x := range one {
		to[i] = x + 0.5*other[i]
	}
}

// perSecond reports a rate of what each round of a benchmark does n of.
func perSecond(b *testing.B, n int, of string) {
	b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), fmt.Sprintf("%s/s", of))
}
