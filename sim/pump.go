package sim

import (
	"math"
	"math/rand/v2"
	"slices"

	"pipelag/schedules"
	"pipelag/schedules/random"
)

// switching is a pump's state through a year.
type switching struct {
	on   bool
	off  float64 // when it stops by itself, never if it does not [s]
	stop float64 // Demand: temperature at the loop's far end that stops it [°C]
	far  float64 // Demand: that temperature when last looked at [°C]
}

// calls are the times at which a demand pump is called on a day: some time
// before those draws that want hot water whose caller did not forget. Whether
// a call is forgotten depends on the draw alone, not on the layout.
func (p *Pump) calls(seed uint64, replicate, day int, wishes []schedules.Wish, into []float64) []float64 {
	key := random.NewKey(seed, "pump call", uint64(replicate), uint64(day))
	for i := range wishes {
		w := &wishes[i]
		if w.Kind == schedules.Brief {
			continue
		}
		var source rand.PCG
		key.With(uint64(w.Fixture)).With(math.Float64bits(w.Start)).Seed(&source)
		if rand.New(&source).Float64() < p.Likelihood {
			into = append(into, max(w.Start-p.Lead, float64(day)*Day))
		}
	}
	slices.Sort(into)
	return into
}

// call starts a demand pump, unless it runs or the far end of the loop is warm
// already; it reports whether it did.
func (s *switching) call(p *Pump, far, now float64) bool {
	if s.on || far >= p.Warm {
		return false
	}
	s.off = now + p.MaxRun
	s.stop, s.far = min(far+p.Rise, p.Warm), far
	return true
}

// see takes note that a cell of water took the place of the last at the far
// end, and when that makes a demand pump stop; cell is the time in which one
// passes [s]. As for a draw, a cell's temperature is that of its middle.
func (s *switching) see(p *Pump, far, now, cell float64) {
	if p.Control == Demand && far >= s.stop && s.far < s.stop {
		late := cell * ((s.stop-s.far)/(far-s.far) - 0.5)
		s.off = min(s.off, now+max(late, 0))
	}
	s.far = far
}
