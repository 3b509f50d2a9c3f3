package network

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func each(r Run, site Site) []Run { return slices.Repeat([]Run{r}, len(site.Fixtures)) }

// Plans drawn by hand, heater at the origin.
func TestTrunkAndBranchPlans(t *testing.T) {
	cases := []struct {
		name     string
		fixtures []Stand
		want     string
		loopEnd  string
	}{
		{
			"two take-offs 0.2 m apart share a tee",
			[]Stand{{"kitchen", Point{10, 3, 1}}, {"bath", Point{6, -2, 0.5}}, {"shower", Point{10.2, -4, 2}}},
			`
heater > tee 1: 6 3/4
tee 1 > foot of bath: 2 1/2
foot of bath > bath: 0.5 rise 0.5 1/2
tee 1 > tee 2: 4 3/4
tee 2 > foot of kitchen: 3 1/2
foot of kitchen > kitchen: 1 rise 1 1/2
tee 2 > foot of shower: 4.2 1/2
foot of shower > shower: 2 rise 2 1/2
`, "tee 2",
		},
		{
			"spine along the wall the fixtures stand at",
			[]Stand{{"sink", Point{4, 5, 0}}, {"shower", Point{-3, 5, 1}}, {"bath", Point{2, 6, 0}}},
			`
heater > tee 1: 5 3/4
tee 1 > tee 2: 2 3/4
tee 2 > bath: 1 1/2
tee 2 > sink: 2 3/4
tee 1 > tee 3: 3 3/4
tee 3 > shower: 1 rise 1 1/2
`, "sink",
		},
		{
			"a fixture beside the stem tees off there",
			[]Stand{
				{"a", Point{6, 8, 0}},
				{"b", Point{-6, 8, 0}},
				{"c", Point{1, 4, 0}},
				{"d", Point{3, 8, 0}},
				{"e", Point{-3, 8, 0}},
			},
			`
heater > tee 1: 4 3/4
tee 1 > c: 1 1/2
tee 1 > tee 2: 4 3/4
tee 2 > d: 3 3/4
d > a: 3 3/4
tee 2 > e: 3 3/4
e > b: 3 3/4
`, "a",
		},
		{
			"all in a line on both sides",
			[]Stand{{"a", Point{3, 0, 0}}, {"b", Point{7, 0, 0}}, {"c", Point{-2, 0, 0}}},
			`
heater > a: 3 3/4
a > b: 4 3/4
heater > c: 2 3/4
`, "b",
		},
		{
			"two at the same spot, the corner an elbow",
			[]Stand{{"sink", Point{5, 2, 1}}, {"dishwasher", Point{5, 2, 1}}},
			`
heater > tee 1: 7 3/4
tee 1 > sink: 1 rise 1 1/2
tee 1 > dishwasher: 1 rise 1 1/2
`, "tee 1",
		},
		{
			"two at the same spot on the trunk",
			[]Stand{{"sink", Point{5, 0, 0}}, {"dishwasher", Point{5, 0, 0}}},
			"\nheater > sink and dishwasher: 5 3/4\n", "sink and dishwasher",
		},
		{
			"right above the heater",
			[]Stand{{"sink", Point{0, 0, 3}}},
			"\nheater > sink: 3 rise 3 1/2\n", "",
		},
		{
			"below the heater",
			[]Stand{{"sink", Point{0, 4, -3}}},
			`
heater > tee 1: 4 3/4
tee 1 > sink: 3 rise -3 1/2
`, "tee 1",
		},
		{
			"beside the heater, nearer than tees may stand",
			[]Stand{{"sink", Point{0.2, 1, -1}}, {"tub", Point{-0.1, -2, 0}}},
			`
heater > tee 1: 2 3/4
tee 1 > tub: 0.1 1/2
heater > tee 2: 1 3/4
tee 2 > head of sink: 0.2 1/2
head of sink > sink: 1 rise -1 1/2
`, "tee 1",
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			site := Site{Fixtures: c.fixtures}
			n, err := TrunkAndBranch("plan", site, trunkRun, each(branchRun, site))
			require.NoError(t, err)
			assert.Equal(t, strings.TrimPrefix(c.want, "\n"), drawing(n))
			if c.loopEnd == "" {
				assert.Equal(t, -1, n.LoopEnd)
				return
			}
			assert.Equal(t, c.loopEnd, n.end(n.LoopEnd))
		})
	}
}

