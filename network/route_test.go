package network

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// fitted lists a network's pipes with their fittings: elbows, tees through,
// tees round the corner.
func fitted(n *Network) string {
	var b strings.Builder
	for _, p := range n.Pipes {
		fmt.Fprintf(&b, "%s > %s: %.6g", p.From, p.To, p.Length)
		if p.Rise != 0 {
			fmt.Fprintf(&b, " rise %.6g", p.Rise)
		}
		fmt.Fprintf(&b, " %s %d/%d/%d\n", p.Tube.Size, p.Fittings.Elbows, p.Fittings.TeeRuns, p.Fittings.TeeBranches)
	}
	return b.String()
}

// Plans drawn by hand, heater at the origin; fittings counted on the drawing.
func TestRoutesDrawnByHand(t *testing.T) {
	fixtures := []Stand{{"kitchen", Point{10, 3, 1}}, {"bath", Point{6, -2, 0.5}}}
	site := Site{Fixtures: fixtures}
	cases := []struct {
		name string
		lay  func() (*Network, error)
		want string
	}{
		{"trunk and branch", func() (*Network, error) {
			return TrunkAndBranch("plan", site, trunkRun, each(branchRun, site))
		}, `
heater > tee 1: 6 3/4 0/0/0
tee 1 > foot of bath: 2 1/2 0/0/1
foot of bath > bath: 0.5 rise 0.5 1/2 1/0/0
tee 1 > tee 2: 4 3/4 0/1/0
tee 2 > foot of kitchen: 3 1/2 1/0/0
foot of kitchen > kitchen: 1 rise 1 1/2 1/0/0
`},
		{"home run", func() (*Network, error) {
			return homeRun(site, Point{2, 1, 1})
		}, `
heater > foot of manifold: 3 3/4 1/0/0
foot of manifold > manifold: 1 rise 1 3/4 1/0/0
manifold > kitchen: 10 3/8 1/1/0
manifold > head of bath: 7 3/8 1/0/1
head of bath > bath: 0.5 rise -0.5 3/8 1/0/0
`},
		{"short tree", func() (*Network, error) {
			return ShortTree("plan", site, trunkRun, each(branchRun, site))
		}, `
heater > tee 1: 6 3/4 0/0/0
tee 1 > foot of bath: 2 1/2 0/0/1
foot of bath > bath: 0.5 rise 0.5 1/2 1/0/0
tee 1 > foot of kitchen: 7 1/2 1/1/0
foot of kitchen > kitchen: 1 rise 1 1/2 1/0/0
`},
		{"the long way round", func() (*Network, error) {
			return TrunkByWay("plan", site, trunkRun, []Point{{Y: -2}, {8, -2, 0}, {8, 3, 0}}, each(branchRun, site))
		}, `
heater > tee 1: 8 3/4 1/0/0
tee 1 > tee 2: 7 3/4 1/1/0
tee 2 > foot of kitchen: 2 1/2 1/0/0
foot of kitchen > kitchen: 1 rise 1 1/2 1/0/0
tee 1 > bath: 0.5 rise 0.5 1/2 0/0/1
`},
		{"two manifolds, one long", func() (*Network, error) {
			return HomeRuns("plan", Site{Fixtures: append(slices.Clone(fixtures), Stand{"sink", Point{11, 3, 1}})}, []Manifold{
				{Name: "main", At: Point{4, 0, 1}, Supply: trunkRun, Body: trunkRun, Port: 0.05},
				{Name: "second", At: Point{10, 0, 1}, Feed: "main", Supply: branchRun, Body: branchRun, Port: 0.05},
			}, nil, []Run{smallRun, smallRun, smallRun}, [][]Point{nil, nil, {{11, 0, 3}}})
		}, `
heater > foot of main: 4 3/4 0/0/0
foot of main > main: 1 rise 1 3/4 1/0/0
main > head of bath: 4 3/8 1/0/1
head of bath > bath: 0.5 rise -0.5 3/8 1/0/0
main > second: 6 1/2 0/1/0
second > kitchen: 3 3/8 0/0/1
second > port 2 of second: 0.05 1/2 0/1/0
port 2 of second > turn 1 to sink: 1 3/8 0/0/0
turn 1 to sink > turn 2 to sink: 2 rise 2 3/8 1/0/0
turn 2 to sink > head of sink: 3 3/8 1/0/0
head of sink > sink: 2 rise -2 3/8 1/0/0
`},
		{"loop with branches of 1 m at most", func() (*Network, error) {
			return LoopWithin("plan", site, trunkRun, smallRun, each(branchRun, site), 1)
		}, `
heater > tee 1: 7.5 3/4 1/0/0
tee 1 > tee 2: 8.5 3/4 1/0/1
tee 2 > kitchen: 1 rise 1 1/2 1/0/0
tee 1 > foot of bath: 0.5 1/2 0/1/0
foot of bath > bath: 0.5 rise 0.5 1/2 1/0/0
tee 2 > heater: 13 3/8 1/0/0
`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			n, err := c.lay()
			require.NoError(t, err)
			assert.Equal(t, strings.TrimPrefix(c.want, "\n"), fitted(n))
		})
	}
}

