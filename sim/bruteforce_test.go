package sim

import (
	"math"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
)

// brute is a slow, plain solver of one row of pipes, to hold the engine against.
// It shares with the engine the films and the dispersion that package heat
// gives, and nothing else: the wall is resolved into shells, every cell has a
// loss of its own temperature at every step, dispersion passes the joints, time
// goes in small steps.
//
// All cells of the row hold the same volume, so that water moves by one cell
// everywhere at once; a pipe must hold a whole number of them.
type brute struct {
	water heat.Water
	cell  float64 // [m³]
	pipes []brutePipe
}

type brutePipe struct {
	line     heat.Line
	ambient  float64 // [°C]
	length   float64 // of a cell [m]
	flux     float64 // ρ c times the section [J/(m K)]
	capacity []float64
	between  []float64 // from node to node outwards; the first, with the film, is set by flow [W/(m K)]
	half     float64   // inner half of the first shell's resistance [m K/W]
	last     float64   // outer half of the last shell's [m K/W]
	film     []float64 // outside the tube by its surface's excess, in steps of filmStep [W/(m K)]
	temp     [][]float64
}

const filmStep = 0.5 // [K]

// explained is one coefficient of a line.
func explained(l *heat.Line, w heat.Water, flow, excess, ambient float64, symbol string) float64 {
	for _, c := range l.Explain(w, flow, excess, ambient) {
		if c.Symbol == symbol {
			return c.Value
		}
	}
	panic("no coefficient " + symbol)
}

// newBrute fills a row with water at the temperature of its rooms.
func newBrute(pipes []network.Pipe, ambients []float64, w heat.Water, cell float64, shells int) *brute {
	b := &brute{water: w, cell: cell}
	for i, p := range pipes {
		line, err := p.Line()
		if err != nil {
			panic(err)
		}
		area := p.Tube.Volume()
		q := brutePipe{line: line, ambient: ambients[i], length: cell / area, flux: line.WaterCapacity(w)}
		q.capacity = []float64{q.flux}
		q.between = []float64{0}
		m := p.Tube.Material
		if m.Metal {
			shells = min(shells, 3)
		}
		width := (p.Tube.Outside - p.Tube.Inside) / 2 / float64(shells)
		for k := range shells {
			in := p.Tube.Inside/2 + float64(k)*width
			out := in + width
			half := math.Log(out/in) / (2 * math.Pi * m.Conductivity) / 2
			if k == 0 {
				q.half = half
			} else {
				q.between = append(q.between, 1/(q.last+half))
			}
			q.capacity = append(q.capacity, m.Density*m.SpecificHeat*math.Pi*(out*out-in*in))
			q.last = half
		}
		q.film = outsideFilm(&line, p.Tube, ambients[i])
		for range int(math.Round(p.Volume() / cell)) {
			t := make([]float64, len(q.capacity))
			for j := range t {
				t[j] = ambients[i]
			}
			q.temp = append(q.temp, t)
		}
		b.pipes = append(b.pipes, q)
	}
	return b
}

// outsideFilm is the conductance from the tube's outer surface to its
// surroundings by the excess of that surface. The line knows it by the excess of
// the engine's outermost node, behind part of the wall: what is left of the
// resistance when the tube lies in ground that conducts perfectly.
func outsideFilm(l *heat.Line, tube tubes.Tube, ambient float64) []float64 {
	cast, err := heat.NewLine(tube, tubes.Sleeve{}, 0, heat.Burial{Depth: 1, Conductivity: 1e12}, false)
	if err != nil {
		panic(err)
	}
	behind := 1 / cast.Outer(1, ambient)
	film := make([]float64, 0, int(100/filmStep))
	surface, last := 0.0, 1/(1/l.Outer(0, ambient)-behind)
	for excess := filmStep; len(film) < cap(film); excess += filmStep {
		g := l.Outer(excess, ambient)
		next := excess * (1 - g*behind)
		now := g * excess / next
		for at := float64(len(film)) * filmStep; at <= next && len(film) < cap(film); at = float64(len(film)) * filmStep {
			film = append(film, last+(at-surface)/(next-surface)*(now-last))
		}
		surface, last = next, now
	}
	return film
}

// loss is the conductance from the last shell, at an excess, to the surroundings.
func (q *brutePipe) loss(excess float64) float64 {
	surface, film := math.Abs(excess), 0.0
	for range 2 { // the surface is hardly cooler than the shell under it
		x := surface / filmStep
		i := min(int(x), len(q.film)-2)
		film = q.film[i] + (x-float64(i))*(q.film[i+1]-q.film[i])
		surface = math.Abs(excess) / (1 + q.last*film)
	}
	return film / (1 + q.last*film)
}

