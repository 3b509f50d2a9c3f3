package pipework

// row is the water of a stream: cells one behind the other, from the inlet. A
// shift moves all water on by one cell. The first and the last hold what there is
// of a cell; what leaves in a shift is then the last and, to make up a cell, the end
// of the one before, of which a part stays behind:
//
//	out     = tail · T[n−1] + (1 − tail) · (T[n−2] + tail · slope / 2)
//	T'[n−1] = T[n−1] + (T[n−2] − out) / tail
//
// and what comes in is shared between the first cell and the second:
//
//	T'[0] = in
//	T'[1] = head · T[0] + (1 − head) · in
//
// What leaves until the next shift is thus known when a shift is done. It is so as
// long as the row holds what a shift moves; see fit.
type row struct {
	water  []float64 // temperature [°C]
	number []float64 // dispersion number of the face after each cell but the last, in a step [-]
	steps  int       // in which water disperses at each shift
	head   float64   // share of a shift that the first cell holds [-]
	tail   float64   // and the last; 1 for both where there is but one
	out    float64   // temperature of what leaves until the next shift [°C]

	// The first settled cells have the temperatures that they keep for ever under
	// inflow at steady, and need no work until either changes.
	settled int
	steady  float64 // [°C]
}

// promise works out what leaves until the next shift.
func (r *row) promise() {
	n, w := len(r.water), r.water
	last := w[n-1]
	switch {
	case r.tail == 1:
		r.out = last
	case n == 2:
		r.out = r.tail*last + (1-r.tail)*w[0]
	default:
		t := w[n-2]
		rise := slope(t-w[n-3], (last-t)*2/(1+r.tail)) / 2
		r.out = r.tail*last + (1-r.tail)*(t+r.tail*rise)
	}
}

// comes is the temperature of the water that flows to cell c in a shift, with water at
// in [°C] let in.
func (r *row) comes(c int, in float64) float64 {
	switch c {
	case 0:
		return in
	case 1:
		return r.head*r.water[0] + (1-r.head)*in
	}
	return r.water[c-1]
}

// stays is that of the water which is in the last cell after a shift: what came to it
// and did not leave.
func (r *row) stays(in float64) float64 {
	last := len(r.water) - 1
	return r.water[last] + (r.comes(last, in)-r.out)/r.tail
}

// shift moves all water on by one cell and lets in water at in [°C].
func (r *row) shift(in float64) {
	k, n := r.settled, len(r.water)
	if k == n {
		return
	}
	first, second, last := r.comes(k, in), 0.0, r.stays(in)
	if k == 0 && n > 2 {
		second = r.comes(1, in)
	}
	w := r.water[k:]
	copy(w[1:], w)
	w[0] = first
	if k == 0 && n > 2 {
		w[1] = second
	}
	w[len(w)-1] = last
}

// stop leaves the water where it is when a share filled of a shift has passed, with
// water at in [°C] let in. Water that stands between two cells is shared out between
// them: T'_i = T_i + φ (F_i − F_{i+1}), where φ is how far it has moved on and F the
// temperature of the water that crossed a face. Within a cell temperature is taken
// to rise in a straight line, which keeps a front that spans a few cells from
// spreading at every stop.
// Source: B. van Leer, Towards the ultimate conservative difference scheme II,
// J. Comput. Phys. 14 (1974) 361, for the slope (from memory).
func (r *row) stop(filled, in float64) {
	if filled == 0 {
		return
	}
	w, last := r.water, len(r.water)-1
	end := r.stays(in)
	before, entering := in, in // upstream of the cell as it was, and across its face
	for i := range last {
		t := w[i]
		leaving := t
		switch {
		case i == 0 && r.head < 1:
			leaving = r.head*t + (1-r.head)*in
			w[0] += filled * (in - t)
		default:
			if i < last-1 {
				leaving += (1 - filled) / 2 * slope(t-before, w[i+1]-t)
			}
			w[i] += filled * (entering - leaving)
		}
		before, entering = t, leaving
	}
	w[last] += filled * (end - w[last])
}

// slope is the harmonic mean of the steps to a cell and from it, or none at a peak.
func slope(to, from float64) float64 {
	if to*from <= 0 {
		return 0
	}
	return 2 * to * from / (to + from)
}

// disperse spreads the water for one shift: heat passes between neighbouring cells
// by the dispersion number d = K dt/dx² of the face between them. Nothing passes the
// ends of the row, nor into cells that have settled or hold less than a shift.
//
// From the dispersion number of the water that of the scheme is taken off, which
// spreads a front by itself where water and wall exchange heat cell by cell; see
// spreading. Where less than nothing is left, heat passes from cold to warm, but
// never so much that a new peak would rise.
//
// The scheme is explicit, in equal steps.
func (r *row) disperse() {
	k := r.settled
	if k >= len(r.water)-1 {
		return
	}
	before := r.steady
	if k > 0 {
		before = r.water[k-1]
	}
	for range r.steps {
		spread(r.water[k:], r.number[k:], before)
	}
}

// spread moves heat between neighbours by their dispersion numbers; before is the
// temperature upstream of the first.
func spread(x, number []float64, before float64) {
	here, next := x[0], x[1]
	in := 0.0                          // what came in from the cell before
	up, fall := before-here, here-next // the falls across the face before and this one
	number = number[:len(x)-1]
	for j, beyond := range x[2:] {
		down := next - beyond
		flux := crossing(number[j], up, fall, down)
		x[j] = here + in - flux
		in, up, fall = flux, fall, down
		here, next = next, beyond
	}
	flux := crossing(number[len(number)-1], up, fall, fall)
	x[len(x)-2] = here + in - flux
	x[len(x)-1] = next + flux
}

// crossing is what a dispersion number lets pass across a face with a fall of temperature,
// between the falls up and down the stream.
// Source: J. P. Boris and D. L. Book, Flux-corrected transport I, J. Comput.
// Phys. 11 (1973) 38, for the limit where a number is below nothing (from memory).
func crossing(number, up, fall, down float64) float64 {
	flux := number * fall
	if number < 0 && (fall*(up+2*flux) < 0 || fall*(down+2*flux) < 0) {
		return -limited(-flux, up/2, down/2)
	}
	return flux
}

// limited is flux, or as much of it as neither of two falls of its sign is less
// than; none if one is of the other sign.
func limited(flux, up, down float64) float64 {
	return max(0, min(flux, up, down)) + min(0, max(flux, up, down))
}