func TestRoutesRefused(t *testing.T) {
	site := Site{Fixtures: []Stand{{"a", Point{4, 2, 0}}}}
	one := each(branchRun, site)
	main := Manifold{Name: "main", At: Point{X: 1}, Supply: trunkRun, Body: trunkRun}
	home := func(m Manifold, from []int, vias [][]Point) func() (*Network, error) {
		return func() (*Network, error) { return HomeRuns("plan", site, []Manifold{m}, from, one, vias) }
	}
	with := func(spoil func(*Manifold)) Manifold { m := main; spoil(&m); return m }
	cases := map[string]struct {
		lay  func() (*Network, error)
		want string
	}{
		"way-point behind the heater": {func() (*Network, error) {
			return TrunkByWay("plan", site, trunkRun, []Point{{X: -3}, {X: 4}}, one)
		}, "way-point 2 is not on the route: the route runs back on itself"},
		"way-point beyond the last take-off": {func() (*Network, error) {
			return TrunkByWay("plan", site, trunkRun, []Point{{X: 4}, {X: 9}}, one)
		}, "way-point 2 is not on the route, since no fixture"},
		"way-point not a number": {func() (*Network, error) {
			return TrunkByWay("plan", site, trunkRun, []Point{{X: math.NaN()}}, one)
		}, "NaN"},
		"no way-point": {func() (*Network, error) { return TrunkByWay("plan", site, trunkRun, nil, one) }, "has none"},
		"run's last way-point overshoots": {
			home(main, nil, [][]Point{{{6, 0, 0}}}),
			`run to "a": way-point 1, the last, is not on the route`,
		},
		"fixture served by none":  {home(main, []int{1}, nil), "served by manifold 1 of 1"},
		"manifolds too few":       {home(main, []int{}, nil), "manifolds for 0 of 1 fixtures"},
		"way-points too many":     {home(main, nil, [][]Point{nil, nil}), "way-points of 2 runs for 1 fixtures"},
		"no such feeding":         {home(with(func(m *Manifold) { m.Feed = "second" }), nil, nil), `fed by "second", which is no manifold listed before`},
		"ports far apart":         {home(with(func(m *Manifold) { m.Port = 2 }), nil, nil), "between ports"},
		"ports NaN apart":         {home(with(func(m *Manifold) { m.Port = math.NaN() }), nil, nil), "between ports"},
		"manifold far away":       {home(with(func(m *Manifold) { m.At.X = math.Inf(1) }), nil, nil), "not within"},
		"no manifold":             {func() (*Network, error) { return HomeRuns("plan", site, nil, nil, one, nil) }, "no manifold"},
		"loop not needed":         {func() (*Network, error) { return LoopWithin("plan", site, trunkRun, smallRun, one, 6) }, "no loop is needed"},
		"longest branch negative": {func() (*Network, error) { return LoopWithin("plan", site, trunkRun, smallRun, one, -1) }, "longest branch"},
		"longest branch long":     {func() (*Network, error) { return LoopWithin("plan", site, trunkRun, smallRun, one, 1001) }, "a longest branch of 1001 m; give a length from 0 to 1000 m"},
		"longest branch NaN":      {func() (*Network, error) { return LoopWithin("plan", site, trunkRun, smallRun, one, math.NaN()) }, "longest branch"},
		"runs missing":            {func() (*Network, error) { return ShortTree("plan", site, trunkRun, nil) }, "0 runs"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			n, err := c.lay()
			assert.ErrorContains(t, err, c.want)
			assert.Nil(t, n)
		})
	}
}

// soundRoutes checks what holds for every layout generated from a site.
func soundRoutes(t *rapid.T, site Site, n *Network) {
	require.NoError(t, n.Validate())
	shownWhereLaid(t, site, n)
	for i, f := range site.Fixtures {
		assert.GreaterOrEqual(t, n.PathLength(i), apart(site.Heater, f.At)-1e-9, "no way is shorter than right angles allow")
		rise := 0.0
		for _, p := range n.Path(i) {
			rise += n.Pipes[p].Rise
		}
		check.Within(t, f.At.Z-site.Heater.Z, rise, 1e-9, "height gained")
	}
	for _, p := range n.Pipes {
		assert.True(t, p.Length > 0 && (p.Rise == 0 || math.Abs(p.Rise) <= p.Length))
		assert.True(t, p.Fittings.Elbows >= 0 && p.Fittings.TeeRuns+p.Fittings.TeeBranches <= 1)
	}
}

