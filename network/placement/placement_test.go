package placement

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pipelag/internal/fault"
	"pipelag/network"
	"pipelag/network/tubes"
)

func run(t require.TestingT, kind, size string) network.Run {
	tube, err := tubes.Find(kind, size)
	require.NoError(t, err)
	return network.Run{Tube: tube, Zone: "indoors"}
}

func anyHouse(t *rapid.T, most int) HomeRuns {
	m := func(label string) float64 { return float64(rapid.IntRange(-15, 15).Draw(t, label)) }
	place := func(label string) network.Point {
		return network.Point{X: m(label + " x"), Y: m(label + " y"), Z: m(label+" z") / 5}
	}
	h := HomeRuns{Heater: place("heater"), Supply: float64(rapid.IntRange(0, 3).Draw(t, "supply")) * 1e-4}
	for range rapid.IntRange(1, most).Draw(t, "fixtures") {
		h.Fixtures = append(h.Fixtures, place("fixture"))
		h.Runs = append(h.Runs, float64(rapid.IntRange(1, 3).Draw(t, "run"))*1e-4)
		h.Weights = append(h.Weights, float64(rapid.IntRange(1, 9).Draw(t, "weight")))
	}
	return h
}

func (h HomeRuns) site() network.Site {
	s := network.Site{Heater: h.Heater}
	for i, f := range h.Fixtures {
		s.Fixtures = append(s.Fixtures, network.Stand{Name: string(rune('a' + i)), At: f})
	}
	return s
}

// median is where the weights on either side balance: what a sum of weighted
// distances is least at.
func median(at, weight []float64) float64 {
	order := make([]int, len(at))
	half := 0.0
	for i := range at {
		order[i] = i
		half += weight[i] / 2
	}
	slices.SortFunc(order, func(a, b int) int {
		if at[a] < at[b] {
			return -1
		}
		return 1
	})
	for _, i := range order {
		if half -= weight[i]; half <= 1e-15 {
			return at[i]
		}
	}
	return at[order[len(order)-1]]
}

// One manifold in the rectilinear plane: the known answer is the weighted median
// of heater and fixtures in x and in y (Hakimi 1964; Francis, McGinnis and White).
func TestOneManifoldIsTheWeightedMedian(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := anyHouse(t, 12)
		all := 0.0
		for _, w := range h.Weights {
			all += w
		}
		xs, ys, pull := []float64{h.Heater.X}, []float64{h.Heater.Y}, []float64{h.Supply * all}
		for f, p := range h.Fixtures {
			xs, ys, pull = append(xs, p.X), append(ys, p.Y), append(pull, h.Weights[f]*h.Runs[f])
		}
		r, err := h.Place(Plane(h.site(), 1), 1, 0)
		require.NoError(t, err)
		middle := network.Point{X: median(xs, pull), Y: median(ys, pull), Z: 1}
		want := 0.0
		for f, p := range h.Fixtures {
			want += h.Weights[f] / all * (h.Supply*distance(h.Heater, middle) + h.Runs[f]*distance(middle, p))
		}
		assert.LessOrEqual(t, math.Abs(r.Best.Volume-want), 1e-12*want+1e-18)

		// No place between the lines is better.
		elsewhere := network.Point{X: rapid.Float64Range(-15, 15).Draw(t, "x"), Y: rapid.Float64Range(-15, 15).Draw(t, "y"), Z: 1}
		other, err := h.Place([]network.Point{elsewhere}, 1, 0)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, other.Best.Volume, r.Best.Volume*(1-1e-12))
		if r.RunnerUp.At != nil {
			assert.GreaterOrEqual(t, r.RunnerUp.Volume, r.Best.Volume)
			assert.NotEqual(t, r.Best.At, r.RunnerUp.At)
		}
	})
}

