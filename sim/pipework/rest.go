package pipework

import "math"

// relax lets pipe i cool until a time.
func (w *System) relax(i int, until float64) { w.letRest([]*pipe{&w.pipes[i]}, until) }

// relaxAll lets the pipes of a stream that is to begin cool until now. Those of one
// fabric and zone that follow each other and came to rest together cool as one.
func (w *System) relaxAll(s *stream) {
	for k := 0; k < len(s.sections); {
		first := &w.pipes[s.sections[k].pipe]
		w.group = w.group[:0]
		for ; k < len(s.sections); k++ {
			p := &w.pipes[s.sections[k].pipe]
			if p.fabric != first.fabric || p.zone != first.zone || p.clock != first.clock {
				break
			}
			w.group = append(w.group, p)
		}
		w.letRest(w.group, w.Now)
	}
}

// alikeAir is how far the air of a zone may go from what it was when a rest began
// before the rest goes on as another [K].
const alikeAir = 1

// letRest lets pipes of one fabric and zone that rest since one time cool, or warm,
// until a time [s] in the air of their zone: in one step for as long as that is alike.
func (p *Plan) letRest(pipes []*pipe, until float64) {
	for first := pipes[0]; first.clock < until; {
		end := p.alikeUntil(first.zone, first.clock, until)
		relax(pipes, end, p.Air(first.zone, (first.clock+end)/2))
	}
}

// alikeUntil is until when, but not beyond a time, the air of a zone stays as it is. Beyond
// the year it does not change.
func (p *Plan) alikeUntil(zone int, from, until float64) float64 {
	air, end := p.Air(zone, from), min(until, hour*float64(len(p.air[zone])))
	for t := (math.Floor(from/hour) + 1) * hour; t < end; t += hour {
		if math.Abs(p.Air(zone, t)-air) > alikeAir {
			return t
		}
	}
	return until
}

// Stand lets pipe i stand in air that stays as it is [°C], with water and wall at a
// temperature at first, and gives that of the water at times since then [s], in order.
func (p *Plan) Stand(i int, temperature, air float64, times []float64) []float64 {
	q := newPipe(p.conduits[i], temperature)
	var all []float64
	for _, t := range times {
		q.relax(t, air)
		all = append(all, q.temp[0][0])
	}
	return all
}

// relax lets a pipe at rest cool, or warm, until a time [s] in surroundings at
// ambient [°C].
func (p *pipe) relax(until, ambient float64) { relax([]*pipe{p}, until, ambient) }

// relax lets pipes of one fabric that rest since one time cool, or warm, as one: in one
// exchange for the whole rest, the same for every cell.
func relax(pipes []*pipe, until, ambient float64) {
	first := pipes[0]
	rest := until - first.clock
	if rest <= 0 {
		return
	}
	var e excess
	for _, p := range pipes {
		p.lasting(ambient, &e)
	}
	x := first.rest(e.mean(), rest, ambient)
	for _, p := range pipes {
		p.exchange(&x, 0)
		p.clock = until
	}
}

// lasting adds what outside will be once water and wall have evened out: the excess
// that belongs to the slowest of the settling modes [K].
func (p *pipe) lasting(ambient float64, e *excess) {
	to := &p.settling.part[0][p.nodes-1]
	for i := range p.cells {
		x := 0.0
		for j := range p.nodes {
			x += to[j] * (p.temp[j][i] - ambient)
		}
		e.add(x)
	}
}
