package placement

import (
	"cmp"
	"fmt"
	"slices"

	"pipelag/network"
)

// HomeRuns is a house of home runs whose manifolds are to be placed. A supply
// runs from the heater to each manifold; a fixture is served by the manifold
// that leaves least water on the way to it.
//
// A supply wider than the runs makes the heater itself the best place: it
// holds more on each metre than it saves. The runs alone count, and the
// manifolds move among the fixtures, where the supply is kept hot: give it 0.
type HomeRuns struct {
	Heater   network.Point
	Fixtures []network.Point
	Supply   float64   // water in a metre of supply [m³/m]
	Runs     []float64 // water in a metre of run, by fixture [m³/m]
	Weights  []float64 // by fixture, such as draws a day
}

// Place chooses places for count manifolds among candidates: for one, the best
// of all; for more, a set that no exchange of a manifold for another candidate
// betters, begun by adding the best one at a time. The runner-up is the best that
// exchanging one manifold for a place at least apart [m] from it leaves, so that it
// is another place and not its neighbour.
//
// Source: Teitz and Bart, Heuristic methods for estimating the generalized
// vertex median of a weighted graph, Oper. Res. 16, 1968; from memory.
func (h HomeRuns) Place(candidates []network.Point, count int, apart float64) (Result, error) {
	candidates = distinct(candidates)
	if err := cmp.Or(h.check(candidates, count), checkApart(apart)); err != nil {
		return Result{}, err
	}
	m := h.costs(candidates)
	r := Result{Tried: len(candidates)}
	if count == 1 {
		found := make([]Choice, len(candidates))
		for i, at := range candidates {
			found[i] = Choice{[]network.Point{at}, m.total([]int{i})}
		}
		return r.pick(found, apart)
	}
	var chosen []int
	for len(chosen) < count {
		next, _ := m.bestExchange(chosen, -1, 0)
		chosen = append(chosen, next)
	}
	for better := true; better; {
		better = false
		now := m.total(chosen)
		for k := range chosen {
			if next, volume := m.bestExchange(chosen, k, 0); next >= 0 && volume < now*(1-1e-12) {
				chosen[k], now, better = next, volume, true
			}
		}
	}
	r.Best = m.choice(chosen)
	for k := range chosen {
		if next, volume := m.bestExchange(chosen, k, apart); next >= 0 && (r.RunnerUp.At == nil || volume < r.RunnerUp.Volume) {
			other := slices.Clone(chosen)
			other[k] = next
			r.RunnerUp = m.choice(other)
		}
	}
	return r, nil
}

func (h HomeRuns) check(candidates []network.Point, count int) error {
	if len(h.Runs) != len(h.Fixtures) || len(h.Weights) != len(h.Fixtures) {
		return fmt.Errorf("runs of %d and weights of %d fixtures for %d", len(h.Runs), len(h.Weights), len(h.Fixtures))
	}
	if err := checkWeights(h.Weights); err != nil {
		return err
	}
	if !(count >= 1 && count <= len(candidates)) {
		return fmt.Errorf("%d manifolds among %d places; give from one to as many as there are places", count, len(candidates))
	}
	for _, at := range candidates {
		for _, f := range append([]network.Point{h.Heater}, h.Fixtures...) {
			if d := distance(at, f); !(d < 1e6) {
				return fmt.Errorf("a place at (%g, %g, %g) m is %g m from (%g, %g, %g) m", at.X, at.Y, at.Z, d, f.X, f.Y, f.Z)
			}
		}
	}
	return nil
}

// costs is the weighted volume to each fixture by way of each candidate,
// candidate after candidate.
type costs struct {
	at       []network.Point // the candidates
	fixtures int
	volume   []float64
}

func (h HomeRuns) costs(candidates []network.Point) costs {
	all := 0.0
	for _, w := range h.Weights {
		all += w
	}
	m := costs{candidates, len(h.Fixtures), make([]float64, 0, len(h.Fixtures)*len(candidates))}
	for _, at := range candidates {
		supply := h.Supply * distance(h.Heater, at)
		for f, place := range h.Fixtures {
			m.volume = append(m.volume, h.Weights[f]/all*(supply+h.Runs[f]*distance(at, place)))
		}
	}
	return m
}

func (m costs) of(candidate int) []float64 {
	return m.volume[candidate*m.fixtures : (candidate+1)*m.fixtures]
}

// total is the mean volume with each fixture served by the best of the chosen.
func (m costs) total(chosen []int) float64 {
	sum := 0.0
	for f := range m.fixtures {
		least := m.of(chosen[0])[f]
		for _, c := range chosen[1:] {
			least = min(least, m.of(c)[f])
		}
		sum += least
	}
	return sum
}

// bestExchange is the candidate, not chosen yet, that is best in the place of
// chosen[k] and at least apart from it, or in addition for k −1; of equals the
// first. It is −1 where there is none.
func (m costs) bestExchange(chosen []int, k int, apart float64) (candidate int, volume float64) {
	var rest []float64 // the best of the others by fixture
	for i, c := range chosen {
		switch {
		case i == k:
		case rest == nil:
			rest = slices.Clone(m.of(c))
		default:
			for f, v := range m.of(c) {
				rest[f] = min(rest[f], v)
			}
		}
	}
	candidate = -1
	for c, at := range m.at {
		if slices.Contains(chosen, c) || k >= 0 && distance(at, m.at[chosen[k]]) < apart {
			continue
		}
		sum := 0.0
		for f, v := range m.of(c) {
			if rest != nil {
				v = min(v, rest[f])
			}
			sum += v
		}
		if candidate < 0 || sum < volume {
			candidate, volume = c, sum
		}
	}
	return candidate, volume
}

func (m costs) choice(chosen []int) Choice {
	c := Choice{Volume: m.total(chosen)}
	for _, i := range chosen {
		c.At = append(c.At, m.at[i])
	}
	return c
}
