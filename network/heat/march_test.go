package heat

import (
	"math"

	"pipelag/network/tubes"

	"gonum.org/v1/gonum/mat"
)

// resolved divides a wall into shells of equal thickness, each a node at the
// middle of its resistance.
func resolved(t tubes.Tube, shells int) wall {
	var l wall
	width := (t.Outside - t.Inside) / 2 / float64(shells)
	before := 0.0
	for i := range shells {
		in := t.Inside/2 + float64(i)*width
		out := in + width
		half := math.Log(out/in) / (2 * math.Pi * t.Material.Conductivity) / 2
		if i == 0 {
			l.inner = half
		} else {
			l.between = append(l.between, before+half)
		}
		l.capacity = append(l.capacity, t.Material.Density*t.Material.SpecificHeat*math.Pi*(out*out-in*in))
		before = half
	}
	l.outer = before
	return l
}

// opening is one tap opened on a pipe that stands at its surroundings'
// temperature.
type opening struct {
	tube       tubes.Tube
	water      Water
	flow       float64 // [m³/s]
	length     float64 // [m]
	start, hot float64 // [°C]
	film       float64 // outer surface to surroundings [W/(m K)]
	cells      int
}

// volumesUntil marches water through the pipe in whole cells, with water and
// wall exchanging heat by the matrix exponential between moves, half of it before
// and half after the middle of a step, and gives the pipe volumes drawn until the tap reaches each temperature. The
// targets rise; those the tap does not reach in sixty pipe volumes are left out.
func (o opening) volumesUntil(wall wall, targets []float64) []float64 {
	area := math.Pi * o.tube.Inside * o.tube.Inside / 4
	speed := o.flow / area
	step := o.length / float64(o.cells) / speed
	nodes := len(wall.capacity) + 1
	rate := mat.NewDense(nodes, nodes, nil)
	couple := func(i, j int, conductance, first, second float64) {
		rate.Set(i, i, rate.At(i, i)-conductance/first)
		rate.Set(i, j, conductance/first)
		rate.Set(j, j, rate.At(j, j)-conductance/second)
		rate.Set(j, i, conductance/second)
	}
	nu := nusselt(reynolds(o.water, speed, o.tube.Inside), o.water.prandtl())
	water := o.water.Density * o.water.SpecificHeat * area
	couple(0, 1, 1/(1/(math.Pi*o.water.Conductivity*nu)+wall.inner), water, wall.capacity[0])
	for i, r := range wall.between {
		couple(i+1, i+2, 1/r, wall.capacity[i], wall.capacity[i+1])
	}
	last := nodes - 1
	rate.Set(last, last, rate.At(last, last)-1/(wall.outer+1/o.film)/wall.capacity[last-1])
	rate.Scale(step, rate)
	var whole mat.Dense
	whole.Exp(rate)
	exchange := whole.RawMatrix().Data

	state := make([]float64, o.cells*nodes) // excess over the surroundings, as a share of the hot water's
	after := make([]float64, nodes)
	relax := func() {
		for c := range o.cells {
			cell := state[c*nodes : (c+1)*nodes]
			for i := range after {
				sum := 0.0
				for j, x := range cell {
					sum += exchange[i*nodes+j] * x
				}
				after[i] = sum
			}
			copy(cell, after)
		}
	}
	var volumes []float64
	before := 0.0
	for n := 0; n < 60*o.cells && len(volumes) < len(targets); n++ {
		tap := state[(o.cells-1)*nodes] // leaves in the middle of the step that follows
		for len(volumes) < len(targets) {
			wanted := (targets[len(volumes)] - o.start) / (o.hot - o.start)
			if tap < wanted {
				break
			}
			share := (wanted - before) / (tap - before)
			volumes = append(volumes, (float64(n)-0.5+share)/float64(o.cells))
		}
		before = tap
		for c := o.cells - 1; c > 0; c-- {
			state[c*nodes] = state[(c-1)*nodes]
		}
		state[0] = 1
		relax()
	}
	return volumes
}