func TestSiteRefused(t *testing.T) {
	sound := []Stand{{"a", Point{1, 2, 3}}}
	cases := map[string]struct {
		site Site
		runs int
		want string
	}{
		"no fixtures":         {Site{}, 0, "no fixture"},
		"runs missing":        {Site{Fixtures: sound}, 0, "0 runs for 1 fixtures"},
		"at the heater":       {Site{Heater: Point{1, 2, 3}, Fixtures: sound}, 1, "stands where the heater stands"},
		"not a number":        {Site{Fixtures: []Stand{{"a", Point{math.NaN(), 0, 0}}}}, 1, `fixture "a": (NaN`},
		"infinitely far":      {Site{Fixtures: []Stand{{"a", Point{0, 0, math.Inf(-1)}}}}, 1, "not within"},
		"heater not a number": {Site{Heater: Point{Y: math.NaN()}, Fixtures: sound}, 1, "NaN"},
		"kilometres away":     {Site{Fixtures: []Stand{{"a", Point{0, 2000, 0}}}}, 1, "not within"},
		"no name":             {Site{Fixtures: []Stand{{"", Point{1, 0, 0}}}}, 1, `called ""`},
		"called heater":       {Site{Fixtures: []Stand{{"heater", Point{1, 0, 0}}}}, 1, `called "heater"`},
		"same name":           {Site{Fixtures: []Stand{{"a", Point{1, 0, 0}}, {"a", Point{2, 0, 0}}}}, 2, `called "a"`},
		"called as a tee":     {Site{Fixtures: []Stand{{"tee 1", Point{1, 2, 0}}, {"b", Point{5, 1, 0}}}}, 2, `from "tee 1" to itself`},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := TrunkAndBranch("plan", c.site, trunkRun, slices.Repeat([]Run{branchRun}, c.runs))
			assert.ErrorContains(t, err, c.want)
		})
	}
}

func TestRunRefused(t *testing.T) {
	site := Site{Fixtures: []Stand{{"a", Point{1, 2, 3}}}}
	_, err := TrunkAndBranch("plan", site, trunkRun, []Run{{}})
	assert.ErrorContains(t, err, "bore")
}

// anySite draws a house with places in whole centimetres, often in line with
// one another.
func anySite(t *rapid.T) Site {
	cm := rapid.OneOf(rapid.IntRange(-2000, 2000), rapid.IntRange(-3, 3), rapid.Just(500))
	place := func(label string) Point {
		return Point{
			float64(cm.Draw(t, label+" x")) / 100, float64(cm.Draw(t, label+" y")) / 100, float64(cm.Draw(t, label+" z")) / 100,
		}
	}
	site := Site{Heater: place("heater")}
	for i := range rapid.IntRange(1, 9).Draw(t, "fixtures") {
		at := place("fixture")
		if at == site.Heater {
			at.Z++
		}
		site.Fixtures = append(site.Fixtures, Stand{string(rune('a' + i)), at})
	}
	return site
}

// anyUnpumped is a trunk with branches, or home runs, to a site's fixtures.
func anyUnpumped(t *rapid.T, site Site) *Network {
	n, err := TrunkAndBranch("trunk", site, trunkRun, each(branchRun, site))
	if rapid.Bool().Draw(t, "home run") {
		n, err = homeRun(site, anySite(t).Heater)
	}
	require.NoError(t, err)
	return n
}

func apart(p, q Point) float64 {
	return math.Abs(p.X-q.X) + math.Abs(p.Y-q.Y) + math.Abs(p.Z-q.Z)
}

// singleTrunk is the length of the shortest trunk and branches with a tee for
// every fixture, a stem, and a spine along x: the best offset is a median of
// the heater's and the fixtures'.
func singleTrunk(site Site) float64 {
	xs, ys, total := []float64{site.Heater.X}, []float64{site.Heater.Y}, 0.0
	for _, f := range site.Fixtures {
		xs, ys = append(xs, f.At.X), append(ys, f.At.Y)
		total += math.Abs(f.At.Z - site.Heater.Z)
	}
	slices.Sort(ys)
	for _, y := range ys {
		total += math.Abs(y - ys[len(ys)/2])
	}
	return total + slices.Max(xs) - slices.Min(xs)
}