// shownWhereLaid checks that routes go from the heater to the fixtures and are as
// long and rise as far as the pipes they are of.
func shownWhereLaid(t *rapid.T, site Site, n *Network) {
	for i, p := range n.Pipes {
		route := n.Route(i)
		begin := site.Heater
		if p.Feed >= 0 {
			feed := n.Route(p.Feed)
			begin = feed[len(feed)-1]
		}
		check.Within(t, 0, apart(begin, route[0]), 1e-9, "a pipe begins where its feed ends")
		length, rise := 0.0, route[len(route)-1].Z-route[0].Z
		for k := 1; k < len(route); k++ {
			length += apart(route[k-1], route[k])
		}
		check.Within(t, p.Rise, rise, 1e-9, "rise of a route")
		check.Within(t, p.Rise, n.Climb(i), 1e-9, "climb below one heater")
		if len(route) > 1 { // no spacing of ports
			check.Within(t, p.Length, length, 1e-9, "length of a route")
		}
	}
	for f, i := range n.Taps {
		if i >= 0 {
			route := n.Route(i)
			check.Within(t, 0, apart(site.Fixtures[f].At, route[len(route)-1]), 1e-9, "a route ends at its fixture")
		}
	}
	if last := len(n.Return) - 1; last >= 0 {
		route := n.Route(n.Return[last])
		check.Within(t, 0, apart(site.Heater, route[len(route)-1]), 1e-9, "a return line ends at the heater")
	}
}

// spread is the half-perimeter of the box round heater and fixtures: no tree is
// shorter, and the shortest for three places is as short (Hanan 1966).
func spread(site Site) float64 {
	low, high := site.Heater, site.Heater
	for _, f := range site.Fixtures {
		low = Point{min(low.X, f.At.X), min(low.Y, f.At.Y), min(low.Z, f.At.Z)}
		high = Point{max(high.X, f.At.X), max(high.Y, f.At.Y), max(high.Z, f.At.Z)}
	}
	return apart(low, high)
}

// shortest is the length of the shortest rectilinear tree in plan, by trying
// every set of extra places on the grid through the given ones (Hanan 1966).
func shortest(site Site) float64 {
	places := []Point{site.Heater}
	var xs, ys []float64
	for _, f := range site.Fixtures {
		places = append(places, f.At)
	}
	for _, p := range places {
		xs, ys = append(xs, p.X), append(ys, p.Y)
	}
	var grid []Point
	for _, x := range xs {
		for _, y := range ys {
			grid = append(grid, Point{x, y, site.Heater.Z})
		}
	}
	best := spanning(places)
	var try func(from, extra int, with []Point)
	try = func(from, extra int, with []Point) {
		best = min(best, spanning(with))
		if extra == 0 {
			return
		}
		for i := from; i < len(grid); i++ {
			try(i+1, extra-1, append(with[:len(with):len(with)], grid[i]))
		}
	}
	try(0, len(places)-2, places)
	return best
}

// spanning is the length of the shortest tree without extra places.
func spanning(places []Point) float64 {
	left := slices.Clone(places[1:])
	reach := make([]float64, len(left))
	for i, p := range left {
		reach[i] = apart(places[0], p)
	}
	total := 0.0
	for len(left) > 0 {
		k := slices.Index(reach, slices.Min(reach))
		total += reach[k]
		at := left[k]
		left, reach = slices.Delete(left, k, k+1), slices.Delete(reach, k, k+1)
		for i, p := range left {
			reach[i] = min(reach[i], apart(at, p))
		}
	}
	return total
}

func TestShortTreeHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		n, err := ShortTree("plan", site, trunkRun, each(branchRun, site))
		require.NoError(t, err)
		soundRoutes(t, site, n)
		apartly := 0.0
		for _, f := range site.Fixtures {
			apartly += apart(site.Heater, f.At)
		}
		assert.LessOrEqual(t, n.Length(), apartly+1e-9, "separate runs would be shorter")
		assert.GreaterOrEqual(t, n.Length(), spread(site)-1e-9)
		if n.LoopEnd >= 0 {
			pumped, err := n.WithReturn("pumped", site, smallRun)
			require.NoError(t, err)
			check.Within(t, pumped.sum(pumped.pathTo(pumped.LoopEnd), Pipe.length), pumped.sum(pumped.Return, Pipe.length), 1e-9, "back as far as out")
		}
	})
}

