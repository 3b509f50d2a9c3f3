package sim

import "math"

// pipework is all the pipes of a layout with water in them: what flows where,
// and how warm it is.
type pipework struct {
	*plant
	pipes  []pipe
	wanted []float64 // flow by pipe, as the open taps and the pump ask [m³/s]
	active []int     // pipes that flow, from the heater outwards
	now    float64   // [s]
}

// newPipework fills the pipes with water at the temperature of their surroundings.
func newPipework(p *plant) *pipework {
	w := &pipework{plant: p, wanted: make([]float64, len(p.conduits)), pipes: make([]pipe, len(p.conduits))}
	for i, c := range p.conduits {
		w.pipes[i] = newPipe(c, p.ambientAt(c.zone, 0))
	}
	return w
}

// reset takes the water back to how newPipework found it.
func (w *pipework) reset() {
	for i := range w.pipes {
		p := &w.pipes[i]
		p.flow, p.filled, p.inflow, p.lost, p.clock = 0, 0, 0, 0, 0
		p.settled, p.still = 0, false
		for j := range p.nodes {
			for k := range p.temp[j] {
				p.temp[j][k] = w.ambientAt(p.zone, 0)
			}
		}
	}
	w.active, w.now = w.active[:0], 0
}

// supply is the temperature of the water that pipe i takes in [°C].
func (w *pipework) supply(i int) float64 {
	if f := w.feed[i]; f >= 0 {
		return w.pipes[f].outlet()
	}
	return w.house.Heater.Setpoint
}

// route makes the pipes carry the wanted flows from now on.
func (w *pipework) route() {
	w.active = w.active[:0]
	for i := range w.pipes {
		p := &w.pipes[i]
		flow := w.wanted[i]
		if flow <= 0 {
			if p.flow > 0 {
				p.end(w.now)
			}
			continue
		}
		w.active = append(w.active, i)
		if p.flow == 0 {
			// Exchange at each shift stands for half a shift's time before it
			// and half after, so the rest is drawn out by half a shift.
			w.relax(i, w.now+p.cellVolume/flow/2)
			p.began = w.now
		}
		p.flow = flow
		w.renew(i)
	}
}

// renew takes the surroundings and the loss of a flowing pipe as they are now.
func (w *pipework) renew(i int) {
	p := &w.pipes[i]
	ambient := w.ambientAt(p.zone, w.now)
	excess := (w.supply(i)+p.outlet())/2 - ambient
	p.adjust(p.conduit.step(p.flow, excess, ambient))
}

// nextShift is how long until the next pipe has a cell's worth of new water.
// Pipes that have come to a steady state need no shifts.
func (w *pipework) nextShift() float64 {
	next := yearEnd
	for _, i := range w.active {
		p := &w.pipes[i]
		f := w.feed[i]
		p.still = p.settled == p.cells && (f < 0 || w.pipes[f].still) && math.Abs(w.supply(i)-p.steady) <= sameInflow
		if !p.still {
			next = min(next, (1-p.filled)*p.step.duration)
		}
	}
	return next
}

// advance moves water for dt [s], which must not be longer than nextShift.
func (w *pipework) advance(dt float64) {
	w.now += dt
	for _, i := range w.active {
		p := &w.pipes[i]
		in := w.supply(i)
		if p.still {
			p.lost += w.volume * p.flow * dt * (in - p.outlet())
			continue
		}
		share := dt / p.step.duration
		p.filled += share
		p.inflow += share * in
	}
	for _, i := range w.active {
		if p := &w.pipes[i]; !p.still && p.filled > 1-1e-9 {
			in := p.inflow / p.filled
			p.filled, p.inflow = 0, 0
			p.shift(in, w.now)
		}
	}
}

// rest brings the heat lost by pipes that stand still up to now.
func (w *pipework) rest() {
	for i := range w.pipes {
		if w.pipes[i].flow == 0 {
			w.relax(i, w.now)
		}
	}
}

// relax lets pipe i cool until a time.
func (w *pipework) relax(i int, until float64) {
	p := &w.pipes[i]
	p.relax(until, w.ambientAt(p.zone, (p.clock+until)/2))
}

// stored is the heat in all water and walls above 0 °C [J]; nothing may flow.
func (w *pipework) stored() float64 {
	heat := 0.0
	for i := range w.pipes {
		heat += w.pipes[i].stored()
	}
	return heat
}
