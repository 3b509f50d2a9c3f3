package sim

import (
	"math"

	"pipelag/network/limits"
	"pipelag/schedules"
	"pipelag/sim/pipework"
)

// ColdStart is a tap opened once with its pipes as cold as what surrounds them.
type ColdStart struct {
	Wait  float64 // for usable water [s]
	Drawn float64 // until then [m³]
	Risen float64 // drawn until it is limits.HotRise warmer than it first came [m³]; infinite where it never is
}

// ColdStarts opens every tap of a layout by itself from a cold start, each with a
// constant flow of hot water [m³/s], as NewTrace does. It is nil for a tap that
// has no flow, and where usable water never comes.
func ColdStarts(h *House, layout int, flows []float64) ([]*ColdStart, error) {
	calm := inCalm(h)
	p, err := newPlant(calm, &calm.Layouts[layout], pipework.Model{Grid: pipework.OpeningGrid})
	if err != nil {
		return nil, err
	}
	starts := make([]*ColdStart, len(flows))
	for f, flow := range flows {
		if !(flow > 0) {
			continue
		}
		t := newTracer(p, f, flow)
		t.follow()
		t.cold()
		if wait, risen, ok := t.arrival(h.Fixtures[f].Usable); ok {
			starts[f] = &ColdStart{wait, wait * flow, risen * flow}
		}
	}
	return starts, nil
}

// arrival runs the tap until its water is usable and has risen, and tells after what
// times [s] it is; false if it is never usable.
func (t *tracer) arrival(usable float64) (wait, risen float64, ok bool) {
	began := t.Now
	t.start()
	tap := t.path[len(t.path)-1]
	s := Series{Time: []float64{0}, Tap: []float64{t.Outlet(tap)}}
	warm := s.Tap[0] + limits.HotRise
	for s.Tap[len(s.Tap)-1] < max(usable, warm) {
		k, due := t.next()
		if due == never || due-began > mostVolumes*t.stored/t.flow {
			break
		}
		t.look(&s, k, due, began)
	}
	wait, ok = s.reaches(usable)
	risen, rises := s.reaches(warm)
	if !rises {
		risen = math.Inf(1)
	}
	return wait, risen, ok
}

// mostVolumes is how much of what the pipes hold runs out before water that is
// not usable is taken never to be.
const mostVolumes = 50 * seriesEnds

// inCalm is the house with its zones and mains at their mean temperatures of the year, and
// flows that are given rather than what the pressure passes.
func inCalm(h *House) *House {
	calm := *h
	calm.Supply = nil
	calm.Climate = schedules.Climate{Mains: constant(annualMean(h.Climate.Mains))}
	for _, z := range h.Climate.Zones {
		z.Temperature = constant(annualMean(z.Temperature))
		calm.Climate.Zones = append(calm.Climate.Zones, z)
	}
	return &calm
}
