package heat

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pipelag/internal/check"
	"pipelag/internal/reference"
	"pipelag/network/tubes"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A thin wall is a slab: y = q tanh q with q² = s, the series of the tangent
// in Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, 4.5.64, from
// memory, which the identity tanh' = 1 − tanh² confirms.
func TestAdmittanceOfAThinWallIsASlabs(t *testing.T) {
	y := annulus(1 + 1e-6)
	tanh := []float64{1, -1.0 / 3, 2.0 / 15, -17.0 / 315, 62.0 / 2835, -1382.0 / 155925, 21844.0 / 6081075, -929569.0 / 638512875}
	for i, want := range tanh {
		derivative, square := float64(2*i+1)*want, 0.0
		for j := range i {
			square += tanh[j] * tanh[i-1-j]
		}
		if i > 0 {
			check.Alike(t, -square, derivative, 1e-12, "identity")
		}
		check.Alike(t, want, y[i], 1e-4, "coefficient")
	}
}

// The first moment of an annulus in closed form, ∫ (C beyond r / C)² dR.
func TestFirstMomentOfAnAnnulus(t *testing.T) {
	for _, ratio := range []float64{1.05, 1.2, 1.55, 2} {
		b2 := ratio * ratio
		want := (b2*b2*math.Log(ratio) - b2*(b2-1) + (b2*b2-1)/4) / ((b2 - 1) * (b2 - 1) * math.Log(ratio))
		check.Alike(t, want, -annulus(ratio)[1], 2e-5, "first moment")
	}
}

// Two nodes of a slab by hand: a ladder a, C₁, b, C₂ with shares c and d = 1 − c
// of the capacity has the moments a + b d², b² d³ c and b³ d⁴ c², which are
// 1/3, 1/45 and 2/945 for d = 49/69.
func TestTwoNodesOfASlab(t *testing.T) {
	w := ladder(fraction([]float64{1, -1.0 / 3, 2.0 / 15, -17.0 / 315}))
	check.Alike(t, 0.1, w.inner, 1e-12, "inner resistance")
	check.Alike(t, 20.0/69, w.capacity[0], 1e-12, "first capacity")
	check.Alike(t, 49.0/69, w.capacity[1], 1e-12, "second capacity")
	check.Alike(t, 7.0/30*69*69/49/49, w.between[0], 1e-12, "resistance between")
}

// The nodes of any wall do have the coefficients they are made to have, and
// resistances and capacities above 0 that add up.
func TestNodesHaveTheAdmittanceOfTheWall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nodes := rapid.IntRange(1, 4).Draw(t, "nodes")
		y := annulus(rapid.Float64Range(1.001, 5).Draw(t, "ratio"))
		w := ladder(fraction(y[:2*nodes]))
		var back series
		outside := 1 - w.outer
		for i := nodes - 1; i >= 0; i-- {
			r := w.inner
			if i > 0 {
				r = w.between[i-1]
			}
			if !(r > 0 && w.capacity[i] > 0) {
				t.Fatalf("node %d: %g behind %g", i, w.capacity[i], r)
			}
			back[0] += w.capacity[i]
			back = back.behind(r)
			outside -= r
		}
		if !(w.outer > 0 && math.Abs(outside) < 1e-12) {
			t.Errorf("the resistances add up to %g", 1-outside)
		}
		for i := range 2 * nodes {
			if !(math.Abs(back[i]/y[i]-1) < 1e-9) {
				t.Errorf("coefficient %d is %g, that of the wall %g", i, back[i], y[i])
			}
		}
	})
}

func TestWallWithWaterAgainstAnIndependentSolver(t *testing.T) {
	for _, row := range reference.Rows(t, "testdata/wall_water.csv") {
		tube, err := tubes.Find(row["kind"], row["size"])
		require.NoError(t, err)
		o := opening{
			tube: tube, water: mustWater(t, 40), cells: 200, film: 0.3,
			flow: row.Number(t, "flow_L_per_s") * 1e-3, length: row.Number(t, "length_m"),
			start: row.Number(t, "start_C"), hot: row.Number(t, "hot_C"),
		}
		until := []float64{row.Number(t, "until_C")}
		for _, wall := range []wall{newWall(tube), resolved(tube, 16)} {
			got := o.volumesUntil(wall, until)
			require.Len(t, got, 1)
			// The other solver's water temperature and outside film are not known.
			check.Alike(t, row.Number(t, "pipe_volumes"), got[0], 0.02, row["kind"]+" until "+row["until_C"])
		}
	}
}

// tally gathers the errors of one kind of lumped wall.
type tally struct {
	cases             int
	over              []string // those over 2 % of the volume drawn
	share, litres     float64  // largest errors [-], [L]
	shareAt, litresAt string
}

func (a *tally) add(want, got, pipe float64, at string) {
	share, litres := got/want-1, (got-want)*pipe*1000
	a.cases++
	if !(math.Abs(share) <= 0.02) {
		a.over = append(a.over, fmt.Sprintf("%+.2f %%, %+.3f L: %s", share*100, litres, at))
	}
	if !(math.Abs(share) <= math.Abs(a.share)) {
		a.share, a.shareAt = share, at
	}
	if !(math.Abs(litres) <= math.Abs(a.litres)) {
		a.litres, a.litresAt = litres, at
	}
}

func (a *tally) String() string {
	return fmt.Sprintf("%4d cases, %3d over 2 %%, largest %+.2f %% (%s), %+.3f L (%s)", a.cases, len(a.over), a.share*100, a.shareAt, a.litres, a.litresAt)
}

