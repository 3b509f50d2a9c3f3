package heat

import (
	"math"
	"slices"
	"testing"

	"pipelag/network/tubes"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A thin wall is a slab: q coth q = 1 + q²/3 − q⁴/45 + 2 q⁶/945 …
func TestMomentsOfAThinWallAreASlabs(t *testing.T) {
	m1, m2, m3 := annulusMoments(1 + 1e-6)
	near(t, 1.0/3, m1, 1e-4, "first moment")
	near(t, 1.0/45, m2, 1e-4, "second moment")
	near(t, 2.0/945, m3, 1e-4, "third moment")
}

// The first moment of an annulus in closed form, ∫ (C beyond r / C)² dR.
func TestFirstMomentOfAnAnnulus(t *testing.T) {
	for _, ratio := range []float64{1.05, 1.2, 1.55, 2} {
		b2 := ratio * ratio
		want := (b2*b2*math.Log(ratio) - b2*(b2-1) + (b2*b2-1)/4) / ((b2 - 1) * (b2 - 1) * math.Log(ratio))
		m1, _, _ := annulusMoments(ratio)
		near(t, want, m1, 2e-5, "first moment")
	}
}

// The two nodes do have the three moments they are made to have, by their
// impedance at slow changes against that of a wall of 64 shells.
func TestTwoNodesHaveTheImpedanceOfTheWall(t *testing.T) {
	impedance := func(l ladder, s float64) float64 {
		last := len(l.capacity) - 1
		admittance := s * l.capacity[last]
		for i := last - 1; i >= 0; i-- {
			admittance = s*l.capacity[i] + 1/(l.between[i]+1/admittance)
		}
		return l.inner + 1/admittance
	}
	for _, tube := range tubes.All() {
		if tube.Material.Metal {
			continue
		}
		two, fine := lumped(tube), resolved(tube, 64)
		total := two.inner + two.between[0] + two.outer
		near(t, math.Log(tube.Outside/tube.Inside)/(2*math.Pi*tube.Material.Conductivity), total, 1e-12, "steady resistance")
		soak := total * (two.capacity[0] + two.capacity[1])
		for _, slow := range []float64{0.1, 1} { // s R C
			near(t, impedance(fine, slow/soak), impedance(two, slow/soak), 2e-4, tube.Kind+" "+tube.Size)
		}
	}
}

func TestWallWithWaterAgainstAnIndependentSolver(t *testing.T) {
	for _, row := range table(t, "wall_water.csv") {
		tube, err := tubes.Find(row["kind"], row["size"])
		require.NoError(t, err)
		o := opening{
			tube: tube, water: mustWater(t, 40), cells: 200, film: 0.3,
			flow: number(t, row["flow_L_per_s"]) * 1e-3, length: number(t, row["length_m"]),
			start: number(t, row["start_C"]), hot: number(t, row["hot_C"]),
		}
		until := []float64{number(t, row["until_C"])}
		for _, wall := range []ladder{lumped(tube), resolved(tube, 16)} {
			got := o.volumesUntil(wall, until)
			require.Len(t, got, 1)
			// The other solver's water temperature and outside film are not known.
			near(t, number(t, row["pipe_volumes"]), got[0], 0.02, row["kind"]+" until "+row["until_C"])
		}
	}
}

// everyPlasticAndSomeMetal leaves out most metal tubes: their walls are so
// conducting that the smallest, a middle and the largest of a kind tell it all.
func everyPlasticAndSomeMetal() []tubes.Tube {
	var list []tubes.Tube
	for _, tube := range tubes.All() {
		sizes := tubes.Sizes(tube.Kind)
		picked := []string{sizes[0], sizes[len(sizes)/2], sizes[len(sizes)-1]}
		if !tube.Material.Metal || slices.Contains(picked, tube.Size) {
			list = append(list, tube)
		}
	}
	return list
}

// The water drawn until the tap is usable, with the wall lumped as the engine
// has it against a wall of 16 shells: every kind of tube, 0.02 to 0.2 L/s up to
// 3.05 m/s (10 ft/s, the limit of a CPVC design guide), usable from 35 to 46 °C.
// What decides is how long the water takes through the tube compared with the
// time R C the wall takes to soak.
func TestLumpedWallAgainstResolvedWall(t *testing.T) {
	const fastest = 3.05 // [m/s]
	targets := []float64{35, 38, 40.6, 43, 46}
	water := mustWater(t, 40)
	type tally struct {
		cases int
		worst float64
		at    opening
		until float64
	}
	var long, short, metal tally
	equalShells := 0.0 // largest error of two shells of equal thickness where the lumped wall's is `long`
	worstOf := map[string]float64{}
	for _, tube := range everyPlasticAndSomeMetal() {
		wall := newWall(tube)
		soak := wall.inner + wall.between + wall.outer
		soak *= resolved(tube, 1).capacity[0]
		lump, fine := lumped(tube), resolved(tube, 16)
		for _, flow := range []float64{0.02e-3, 0.06e-3, 0.2e-3} {
			for _, length := range []float64{4, 11, 25} {
				through := length * tube.Volume() / flow
				if length/through > fastest {
					continue
				}
				o := opening{
					tube: tube, water: water, flow: flow, length: length,
					start: 18.3, hot: 48.9, film: 0.3, cells: 80,
				}
				want, got := o.volumesUntil(fine, targets), o.volumesUntil(lump, targets)
				group := &short
				switch {
				case tube.Material.Metal:
					group = &metal
				case through >= 0.4*soak:
					group = &long
				}
				if group == &long {
					for i, v := range o.volumesUntil(resolved(tube, 2), targets[:len(want)]) {
						equalShells = max(equalShells, math.Abs(v/want[i]-1))
					}
				}
				assert.InDelta(t, len(want), len(got), 1, "whether a long cold pipe ever gets that warm")
				for i := range min(len(want), len(got)) {
					off := got[i]/want[i] - 1
					require.False(t, math.IsNaN(off))
					group.cases++
					if math.Abs(off) > math.Abs(group.worst) {
						group.worst, group.at, group.until = off, o, targets[i]
					}
					worstOf[tube.Kind] = max(worstOf[tube.Kind], math.Abs(off))
				}
			}
		}
	}
	for _, g := range []struct {
		name  string
		limit float64
		tally tally
	}{
		{"metal", 0.005, metal},
		{"plastic, water in the tube for 0.4 R C or longer", 0.02, long},
		{"plastic, water in the tube for a shorter time", 0.10, short},
	} {
		o := g.tally.at
		t.Logf("%s: %d cases, largest error %+.2f %% at %s %s, %.2f L/s, %g m, until %g °C", g.name, g.tally.cases, g.tally.worst*100, o.tube.Kind, o.tube.Size, o.flow*1e3, o.length, g.tally.until)
		assert.Greater(t, g.tally.cases, 100, g.name)
		assert.LessOrEqual(t, math.Abs(g.tally.worst), g.limit, g.name)
	}
	t.Logf("two shells of equal thickness in place of the second group: %.2f %%", equalShells*100)
	assert.Greater(t, equalShells, 2*math.Abs(long.worst), "matched moments beat equal shells")
	for _, kind := range tubes.Kinds() {
		t.Logf("largest error of %s %.2f %%", kind, worstOf[kind]*100)
	}
}

// Sixteen shells are enough to judge by, where walls are thickest.
func TestSixteenShellsAreEnough(t *testing.T) {
	tube, err := tubes.Find("PP-R", "32x5.4")
	require.NoError(t, err)
	o := opening{tube: tube, water: mustWater(t, 40), flow: 0.2e-3, length: 11, start: 18.3, hot: 48.9, film: 0.3, cells: 60}
	targets := []float64{35, 40.6, 46}
	coarse, fine := o.volumesUntil(resolved(tube, 16), targets), o.volumesUntil(resolved(tube, 48), targets)
	require.Len(t, fine, len(targets))
	for i := range targets {
		near(t, fine[i], coarse[i], 0.005, "pipe volumes")
	}
}
