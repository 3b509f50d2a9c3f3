package pipework

import (
	"math"
	"testing"
)

// Kernels are what is done to cells as water moves: the exchange of heat between water
// and wall alone, and all that a shift by one cell takes (the move, dispersion, exchange,
// the loss of heat and a look at what has settled). None of the cells ever settles.
var Kernels = []Timed{
	{"exchange, metal", func(b *testing.B) { exchanging(b, "copper L", "3/4") }},
	{"exchange, plastic", func(b *testing.B) { exchanging(b, "PEX", "1/2") }},
	{"shift, metal", func(b *testing.B) { shifting(b, "copper L", "3/4") }},
	{"shift, plastic", func(b *testing.B) { shifting(b, "PEX", "1/2") }},
}

// BenchmarkKernel counts updates of cells: one for each time that a cell of water takes
// another's place.
func BenchmarkKernel(b *testing.B) {
	for _, k := range Kernels {
		b.Run(k.Name, k.Body)
	}
}

// way is one pipe of as many cells as the largest way to a tap has, with water that
// moves in it.
func way(b *testing.B, kind, size string) *System {
	n := rowOf(piece{tube: mustTube(b, kind, size), length: 20})
	w := NewSystem(mustPlan(b, n, 20, Model{}), 50, 15)
	w.draw(1e-4)
	if n := w.pipes[0].cells; n != DefaultCells/apartCoarser {
		b.Fatalf("%d cells", n)
	}
	return w
}

func exchanging(b *testing.B, kind, size string) {
	w := way(b, kind, size)
	for b.Loop() {
		w.streams[0].exchange()
	}
	perSecond(b, w.pipes[0].cells, "cells")
}

func shifting(b *testing.B, kind, size string) {
	w := way(b, kind, size)
	i := 0
	for b.Loop() {
		i++
		w.given[0] = 50 + 5*math.Sin(float64(i)/5) // comes and goes, so nothing settles
		k, due := w.Next()
		w.Now = due
		w.Shift(k)
	}
	if n := w.streams[0].settled; n > 0 {
		b.Fatalf("%d cells have settled", n)
	}
	perSecond(b, w.pipes[0].cells, "cells")
}