func mapped(site Site, f func(Point) Point) Site {
	m := Site{Heater: f(site.Heater)}
	for _, s := range site.Fixtures {
		m.Fixtures = append(m.Fixtures, Stand{s.Name, f(s.At)})
	}
	return m
}

func turnedPoint(p Point) Point { return Point{p.Y, p.X, p.Z} }

func TestTrunkAndBranchHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		lay := func(site Site) *Network {
			n, err := TrunkAndBranch("plan", site, trunkRun, each(branchRun, site))
			require.NoError(t, err)
			require.NoError(t, n.Validate())
			return n
		}
		n := lay(site)
		apartly := 0.0
		for i, f := range site.Fixtures {
			direct := apart(site.Heater, f.At)
			apartly += direct
			assert.GreaterOrEqual(t, n.PathLength(i), direct-1e-9, "no way is shorter than right angles allow")
			rise := 0.0
			for _, p := range n.Path(i) {
				rise += n.Pipes[p].Rise
			}
			check.Within(t, f.At.Z-site.Heater.Z, rise, 1e-9, "height gained")
			if n.Taps[i] == n.LoopEnd {
				check.Within(t, 0, apart(n.origin.add(n.endOf(n.LoopEnd)), f.At), 1e-9, "a fixture right at the trunk's end")
			}
			assert.Contains(t, strings.Split(n.end(n.Taps[i]), " and "), f.Name)
		}
		assert.LessOrEqual(t, n.Length(), apartly+1e-9, "separate runs would be shorter")
		slack := shared / perMetre * float64(len(site.Fixtures))
		assert.LessOrEqual(t, n.Length(), singleTrunk(site)+slack+1e-9, "a plain spine along x would be shorter")
		assert.LessOrEqual(t, n.Length(), singleTrunk(mapped(site, turnedPoint))+slack+1e-9, "a plain spine along y would be shorter")
		for _, p := range n.Pipes {
			assert.Greater(t, p.Length, 0.0)
			assert.True(t, p.Rise == 0 || math.Abs(p.Rise) == p.Length, "a pipe is level or upright")
		}

		shownWhereLaid(t, site, n)

		by := Point{rapid.Float64Range(-100, 100).Draw(t, "x"), rapid.Float64Range(-100, 100).Draw(t, "y"), rapid.Float64Range(-100, 100).Draw(t, "z")}
		moved := lay(mapped(site, func(p Point) Point { return Point{p.X + by.X, p.Y + by.Y, p.Z + by.Z} }))
		moved.origin = n.origin
		assert.Equal(t, n, moved, "moving the house changes nothing")

		check.Within(t, n.Length(), lay(mapped(site, turnedPoint)).Length(), 1e-9, "turned by a quarter")
		check.Within(t, n.Length(), lay(mapped(site, func(p Point) Point { return Point{-p.X, p.Y, p.Z} })).Length(), 1e-9, "mirrored")

		order := rapid.Permutation(site.Fixtures).Draw(t, "order")
		other := lay(Site{site.Heater, order})
		check.Within(t, n.Length(), other.Length(), 1e-9, "length in another order")
		for i, f := range order {
			check.Within(t, n.PathLength(slices.Index(site.Fixtures, f)), other.PathLength(i), 1e-9, "path in another order")
		}
		check.Within(t, n.sum(n.pathTo(n.LoopEnd), Pipe.length), other.sum(other.pathTo(other.LoopEnd), Pipe.length), 1e-9, "trunk in another order")
	})
}

func BenchmarkTrunkAndBranch(b *testing.B) {
	var site Site
	for i := range 12 {
		site.Fixtures = append(site.Fixtures, Stand{"fixture " + strconv.Itoa(i), Point{float64(i*7%12) + 0.5, float64(i*5%11) - 4, 1}})
	}
	runs := each(branchRun, site)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := TrunkAndBranch("plan", site, trunkRun, runs); err != nil {
			b.Fatal(err)
		}
	}
}