// flowing sets the film between water and wall.
func (b *brute) flowing(flow float64) {
	for i := range b.pipes {
		q := &b.pipes[i]
		bore := math.Sqrt(4 / math.Pi * b.cell / q.length)
		h := explained(&q.line, b.water, flow, 20, q.ambient, "h_i")
		q.between[0] = 1 / (1/(h*math.Pi*bore) + q.half)
	}
}

// exchange lets heat pass between water, shells and surroundings for dt [s], in
// two implicit stages (Alexander 1977), of second order and without ringing
// whatever the step.
func (b *brute) exchange(dt float64) {
	stage := 1 - 1/math.Sqrt2
	for i := range b.pipes {
		q := &b.pipes[i]
		n := len(q.capacity)
		x, pivot, rate := make([]float64, n), make([]float64, n), make([]float64, n)
		for _, t := range q.temp {
			g := q.loss(t[n-1] - q.ambient)
			copy(x, t)
			for k := range 2 {
				if k == 1 {
					for j := range n {
						x[j] = t[j] + dt*(1-stage)*rate[j]
					}
				}
				// (C − a dt G) x' = C x, from the water outwards and back.
				a := stage * dt
				for j := range n {
					diagonal, right := q.capacity[j], q.capacity[j]*x[j]
					if j < n-1 {
						diagonal += a * q.between[j]
					} else {
						diagonal += a * g
						right += a * g * q.ambient
					}
					if j > 0 {
						in := a * q.between[j-1]
						diagonal += in - in*in/pivot[j-1]
						right += in / pivot[j-1] * rate[j-1]
					}
					pivot[j], rate[j] = diagonal, right
				}
				for j := n - 1; j >= 0; j-- {
					after := rate[j]
					if j < n-1 {
						after += a * q.between[j] * rate[j+1]
					}
					rate[j] = after / pivot[j]
				}
				for j := range n { // the rate of this stage, from where it ends
					end := rate[j]
					rate[j] = (end - x[j]) / a
					x[j] = end
				}
			}
			copy(t, x)
		}
	}
}

// disperse spreads the water along the row for dt, backward in time, through
// the joints but not through the row's ends.
func (b *brute) disperse(flow, elapsed, dt float64) {
	var water []*float64
	var resistance []float64 // of half a cell to dispersion [s/m³]
	for i := range b.pipes {
		q := &b.pipes[i]
		k := q.line.Dispersion(b.water, flow, elapsed)
		for _, t := range q.temp {
			water = append(water, &t[0])
			resistance = append(resistance, q.length/2/(k*b.cell/q.length))
		}
	}
	n := len(water)
	pass := func(i int) float64 { return dt / (resistance[i] + resistance[i+1]) / b.cell }
	ratio := make([]float64, n)
	for i, t := range water {
		diagonal, right := 1.0, *t
		if i > 0 {
			diagonal += pass(i-1) * (1 - ratio[i-1])
			right += pass(i-1) * *water[i-1]
		}
		if i < n-1 {
			diagonal += pass(i)
			ratio[i] = pass(i) / diagonal
		}
		*t = right / diagonal
	}
	for i := n - 2; i >= 0; i-- {
		*water[i] += ratio[i] * *water[i+1]
	}
}

// move takes the water one cell on and gives the temperature that left.
func (b *brute) move(in float64) float64 {
	for i := range b.pipes {
		q := &b.pipes[i]
		for _, t := range q.temp {
			t[0], in = in, t[0]
		}
	}
	return in
}

// run draws water until it is usable and at least volume [m³] in all; it gives
// what was drawn until usable, and in all. It gives up at limit.
func (b *brute) run(flow, inlet, usable, volume, limit float64) (purged, drawn float64) {
	b.flowing(flow)
	dt := b.cell / flow
	last := &b.pipes[len(b.pipes)-1]
	before := last.temp[len(last.temp)-1][0]
	purged = -1
	if before >= usable {
		purged = 0
	}
	for drawn < limit && (purged < 0 || drawn < volume) {
		b.exchange(dt / 2)
		out := b.move(inlet)
		b.disperse(flow, drawn/flow+dt/2, dt)
		b.exchange(dt / 2)
		if purged < 0 && out >= usable {
			// Cells leave with their middles half a cell into the step.
			purged = max(0, drawn+b.cell*((usable-before)/(out-before)-0.5))
		}
		before = out
		drawn += b.cell
	}
	return purged, drawn
}

// rest lets the row stand, in steps that grow from a tenth of a second to a minute.
func (b *brute) rest(duration float64) {
	b.flowing(0)
	for dt := 0.1; duration > 0; dt = min(dt*1.05, 60) {
		dt = min(dt, duration)
		b.exchange(dt)
		duration -= dt
	}
}