// Two and three manifolds against every set of candidates there is.
func TestManifoldsAgainstExhaustiveSearch(t *testing.T) {
	sets, missed, worst := 0, 0, 0.0
	rapid.Check(t, func(t *rapid.T) {
		h := anyHouse(t, 5)
		candidates := Plane(h.site(), 1)
		if len(candidates) < 3 {
			return
		}
		count := rapid.IntRange(2, 3).Draw(t, "manifolds")
		r, err := h.Place(candidates, count, 0)
		require.NoError(t, err)
		m := h.costs(candidates)
		best := math.Inf(1)
		var try func(from int, chosen []int)
		try = func(from int, chosen []int) {
			if len(chosen) == count {
				best = min(best, m.total(chosen))
				return
			}
			for i := from; i < len(candidates); i++ {
				try(i+1, append(chosen[:len(chosen):len(chosen)], i))
			}
		}
		try(0, nil)
		sets++
		assert.GreaterOrEqual(t, r.Best.Volume, best*(1-1e-12), "nothing is better than the best of all")
		if over := r.Best.Volume - best; over > 1e-12*best+1e-18 {
			missed++
			worst = max(worst, over/max(best, 1e-9))
		}
	})
	t.Logf("%d houses, %d short of the best of all, by %.1f %% at most", sets, missed, 100*worst)
	assert.LessOrEqual(t, missed*10, sets, "an exchange that nothing betters is the best nine times in ten")
}

// Any arrangement by laying it out for every candidate, against the formula.
func TestSearchAgreesWithPlace(t *testing.T) {
	supply := run(t, "PEX", "3/8")
	rapid.Check(t, func(t *rapid.T) {
		h := anyHouse(t, 6)
		h.Supply = supply.Tube.Volume()
		var runs []network.Run
		for f := range h.Fixtures {
			if h.Fixtures[f] == h.Heater {
				h.Fixtures[f].X++
			}
			h.Runs[f] = supply.Tube.Volume()
			runs = append(runs, supply)
		}
		site := h.site()
		candidates := Plane(site, site.Heater.Z)
		r, err := Search(candidates, h.Weights, 0, func(at network.Point) (*network.Network, error) {
			return network.HomeRuns("home run", site, []network.Manifold{{Name: "manifold", At: at, Supply: supply}}, nil, runs, nil)
		})
		require.NoError(t, err)
		assert.Zero(t, r.Refused)
		want, err := h.Place(candidates, 1, 0)
		require.NoError(t, err)
		assert.LessOrEqual(t, math.Abs(r.Best.Volume-want.Best.Volume), 1e-9*want.Best.Volume+1e-15)
		assert.InDelta(t, r.Best.Gain(r.Best), 0, 1e-15)
	})
}

func TestHeaterMoved(t *testing.T) {
	site := network.Site{Heater: network.Point{X: -10}, Fixtures: []network.Stand{{Name: "a", At: network.Point{X: 4, Y: 1, Z: 1}}, {Name: "b", At: network.Point{X: 6, Y: 1, Z: 1}}}}
	trunk, branch := run(t, "copper L", "3/4"), run(t, "copper L", "1/2")
	lay := func(at network.Point) (*network.Network, error) {
		moved := site
		moved.Heater = at
		return network.TrunkAndBranch("trunk", moved, trunk, []network.Run{branch, branch})
	}
	now, err := lay(site.Heater)
	require.NoError(t, err)
	r, err := Search([]network.Point{{X: -10}, {X: 4, Y: 1, Z: 1}, {X: 5, Y: 1}, {X: 5.5, Y: 1}}, []float64{1, 1}, 1, lay)
	require.NoError(t, err)
	assert.Equal(t, []network.Point{{X: 5, Y: 1}}, r.Best.At)
	assert.Equal(t, []network.Point{{X: -10}}, r.RunnerUp.At, "the neighbour half a metre off is no runner-up")
	assert.Equal(t, 1, r.Refused, "a heater at a fixture")
	assert.ErrorContains(t, r.Why, "stands where the heater stands")
	assert.Greater(t, r.Best.Gain(Choice{Volume: Stored(now, []float64{1, 1})}), 0.8)
}

// A place named twice is one place, and neither an exchange of manifolds for each other nor
// a neighbour of the best is a runner-up. By hand: the manifolds at the fixtures leave
// nothing; with one of them 2 m off, its fixture has 2 m × 1 L/m at half the weight, 1 L.
func TestRunnerUpIsAnotherPlace(t *testing.T) {
	h := HomeRuns{Fixtures: []network.Point{{X: -9}, {X: 9}}, Runs: []float64{1e-3, 1e-3}, Weights: []float64{1, 1}}
	candidates := []network.Point{{X: -9}, {X: 9}, {X: -9}, {X: 9}, {X: 9, Y: 0.5}, {X: 9, Y: 2}}
	r, err := h.Place(candidates, 2, 1)
	require.NoError(t, err)
	assert.Equal(t, 4, r.Tried)
	assert.Equal(t, []network.Point{{X: -9}, {X: 9}}, r.Best.At)
	assert.Zero(t, r.Best.Volume)
	assert.Equal(t, []network.Point{{X: -9}, {X: 9, Y: 2}}, r.RunnerUp.At)
	assert.LessOrEqual(t, math.Abs(r.RunnerUp.Volume-1e-3), 1e-15)
	_, err = h.Place(candidates[:3], 3, 1)
	assert.ErrorContains(t, err, "3 manifolds among 2 places")

	one, err := Search([]network.Point{{X: 1}, {X: 1}}, []float64{1}, 0, func(at network.Point) (*network.Network, error) {
		r := run(t, "PEX", "1/2")
		return network.TrunkAndBranch("trunk", network.Site{Heater: at, Fixtures: []network.Stand{{Name: "a"}}}, r, []network.Run{r})
	})
	require.NoError(t, err)
	assert.Equal(t, 1, one.Tried)
	assert.Nil(t, one.RunnerUp.At)
}