func TestShortTreeAgainstShortest(t *testing.T) {
	worst := 1.0
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		site.Fixtures = site.Fixtures[:min(4, len(site.Fixtures))]
		for i := range site.Fixtures {
			f := &site.Fixtures[i].At
			f.Z = site.Heater.Z
			if *f == site.Heater {
				f.X++
			}
		}
		n, err := ShortTree("plan", site, trunkRun, each(branchRun, site))
		require.NoError(t, err)
		least := shortest(site)
		slack := shared / perMetre * float64(len(site.Fixtures))
		assert.GreaterOrEqual(t, n.Length(), least-1e-9)
		if len(site.Fixtures) < 3 {
			assert.LessOrEqual(t, n.Length(), least+slack, "the shortest for two fixtures")
			check.Within(t, spread(site), least, 1e-9, "the shortest tree for three places is half the box")
		}
		assert.LessOrEqual(t, n.Length(), 1.5*least+slack, "Hwang 1976: a spanning tree is at most half longer")
		if least > 1 {
			worst = max(worst, n.Length()/least)
		}
	})
	t.Logf("longest against the shortest: %.3f", worst)
}

func TestLoopWithinHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		longest := float64(rapid.IntRange(0, 600).Draw(t, "longest")) / 100
		n, err := LoopWithin("plan", site, trunkRun, smallRun, each(branchRun, site), longest)
		if err != nil {
			assert.ErrorContains(t, err, "no loop is needed")
			for _, f := range site.Fixtures {
				assert.LessOrEqual(t, apart(site.Heater, f.At), longest+1e-9)
			}
			return
		}
		soundRoutes(t, site, n)
		loop := n.Loop()
		for i, f := range site.Fixtures {
			branch := 0.0
			for _, p := range n.Path(i) {
				if !slices.Contains(loop, p) {
					branch += n.Pipes[p].Length
				}
			}
			assert.LessOrEqual(t, branch, longest+shared/perMetre+1e-9, f.Name)
		}
	})
}

func TestTrunkByWayHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		var via []Point
		for range rapid.IntRange(1, 4).Draw(t, "way-points") {
			via = append(via, anySite(t).Heater)
		}
		n, err := TrunkByWay("plan", site, trunkRun, via, each(branchRun, site))
		if err != nil {
			assert.ErrorContains(t, err, "way-point")
			return
		}
		soundRoutes(t, site, n)
	})
}

func TestHomeRunsHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		one := Manifold{Name: "manifold", At: anySite(t).Heater, Supply: trunkRun, Body: trunkRun}
		second := Manifold{Name: "second", At: anySite(t).Heater, Feed: "manifold", Supply: branchRun, Body: branchRun, Port: 0.05}
		n, err := HomeRuns("plan", site, []Manifold{one, second}, nil, each(smallRun, site), nil)
		require.NoError(t, err)
		soundRoutes(t, site, n)
		served := 0
		for i, f := range site.Fixtures {
			check.Within(t, min(apart(one.At, f.At), apart(second.At, f.At)), n.PathLength(i)-n.bodyAndSupply(i), 1e-9, "a run from the nearer manifold")
			if strings.HasPrefix(n.end(n.runStart(i)), "port ") || n.end(n.runStart(i)) == "second" {
				served++
			}
		}
		ports := 0
		for _, p := range n.Pipes {
			if strings.HasPrefix(p.To, "port ") {
				check.Within(t, 0.05, p.Length, 1e-9, "a spacing")
				ports++
			}
		}
		assert.Equal(t, max(served-1, 0), ports, "n ports have n − 1 spacings")
	})
}

// runStart is the last pipe on the way to a fixture that is supply or manifold,
// told by its tube; −1 for the heater.
func (n *Network) runStart(fixture int) int {
	start := -1
	for _, i := range n.Path(fixture) {
		if n.Pipes[i].Tube.Size != smallRun.Tube.Size {
			start = i
		}
	}
	return start
}

func (n *Network) bodyAndSupply(fixture int) float64 {
	return n.sum(n.pathTo(n.runStart(fixture)), Pipe.length)
}

func BenchmarkForty(b *testing.B) {
	var site Site
	for i := range 40 {
		site.Fixtures = append(site.Fixtures, Stand{fmt.Sprint("fixture ", i), Point{float64(i*7%40)/2 + 0.3, float64(i*5%21)/2 - 4.9, float64(i % 5)}})
	}
	runs := each(branchRun, site)
	for _, c := range []struct {
		name string
		lay  func() (*Network, error)
	}{
		{"trunk and branch", func() (*Network, error) { return TrunkAndBranch("plan", site, trunkRun, runs) }},
		{"short tree", func() (*Network, error) { return ShortTree("plan", site, trunkRun, runs) }},
		{"loop within 3 m", func() (*Network, error) { return LoopWithin("plan", site, trunkRun, smallRun, runs, 3) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.lay(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
