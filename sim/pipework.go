package sim

import "math"

// pipework is all the pipes of a layout with water in them: what flows where,
// and how warm it is.
//
// Between two shifts of a pipe nothing happens to it but that water flows in at
// a constant temperature, so its state is brought up to now only when it
// shifts, when the pipe that feeds it shifts, or when flows change.
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

// supply is the temperature of the water that pipe i takes in [°C].
func (w *pipework) supply(i int) float64 { return w.outlet(w.feed[i]) }

// outlet is the temperature of the water at the end of pipe i, or at the
// heater if i is −1 [°C].
func (w *pipework) outlet(i int) float64 {
	if i < 0 {
		return w.house.Heater.Setpoint
	}
	return w.pipes[i].outlet()
}

// route makes the pipes carry the wanted flows from now on.
func (w *pipework) route() {
	w.updateAll()
	w.active = w.active[:0]
	for i := range w.pipes {
		p := &w.pipes[i]
		flow := w.wanted[i]
		if flow > 0 {
			w.active = append(w.active, i)
		}
		switch {
		case flow == p.flow:
		case flow <= 0:
			p.end(w.now)
		default:
			if p.flow == 0 {
				// Exchange at each shift stands for half a shift's time before
				// it and half after, so the rest is drawn out by half a shift.
				w.relax(i, w.now+p.cellVolume/flow/2)
				p.began, p.since, p.due = w.now, w.now, w.now
			}
			p.flow = flow
			w.renew(i)
		}
	}
}

// weather takes over the surroundings of all flowing pipes as they are now.
func (w *pipework) weather() {
	w.updateAll()
	for _, i := range w.active {
		w.renew(i)
	}
}

// renew takes over the flow, the surroundings and the loss of a flowing pipe as
// they are now. The pipe, and those it feeds, must be up to date.
func (w *pipework) renew(i int) {
	p := &w.pipes[i]
	ambient := w.ambientAt(p.zone, w.now)
	still := p.still()
	p.excess = p.outside(ambient)
	p.step = p.conduit.step(p.flow, p.excess, ambient)
	p.settled = 0
	if still { // it most likely is so again, a trifle warmer or cooler
		p.steady = w.supply(i)
		p.settle()
	}
	w.await(i)
}

// updateAll brings all flowing pipes up to now.
func (w *pipework) updateAll() {
	for _, i := range w.active {
		w.update(i)
	}
}

// update brings pipe i up to now.
func (w *pipework) update(i int) {
	p := &w.pipes[i]
	dt := w.now - p.since
	if dt == 0 {
		return
	}
	p.since = w.now
	in := w.supply(i)
	if p.still() {
		p.lost += w.volume * p.flow * dt * (in - p.outlet())
		return
	}
	share := dt / p.step.duration
	p.filled += share
	p.inflow += share * in
}

// await works out when pipe i will next have a cell's worth of new water. A
// pipe that has come to a steady state needs no shifts.
func (w *pipework) await(i int) {
	p := &w.pipes[i]
	if p.settled == p.cells && math.Abs(w.supply(i)-p.steady) <= sameInflow {
		p.due = never
		return
	}
	p.due = p.since + (1-p.filled)*p.step.duration
}

// next is the pipe that shifts next, and when; −1 and never if none will.
func (w *pipework) next() (pipe int, due float64) {
	pipe, due = -1, never
	for _, i := range w.active {
		if d := w.pipes[i].due; d < due {
			pipe, due = i, d
		}
	}
	return pipe, due
}

// shift moves the water in pipe i on by one cell; the pipe must be due now.
func (w *pipework) shift(i int) {
	p := &w.pipes[i]
	w.update(i)
	for _, k := range w.children[i] {
		if w.pipes[k].flow > 0 {
			w.update(k) // with the water that has left until now
		}
	}
	in := p.inflow / p.filled
	p.filled-- // to within the resolution of the clock, the rest of which stays
	p.inflow -= in
	p.shift(in, w.now)
	if e := p.outside(p.step.ambient); math.Abs(e-p.excess) > 0.05*p.excess+0.1 {
		p.excess = e // the loss follows the temperature of the pipe
		p.step = p.conduit.step(p.flow, e, p.step.ambient)
		p.settled = 0
	}
	w.await(i)
	for _, k := range w.children[i] {
		if w.pipes[k].flow > 0 {
			w.await(k)
		}
	}
}

// rest brings the heat lost by all pipes up to now.
func (w *pipework) rest() {
	for i := range w.pipes {
		if w.pipes[i].flow > 0 {
			w.update(i)
		} else {
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
