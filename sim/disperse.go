package sim

import "math"

// disperse spreads the water of a stream for one shift: heat passes between
// neighbouring cells by the dispersion number d = K dt/dx² of the face between
// them. Nothing passes the ends of the stream, nor into cells that have settled.
//
// From the dispersion number of the water that of the scheme is taken off, which
// spreads a front by itself where water and wall exchange heat cell by cell; see
// spreading. Where less than nothing is left, heat passes from cold to warm, but
// never so much that a new peak would rise.
func (w *pipework) disperse(s *stream) {
	b := &w.blending
	b.reset(w.pipes[s.pipes[0]].steady)
	gap, d := 0.0, 0.0
	for _, i := range s.pipes {
		p := &w.pipes[i]
		if p.stub() {
			gap += p.part
			continue
		}
		last := d
		d = p.dispersion() * s.ends
		k := p.settled
		if k > 0 {
			b.spread()
			b.reset(p.temp[0][min(k, p.whole)-1])
		}
		if k < p.whole {
			b.add(p.temp[0][k:p.whole], (last+d)/2/(1+gap), d)
		}
		gap = 0
		if p.part < 1 {
			gap = p.part
		}
	}
	b.spread()
}

// blending is a row of cells whose water spreads, gathered from several pipes.
type blending struct {
	before float64     // temperature upstream of the first [°C]
	from   [][]float64 // where they are from
	cells  []float64   // [°C]
	number []float64   // dispersion number of the face after each but the last
	most   float64     // of them
}

func (b *blending) reset(before float64) {
	b.before, b.from, b.cells, b.number, b.most = before, b.from[:0], b.cells[:0], b.number[:0], 0
}

// add appends cells with a dispersion number among them, and another at the joint.
func (b *blending) add(cells []float64, joint, number float64) {
	if len(b.cells) > 0 {
		b.number = append(b.number, joint)
	}
	b.from = append(b.from, cells)
	b.cells = append(b.cells, cells...)
	if number > b.most { // a joint's lies between those of its sides
		b.most = number
	}
	for range len(cells) - 1 {
		b.number = append(b.number, number)
	}
}

// spread spreads the row and puts its cells back. The scheme is explicit, in as
// many equal steps as keep every number under a half.
func (b *blending) spread() {
	steps := max(1, math.Ceil(b.most/0.5))
	for range int(steps) {
		b.step(1 / steps)
	}
	cells := b.cells
	for _, to := range b.from {
		cells = cells[copy(to, cells):]
	}
}

// levelWithin is the fall from one cell to the next that spreads nothing worth the
// trouble [K].
const levelWithin = 1e-3

// step moves heat between neighbours by a share of their dispersion numbers.
// Source: J. P. Boris and D. L. Book, Flux-corrected transport I, J. Comput.
// Phys. 11 (1973) 38, for the limit where a number is below nothing (from memory).
func (b *blending) step(share float64) {
	x := b.cells
	if len(b.number) == 0 {
		return
	}
	in, up := 0.0, b.before-x[0] // what came in from the cell before, and the fall across that face
	for j, d := range b.number {
		fall := x[j] - x[j+1]
		if math.Abs(fall) < levelWithin {
			x[j] += in
			in, up = 0, fall
			continue
		}
		flux := d * share * fall
		if d < 0 {
			down := fall
			if j+2 < len(x) {
				down = x[j+1] - x[j+2]
			}
			flux = -limited(-flux, up/2, down/2)
		}
		up = fall
		x[j] += in - flux
		in = flux
	}
	x[len(x)-1] += in
}

// limited is flux, or as much of it as neither of two falls of its sign is less
// than; none if one is of the other sign.
func limited(flux, up, down float64) float64 {
	if flux < 0 {
		return -limited(-flux, -up, -down)
	}
	if up < flux {
		flux = up
	}
	if down < flux {
		flux = down
	}
	if flux < 0 {
		return 0
	}
	return flux
}
