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
	on    bool
	since float64 // when it started [s]
	stop  float64 // Demand: temperature at the loop's far end that stops it [°C]
	calls []float64
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
	s.since = now
	s.stop = min(far+p.Rise, p.Warm)
	return true
}

// due is when the pump switches off by itself, if nothing warms it first.
func (s *switching) due(p *Pump) float64 {
	if p.Control == Continuous {
		return never
	}
	return s.since + p.MaxRun
}

// warm tells whether the far end is warm enough to switch the pump off.
func (s *switching) warm(p *Pump, far float64) bool {
	return p.Control == Demand && far >= s.stop
}
