package pipework

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// maxNodes is water and at most four wall nodes.
const maxNodes = 5

// matrix maps the temperatures of one cell's nodes, relative to its
// surroundings, over a time. Only the leading n×n part is used.
type matrix [maxNodes][maxNodes]float64

// coupling is the heat network of one metre of pipe: water, then the wall
// nodes from the inside out, then the surroundings.
//
//	C₀ dT₀/dt = −g₀ (T₀ − T₁)
//	C₁ dT₁/dt =  g₀ (T₀ − T₁) − g₁ (T₁ − T₂)
//	…
//	Cₙ dTₙ/dt =  gₙ₋₁ (Tₙ₋₁ − Tₙ) − gₒ (Tₙ − A)
type coupling struct {
	nodes    int
	capacity [maxNodes]float64     // C [J/(m K)]
	between  [maxNodes - 1]float64 // g: node i to node i+1 [W/(m K)]
	outer    float64               // gₒ: the last node to the surroundings [W/(m K)]
}

// generator is the matrix G of d(T−A)/dt = G (T−A) [1/s].
func (c *coupling) generator() matrix {
	var g matrix
	for i := range c.nodes {
		if i > 0 {
			g[i][i-1] += c.between[i-1] / c.capacity[i]
			g[i][i] -= c.between[i-1] / c.capacity[i]
		}
		if i < c.nodes-1 {
			g[i][i+1] += c.between[i] / c.capacity[i]
			g[i][i] -= c.between[i] / c.capacity[i]
		}
	}
	g[c.nodes-1][c.nodes-1] -= c.outer / c.capacity[c.nodes-1]
	return g
}

// exponential is exp(a·t) of the leading n×n part, by scaling and squaring a
// Taylor series: eight terms at a norm below 1/4 leave a remainder under 1e-11
// of the result.
func exponential(a *matrix, n int, t float64) matrix {
	norm := 0.0
	for i := range n {
		row := 0.0
		for j := range n {
			row += math.Abs(a[i][j]) * t
		}
		norm = max(norm, row)
	}
	squarings := 0
	for norm > 0.25 {
		norm /= 2
		squarings++
	}
	scaled := t / float64(uint64(1)<<squarings)
	var sum, term matrix
	for i := range n {
		sum[i][i], term[i][i] = 1, 1
	}
	for k := 1; k <= 8; k++ {
		term = product(&term, a, n)
		for i := range n {
			for j := range n {
				term[i][j] *= scaled / float64(k)
				sum[i][j] += term[i][j]
			}
		}
	}
	for range squarings {
		sum = product(&sum, &sum, n)
	}
	return sum
}

func product(a, b *matrix, n int) matrix {
	var c matrix
	for i := range n {
		for j := range n {
			for k := range n {
				c[i][j] += a[i][k] * b[k][j]
			}
		}
	}
	return c
}

// modes splits the relaxation of a cell into independent exponentials:
//
//	exp(G t) = Σ_k exp(−rate[k] t) part[k]
//
// ordered by rate, the slowest first. The slowest is the pipe as a whole
// cooling; the others are water and wall evening out.
type modes struct {
	rate [maxNodes]float64 // [1/s]
	part [maxNodes]matrix
}

// modes solves the eigenproblem of the generator, made symmetric by the
// square roots of the capacities.
func (c *coupling) modes() modes {
	g := c.generator()
	n := c.nodes
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, -g[i][j]*math.Sqrt(c.capacity[i]/c.capacity[j]))
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(s, true) {
		panic("pipework: the eigenvalues of a symmetric matrix did not converge")
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	var m modes
	for k, v := range eig.Values(nil) { // ascending
		m.rate[k] = max(v, 0) // rounding may leave a lossless mode just below zero
		for i := range n {
			for j := range n {
				m.part[k][i][j] = vectors.At(i, k) * vectors.At(j, k) * math.Sqrt(c.capacity[j]/c.capacity[i])
			}
		}
	}
	return m
}

// spreading is the dispersion number of water that would spread a front as much
// as moving whole cells of it past the wall does by itself [-]. G is the generator
// without loss, M = exp(G dt) what a shift of dt [s] does.
//
// A wave of small wave number θ, in radians by the cell, loses D θ² of its
// logarithm in a shift. To second order in θ, with φ the share of heat that is in
// the water, e what the water alone holds and y orthogonal to the capacities:
//
//	scheme:   D = φ/2 − φ²/2 + φ y₀   with (1 − M) y = M e − φ
//	pipe:     D = φ y₀                with −G dt y = e − φ
//
// and water of dispersion number d adds φ d to either.
// The difference lies between none, for a film that lets hardly anything through in
// a shift, where it would be lost in rounding, and (1−φ)/2, for a wall in instant
// equilibrium.
func (c *coupling) spreading(m, g *matrix, dt float64) float64 {
	n := c.nodes
	total := sum(c.capacity[:n])
	phi := c.capacity[0] / total
	if c.between[0]/c.capacity[0]*dt < 1e-3 {
		return 0
	}
	var scheme, pipe matrix
	var a, b [maxNodes]float64
	for i := range n {
		for j := range n {
			orthogonal := c.capacity[j] / total // picks the one y of many
			scheme[i][j] = orthogonal - m[i][j]
			pipe[i][j] = orthogonal - g[i][j]*dt
		}
		scheme[i][i]++
		a[i], b[i] = m[i][0]-phi, -phi
	}
	b[0]++
	solve(&scheme, &a, n)
	solve(&pipe, &b, n)
	return min(max((1-phi)/2+a[0]-b[0], 0), (1-phi)/2)
}

// solve replaces b by the x of a x = b in the leading n×n part, by elimination
// with row exchanges; a is used up.
func solve(a *matrix, b *[maxNodes]float64, n int) {
	for k := range n {
		pivot := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[pivot][k]) {
				pivot = i
			}
		}
		a[k], a[pivot], b[k], b[pivot] = a[pivot], a[k], b[pivot], b[k]
		for i := k + 1; i < n; i++ {
			f := a[i][k] / a[k][k]
			for j := k + 1; j < n; j++ {
				a[i][j] -= f * a[k][j]
			}
			b[i] -= f * b[k]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			b[i] -= a[i][j] * b[j]
		}
		b[i] /= a[i][i]
	}
}