// everyPlasticAndSomeMetal leaves out most metal tubes: their walls are so
// conducting that the smallest and the largest of a kind tell it all.
func everyPlasticAndSomeMetal() []tubes.Tube {
	var list []tubes.Tube
	for _, tube := range tubes.All() {
		sizes := tubes.Sizes(tube.Kind)
		picked := []string{sizes[0], sizes[len(sizes)-1]}
		if !tube.Material.Metal || slices.Contains(picked, tube.Size) {
			list = append(list, tube)
		}
	}
	return list
}

// The water drawn until the tap is usable, with the wall lumped into one to four
// nodes against a wall of 24 shells: every kind of tube, 4 to 25 m, 0.02 L/s to
// 0.2 L/s or 3.05 m/s (10 ft/s, the limit of a CPVC design guide, read; others are
// lower), usable from 35 to 46 °C. What decides is how long water takes through
// the tube compared with the time R C the wall takes to soak.
func TestLumpedWallAgainstResolvedWall(t *testing.T) {
	const fastest = 3.05 // [m/s]
	const quick = 0.11   // passage in shares of R C
	targets := []float64{35, 38, 40.6, 43, 46}
	water := mustWater(t, 40)
	var metal, equalShells tally
	var slow, short [5]tally // plastic by number of nodes, passage above and below quick
	for _, tube := range everyPlasticAndSomeMetal() {
		fine, whole := resolved(tube, 24), resolved(tube, 1)
		soak := (whole.inner + whole.outer) * whole.capacity[0]
		most := min(0.2e-3, fastest*tube.Volume())
		for _, flow := range []float64{0.02e-3, 0.1e-3, 0.16e-3, most} {
			if flow > most {
				continue
			}
			for _, length := range []float64{4, 5, 10, 25} {
				through := length * tube.Volume() / flow
				o := opening{
					tube: tube, water: water, flow: flow, length: length,
					start: 18.3, hot: 48.9, film: 0.3, cells: 50,
				}
				want := o.volumesUntil(fine, targets)
				judge := func(w wall, a *tally) {
					got := o.volumesUntil(w, targets)
					assert.InDelta(t, len(want), len(got), 1, "whether a long cold pipe ever gets that warm")
					for i := range min(len(want), len(got)) {
						at := fmt.Sprintf("%s %s, %.2f L/s, %.2f m/s, %g m in %.3f R C, until %g °C", tube.Kind, tube.Size, flow*1e3, length/through, length, through/soak, targets[i])
						a.add(want[i], got[i], length*tube.Volume(), at)
					}
				}
				if tube.Material.Metal {
					judge(lump(tube, 1), &metal)
					continue
				}
				group := &slow
				if through < quick*soak {
					group = &short
				} else {
					judge(resolved(tube, 3), &equalShells)
				}
				for nodes := 1; nodes <= 4; nodes++ {
					judge(lump(tube, nodes), &group[nodes])
				}
			}
		}
	}
	t.Logf("metal, one node: %v", &metal)
	for nodes := 1; nodes <= 4; nodes++ {
		t.Logf("plastic, %d nodes, passage of %g R C or longer: %v", nodes, quick, &slow[nodes])
		t.Logf("plastic, %d nodes, shorter passage: %v", nodes, &short[nodes])
	}
	t.Logf("three shells of equal thickness, passage of %g R C or longer: %v", quick, &equalShells)
	t.Logf("four nodes are over 2 %% off at\n%s", strings.Join(short[4].over, "\n"))

	for _, c := range []struct {
		name  string
		tally *tally
		cases int
		limit float64
	}{
		{"metal, one node", &metal, 500, 0.005},
		{"plastic, four nodes", &slow[4], 2000, 0.01},
		{"plastic, four nodes, short passage", &short[4], 80, 0.02},
	} {
		assert.Greater(t, c.tally.cases, c.cases, c.name)
		assert.LessOrEqual(t, math.Abs(c.tally.share), c.limit, c.name)
	}
	assert.Greater(t, math.Abs(short[3].share), 0.05, "what a fourth node is for")
	assert.Greater(t, math.Abs(equalShells.share), 3*math.Abs(slow[3].share), "matched moments beat equal shells")
}

// Twenty-four shells and fifty cells are enough to judge by, where the wall is
// thickest and the passage shortest: the wall is then soaked least deeply.
func TestResolvedWallIsResolved(t *testing.T) {
	tube, err := tubes.Find("PP-R", "20x3.4")
	require.NoError(t, err)
	o := opening{tube: tube, water: mustWater(t, 40), flow: 0.2e-3, length: 4, start: 18.3, hot: 48.9, film: 0.3, cells: 50}
	targets := []float64{35, 40.6, 43, 46}
	coarse, fine := o.volumesUntil(resolved(tube, 24), targets), o.volumesUntil(resolved(tube, 64), targets)
	few := o.volumesUntil(newWall(tube), targets)
	o.cells = 200
	many, reference := o.volumesUntil(newWall(tube), targets), o.volumesUntil(resolved(tube, 24), targets)
	require.Len(t, fine, len(targets))
	for i := range targets {
		check.Alike(t, fine[i], coarse[i], 0.005, "pipe volumes by shells")
		check.Alike(t, many[i]/reference[i], few[i]/coarse[i], 0.005, "lumped to resolved by cells")
		t.Logf("until %g °C: 24 shells %+.2f %%, four nodes %+.2f %% with 50 cells, %+.2f %% with 200", targets[i], 100*(coarse[i]/fine[i]-1), 100*(few[i]/coarse[i]-1), 100*(many[i]/reference[i]-1))
	}
}
