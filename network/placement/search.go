// Package placement searches for the place of a heater or of manifolds that
// leaves the least water standing between hot water and the taps, weighted by
// how often each is used.
//
// The measure is the stored volume alone. Not weighed: what a place costs, whether
// walls and floors allow it, draws that follow one another along a shared pipe
// (which speak for long shared supplies), and pressure.
package placement

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"pipelag/internal/fault"
	"pipelag/network"
)

// Choice is a place for each thing moved, and what it leaves.
type Choice struct {
	At     []network.Point
	Volume float64 // stored on the way to a tap, the mean over uses [m³]
}

// Result is what a search found.
type Result struct {
	Best     Choice
	RunnerUp Choice // At is nil where there is no other
	Tried    int
	Refused  int   // candidates that gave no layout
	Why      error // the first refusal
}

// Gain is how much less is stored here than at another choice, as a share of the
// other; 0 where nothing is stored there.
func (c Choice) Gain(from Choice) float64 {
	if from.Volume == 0 {
		return 0
	}
	return (from.Volume - c.Volume) / from.Volume
}

// Search tries every candidate with the layout that lay makes for it, whatever
// is moved: heater or manifold, in any arrangement. Where a layout has a loop,
// its water is kept hot and only that beyond it counts. Of equals the first
// candidate is best. The runner-up stands at least apart [m] from the best by
// developed length, so that it is another place and not its neighbour.
//
// weights are by fixture, such as draws a day; they need not add up to anything.
// lay is called from several goroutines at once; the result does not depend on
// how many.
func Search(candidates []network.Point, weights []float64, apart float64, lay func(network.Point) (*network.Network, error)) (Result, error) {
	if err := cmp.Or(checkWeights(weights), checkApart(apart)); err != nil {
		return Result{}, err
	}
	candidates = distinct(candidates)
	volumes, refusals := make([]float64, len(candidates)), make([]error, len(candidates))
	var next atomic.Int64
	var crew sync.WaitGroup
	faults := make([]error, min(runtime.GOMAXPROCS(0), len(candidates)))
	for w := range faults {
		crew.Go(func() {
			defer fault.Catch(&faults[w])
			for i := next.Add(1) - 1; int(i) < len(candidates); i = next.Add(1) - 1 {
				n, err := lay(candidates[i])
				if err == nil && len(n.Taps) != len(weights) {
					err = fmt.Errorf("layout %q: weights of %d fixtures for %d", n.Name, len(weights), len(n.Taps))
				}
				if refusals[i] = err; err == nil {
					volumes[i] = Stored(n, weights)
				}
			}
		})
	}
	crew.Wait()
	if err := cmp.Or(faults...); err != nil {
		return Result{}, err
	}
	r := Result{Tried: len(candidates)}
	var found []Choice
	for i, at := range candidates {
		if refusals[i] != nil {
			r.Refused++
			r.Why = cmp.Or(r.Why, refusals[i])
			continue
		}
		found = append(found, Choice{[]network.Point{at}, volumes[i]})
	}
	return r.pick(found, apart)
}

// Stored is the water standing on the way to a tap, the mean over uses [m³];
// from the loop where there is one.
func Stored(n *network.Network, weights []float64) float64 {
	hot := make([]bool, len(n.Pipes))
	for _, i := range n.Loop() {
		hot[i] = true
	}
	to := make([]float64, len(n.Pipes))
	for i, p := range n.Pipes {
		if hot[i] {
			continue
		}
		to[i] = p.Volume()
		if p.Feed >= 0 {
			to[i] += to[p.Feed]
		}
	}
	var sum, all float64
	for f, pipe := range n.Taps {
		sum += weights[f] * to[pipe]
		all += weights[f]
	}
	return sum / all
}

// pick finds the best and the runner-up.
func (r Result) pick(found []Choice, apart float64) (Result, error) {
	if len(found) == 0 {
		if r.Why != nil {
			return r, fmt.Errorf("none of %d candidates gave a layout; the first: %w", r.Tried, r.Why)
		}
		return r, errors.New("there is no candidate place")
	}
	best := 0
	for i, c := range found {
		if c.Volume < found[best].Volume {
			best = i
		}
	}
	r.Best = found[best]
	for i, c := range found {
		if i != best && distance(c.At[0], r.Best.At[0]) >= apart && (r.RunnerUp.At == nil || c.Volume < r.RunnerUp.Volume) {
			r.RunnerUp = c
		}
	}
	return r, nil
}

// distance is the developed length between two places [m].
func distance(p, q network.Point) float64 {
	return math.Abs(p.X-q.X) + math.Abs(p.Y-q.Y) + math.Abs(p.Z-q.Z)
}

// distinct leaves out places that came before: one that is named twice, or that stands at
// the height of two manifolds, is one place.
func distinct(candidates []network.Point) []network.Point {
	seen := make(map[network.Point]bool, len(candidates)) // looked up only
	var kept []network.Point
	for _, at := range candidates {
		if !seen[at] {
			seen[at] = true
			kept = append(kept, at)
		}
	}
	return kept
}

func checkApart(apart float64) error {
	if !(apart >= 0) {
		return fmt.Errorf("a runner-up %g m away; give a distance from 0", apart)
	}
	return nil
}

func checkWeights(weights []float64) error {
	sum := 0.0
	for i, w := range weights {
		if !(w >= 0) || math.IsInf(w, 1) {
			return fmt.Errorf("fixture %d: a weight of %g; it is from 0", i, w)
		}
		sum += w
	}
	if !(sum > 0) {
		return errors.New("no fixture has a weight; give at least one above 0")
	}
	return nil
}

// Plane lists the places at a height where a line along x and a line along y
// through heater or fixtures cross. For pipes at right angles, whose stored
// volume is linear between such lines, no other place in the plane is better.
//
// Source: Hanan, On Steiner's problem with rectilinear distance, SIAM J. Appl.
// Math. 14, 1966; from memory.
func Plane(site network.Site, height float64) []network.Point {
	xs, ys := []float64{site.Heater.X}, []float64{site.Heater.Y}
	for _, f := range site.Fixtures {
		xs, ys = append(xs, f.At.X), append(ys, f.At.Y)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	xs, ys = slices.Compact(xs), slices.Compact(ys)
	places := make([]network.Point, 0, len(xs)*len(ys))
	for _, x := range xs {
		for _, y := range ys {
			places = append(places, network.Point{X: x, Y: y, Z: height})
		}
	}
	return places
}
