package pipework

import "slices"

// System is all the pipes of a layout with water in them: what flows where, and how
// warm it is.
//
// Between two shifts of a stream nothing happens to it but that water flows in
// at a constant temperature, so its state is brought up to now only when it
// shifts, when the stream that feeds it shifts, or when flows change.
type System struct {
	*Plan
	Now    float64   // the time; its owner moves it on, to that of Next at most [s]
	Wanted []float64 // flow by pipe from the next Route on; below 0 from the mains outwards in a cold line [m³/s]

	pipes   []pipe
	streams []*stream   // what flows, from the heater outwards
	before  []*stream   // room for those of before
	runs    []run       // of pipes, of which they are made
	laidOut [][]*stream // by pipe: all that ever ended with it
	of      []int       // by pipe: its stream, −1 at rest
	feed    []int       // by pipe, as the plan's, but for a cold line whose water goes the other way
	given   []float64   // by heater: temperature of the water it gives [°C]
	mains   float64     // and of that which comes in where a cold line begins [°C]
	flow    float64     // the flow whose place on the ladder was last looked up [m³/s]
	place   place
	group   []*pipe             // room for those that cool as one
	looked  [maxNodes][]float64 // room for the temperatures of a pipe that is looked at
	lost    []float64           // room for the losses of all
}

// NewSystem fills the pipes with water at the temperature of their surroundings, behind
// heaters and mains that give it at others [°C].
func NewSystem(p *Plan, given, mains float64) *System {
	w := &System{
		Plan:    p,
		Wanted:  make([]float64, len(p.conduits)),
		laidOut: make([][]*stream, len(p.conduits)),
		of:      make([]int, len(p.conduits)),
		feed:    p.feed,
		pipes:   make([]pipe, len(p.conduits)),
		lost:    make([]float64, len(p.conduits)),
		given:   slices.Repeat([]float64{given}, p.heaters),
		mains:   mains,
	}
	for i, c := range p.conduits {
		w.pipes[i] = newPipe(c, p.Air(c.zone, 0))
		w.of[i] = -1
	}
	if p.coldLine != nil {
		w.feed = slices.Clone(p.feed)
	}
	return w
}

// Weather takes over the surroundings of all streams as they are now.
func (w *System) Weather() {
	w.updateAll()
	for _, s := range w.streams {
		w.weatherIn(s)
	}
}

// Give lets heater h give water at a temperature [°C] from now on; what has left was
// that of before.
func (w *System) Give(h int, given float64) {
	if given == w.given[h] {
		return
	}
	for _, s := range w.streams {
		if w.source(s) == fromHeater(h) {
			w.update(s)
		}
	}
	w.given[h] = given
	for _, s := range w.streams {
		if w.source(s) == fromHeater(h) {
			w.await(s)
		}
	}
}

// updateAll brings all streams up to now.
func (w *System) updateAll() {
	for _, s := range w.streams {
		w.update(s)
	}
}

// Next is the stream that shifts next, and when; −1 and never if none will.
func (w *System) Next() (k int, due float64) {
	k, due = -1, never
	for j, s := range w.streams {
		if s.due < due {
			k, due = j, s.due
		}
	}
	return k, due
}

// Losses are the heat that each pipe has lost since they were last asked for, until the
// next time [J].
func (w *System) Losses() []float64 {
	w.updateAll()
	for _, s := range w.streams {
		w.credit(s)
	}
	for i := range w.pipes {
		p := &w.pipes[i]
		if w.of[i] < 0 {
			w.relax(i, w.Now)
		}
		w.lost[i], p.lost = p.lost, 0
	}
	return w.lost
}

// Stored is the heat in all water and walls above 0 °C [J]; nothing may flow.
func (w *System) Stored() float64 {
	heat := 0.0
	for i := range w.pipes {
		heat += w.pipes[i].stored()
	}
	return heat
}