func TestRefused(t *testing.T) {
	h := HomeRuns{Fixtures: []network.Point{{X: 1}}, Runs: []float64{1e-4}, Weights: []float64{1}}
	for want, place := range map[string]func() error{
		"no fixture has a weight": func() error {
			h := h
			h.Weights = []float64{0}
			_, err := h.Place([]network.Point{{}}, 1, 0)
			return err
		},
		"a weight of NaN": func() error {
			h := h
			h.Weights = []float64{math.NaN()}
			_, err := h.Place([]network.Point{{}}, 1, 0)
			return err
		},
		"weights of 0 fixtures":  func() error { h := h; h.Weights = nil; _, err := h.Place([]network.Point{{}}, 1, 0); return err },
		"2 manifolds among 1":    func() error { _, err := h.Place([]network.Point{{}}, 2, 0); return err },
		"a place at (NaN":        func() error { _, err := h.Place([]network.Point{{X: math.NaN()}}, 1, 0); return err },
		"no candidate":           func() error { _, err := Search(nil, []float64{1}, 0, nil); return err },
		"a runner-up NaN m away": func() error { _, err := Search(nil, []float64{1}, math.NaN(), nil); return err },
		"none of 1 candidates": func() error {
			_, err := Search([]network.Point{{}}, []float64{1}, 0, func(network.Point) (*network.Network, error) { return nil, errors.New("no") })
			return err
		},
	} {
		assert.ErrorContains(t, place(), want)
	}
}

// Twelve fixtures and 10 000 candidates, laying a trunk for each.
func big() (network.Site, []network.Point, []float64) {
	var site network.Site
	var weights []float64
	for i := range 12 {
		site.Fixtures = append(site.Fixtures, network.Stand{Name: string(rune('a' + i)), At: network.Point{X: float64(i*7%12) + 0.53, Y: float64(i*5%11) - 4.01, Z: 1}})
		weights = append(weights, float64(i%4+1))
	}
	var candidates []network.Point
	for x := range 100 {
		for y := range 100 {
			candidates = append(candidates, network.Point{X: float64(x) / 8, Y: float64(y)/8 - 5})
		}
	}
	return site, candidates, weights
}

func BenchmarkSearchTrunk10000(b *testing.B) {
	site, candidates, weights := big()
	trunk, branch := run(b, "copper L", "3/4"), run(b, "copper L", "1/2")
	runs := slices.Repeat([]network.Run{branch}, len(site.Fixtures))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Search(candidates, weights, 1, func(at network.Point) (*network.Network, error) {
			moved := site
			moved.Heater = at
			return network.TrunkAndBranch("trunk", moved, trunk, runs)
		}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlace10000(b *testing.B) {
	site, candidates, weights := big()
	h := HomeRuns{Supply: 1e-4, Weights: weights, Runs: slices.Repeat([]float64{2e-4}, len(weights))}
	for _, f := range site.Fixtures {
		h.Fixtures = append(h.Fixtures, f.At)
	}
	for _, c := range []struct {
		name  string
		count int
	}{{"one", 1}, {"three", 3}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				begin := time.Now()
				if _, err := h.Place(candidates, c.count, 0); err != nil || time.Since(begin) > 2*time.Second {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestFault: a fault in what lays pipes is told, and ends no program from within a
// goroutine; nor is it a place that gives no layout.
func TestFault(t *testing.T) {
	_, err := Search(make([]network.Point, 5), []float64{1}, 0, func(network.Point) (*network.Network, error) { panic("a hole in the wall") })
	if !errors.Is(err, fault.Err) || !strings.Contains(err.Error(), "a hole in the wall") {
		t.Error(err)
	}
}
