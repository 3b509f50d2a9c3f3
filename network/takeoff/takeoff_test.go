package takeoff

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/hydraulics"
	"pipelag/network/limits"
	"pipelag/network/sizing"
	"pipelag/network/tubes"
)

const (
	foot  = 0.3048              // [m]
	psi   = 6894.757293168      // [Pa]
	gpm   = 3.785411784e-3 / 60 // [m³/s]
	ounce = 29.5735295625e-6    // [m³]
)

func run(t testing.TB, kind, size string) network.Run {
	tube, err := tubes.Find(kind, size)
	require.NoError(t, err)
	return network.Run{Tube: tube, Zone: "crawlspace"}
}

func conditions(t testing.TB, fixtures ...sizing.Fixture) Conditions {
	code, err := sizing.FindCode("IPC")
	require.NoError(t, err)
	return Conditions{
		Fixtures: fixtures, Hot: 50, Code: code, Limits: limits.Standard(),
		Service: &hydraulics.Service{Static: 60 * psi, Cold: 12},
	}
}

func shower(name string) sizing.Fixture {
	return sizing.Fixture{Name: name, Use: "shower", Rated: 2 * gpm, Needs: 20 * psi}
}

func one(t testing.TB, feet float64, kind, size string) *network.Network {
	n, mistakes := network.Listed("one", []string{"a"}, []network.Segment{{From: "heater", To: "a", Length: feet * foot, Run: run(t, kind, size)}})
	require.Empty(t, mistakes)
	return n
}

// verdict is the one verdict of a code on a quantity.
func verdict(t testing.TB, all []limits.Verdict, q limits.Quantity, code string) limits.Verdict {
	t.Helper()
	var found []limits.Verdict
	for _, v := range all {
		if v.Limit.Quantity == q && v.Limit.Code == code {
			found = append(found, v)
		}
	}
	require.Len(t, found, 1, "%s by %s", q, code)
	return found[0]
}

// Ounces per foot as the code table prints them: WaterSense New Home
// specification appendix B, modified from 2009 IPC table E202.1, read.
func TestVolumeAgainstOuncesPerFoot(t *testing.T) {
	for _, c := range []struct {
		kind, size string
		ounces     float64
	}{{"copper M", "1/2", 1.69}, {"copper L", "3/4", 3.22}, {"copper K", "1", 5.17}, {"CPVC", "1/2", 1.25}, {"PEX", "1/2", 1.18}, {"PEX", "3/4", 2.35}} {
		off, err := New(one(t, 40, c.kind, c.size), conditions(t, shower("a")))
		require.NoError(t, err)
		check.Alike(t, 40*c.ounces*ounce, off.Fixtures[0].Volume, 0.01, c.kind+" "+c.size)
		check.Alike(t, off.Fixtures[0].Volume/(2*gpm), off.Fixtures[0].Alone.Wait, 1e-12, "plug flow")
	}
}

// Half a gallon is 64 oz: by the table's 1.18 oz/ft 54 ft of 1/2 in PEX.
func TestLimitsMetAndBroken(t *testing.T) {
	for feet, want := range map[float64]limits.Outcome{53: limits.Met, 55: limits.Broken} {
		off, err := New(one(t, feet, "PEX", "1/2"), conditions(t, shower("a")))
		require.NoError(t, err)
		verdicts := off.Fixtures[0].Verdicts
		assert.Equal(t, want, verdict(t, verdicts, limits.StoredVolume, "WaterSense").Outcome)
		assert.Equal(t, limits.Broken, verdict(t, verdicts, limits.Length, "IPC").Outcome, "above 50 ft")
		assert.Equal(t, limits.Met, verdict(t, verdicts, limits.Length, "IRC").Outcome, "up to 100 ft")
		// Above the 43 ft of 1/2 in; up to 64 oz the volume may take that table's place, from memory.
		instead := map[limits.Outcome]limits.Outcome{limits.Met: limits.Unjudged, limits.Broken: limits.Broken}
		assert.Equal(t, want, verdict(t, verdicts, limits.StoredVolume, "IECC").Outcome)
		assert.Equal(t, instead[want], verdict(t, verdicts, limits.LengthBySize, "IECC").Outcome)
		assert.Equal(t, limits.Met, verdict(t, verdicts, limits.SmallestSize, "UPC").Outcome)
		assert.Equal(t, limits.Unjudged, verdict(t, verdicts, limits.DrawnVolume, "WaterSense").Outcome)
		assert.Equal(t, limits.Met, verdict(t, verdicts, limits.Pressure, "IPC").Outcome)
		assert.Equal(t, limits.Broken, verdict(t, verdicts, limits.InsulatedStart, "IECC").Outcome, "bare")
	}
}

// A volume that is broken is excused by the length, be that figure recalled: 12 ft of 1 in
// PEX are within the 13 ft of the table, from memory, and here above a volume of 12 oz.
func TestLengthInPlaceOfVolume(t *testing.T) {
	for feet, want := range map[float64]limits.Outcome{12: limits.Unjudged, 14: limits.Broken} {
		c := conditions(t, shower("a"))
		for i := range c.Limits {
			if c.Limits[i].Code == "IECC" && c.Limits[i].Quantity == limits.StoredVolume {
				c.Limits[i].Value = 12 * ounce
			}
		}
		off, err := New(one(t, feet, "PEX", "1"), c)
		require.NoError(t, err)
		verdicts := off.Fixtures[0].Verdicts
		assert.Equal(t, limits.Unjudged, verdict(t, verdicts, limits.LengthBySize, "IECC").Outcome)
		assert.Equal(t, want, verdict(t, verdicts, limits.StoredVolume, "IECC").Outcome)
	}
}

// Nor does the volume take the length's place where what stands beyond a loop is more than it
// may: 55 ft of 3/8 in PEX hold 35 oz (0.64 oz a foot), within the 64 of a heater and above the
// 24 of a loop, from memory. The length, at most 50 ft of that size, is broken then.
func TestVolumeBeyondALoop(t *testing.T) {
	loop, branch := run(t, "copper L", "3/4"), run(t, "PEX", "3/8")
	n, mistakes := network.Listed("pumped", []string{"a"}, []network.Segment{
		{From: "heater", To: "tee", Length: 30, Run: loop},
		{From: "tee", To: "a", Length: 55 * foot, Run: branch},
		{From: "tee", To: "heater", Length: 30, Run: loop, Return: true},
	})
	require.Empty(t, mistakes)
	for _, c := range []struct {
		network *network.Network
		want    limits.Outcome
	}{{one(t, 55, "PEX", "3/8"), limits.Unjudged}, {n, limits.Broken}} {
		off, err := New(c.network, conditions(t, shower("a")))
		require.NoError(t, err)
		assert.Equal(t, c.want, verdict(t, off.Fixtures[0].Verdicts, limits.LengthBySize, "IECC").Outcome)
	}
}

func TestDrawnVolumeOfASimulation(t *testing.T) {
	c := conditions(t, shower("a"))
	own := limits.Limit{Quantity: limits.DrawnVolume, Value: 0.6 * 128 * ounce, Code: "Town", Status: "user"}
	c.Limits = append(c.Limits, own)
	for _, of := range []struct {
		risen, usable float64 // [gal]
		section, own  limits.Outcome
	}{
		{0.5, 0.59, limits.Met, limits.Met},
		{0.5, 0.6, limits.Met, limits.Met},
		{0.5, 0.61, limits.Unjudged, limits.Broken}, // the section's rise of 10 °F is from memory
		{0.61, 0.7, limits.Broken, limits.Broken},
		{0.61, 0.5, limits.Unjudged, limits.Met},
	} {
		c.Drawn = []Drawn{{Risen: of.risen * 128 * ounce, Usable: of.usable * 128 * ounce}}
		off, err := New(one(t, 20, "PEX", "1/2"), c)
		require.NoError(t, err)
		verdicts := off.Fixtures[0].Verdicts
		assert.Equal(t, of.section, verdict(t, verdicts, limits.DrawnVolume, "WaterSense").Outcome)
		assert.Equal(t, of.own, verdict(t, verdicts, limits.DrawnVolume, "Town").Outcome)
	}
}

// A pressure is judged at the flow that its clause states, 2.5 gpm for a shower by IPC 604.3,
// and not at the less that this one is rated for; at more where more is drawn.
func TestPressureAtItsFlow(t *testing.T) {
	off := func(rated float64) *Takeoff {
		c := conditions(t, sizing.Fixture{Name: "a", Use: "shower", Rated: rated, Needs: 20 * psi})
		found, err := New(one(t, 130, "PEX", "1/2"), c)
		require.NoError(t, err)
		return found
	}
	judged := func(off *Takeoff) limits.Verdict {
		return verdict(t, off.Fixtures[0].Verdicts, limits.Pressure, "IPC")
	}
	small, full := off(1*gpm), off(2.5*gpm)
	check.Alike(t, full.Fixtures[0].Peak, judged(small).Found, 1e-12, "as if rated for it")
	assert.Less(t, judged(small).Found, small.Fixtures[0].Peak)
	large := off(3 * gpm)
	check.Alike(t, large.Fixtures[0].Peak, judged(large).Found, 1e-12, "more than is asked")
}

func TestVelocities(t *testing.T) {
	c := conditions(t, sizing.Fixture{Name: "a", Use: "bath", Rated: 4 * gpm, Needs: 20 * psi})
	off, err := New(one(t, 20, "copper L", "1/2"), c)
	require.NoError(t, err)
	tube := off.Tubes[0]
	// 4 gpm through 0.545 in: 0.3208 × 4/(π/4 × 0.545²) = 5.50 ft/s.
	check.Alike(t, 5.50*foot, tube.Velocity, 2e-3, "velocity at the code's demand")
	check.Alike(t, tube.Velocity, off.Fixtures[0].Alone.Velocities[0], 1e-9, "the bath alone")
	assert.Equal(t, limits.Broken, verdict(t, tube.Verdicts, limits.Velocity, "CDA").Outcome, "5 ft/s")
	assert.Equal(t, limits.Met, verdict(t, tube.Verdicts, limits.Velocity, "Chicago").Outcome, "8 ft/s")
	assert.Equal(t, limits.Met, verdict(t, tube.Verdicts, limits.Velocity, "IRC").Outcome, "8 ft/s")
	c.Hot = 65
	off, err = New(one(t, 20, "copper L", "1/2"), c)
	require.NoError(t, err)
	check.Alike(t, 3*foot, verdict(t, off.Tubes[0].Verdicts, limits.Velocity, "CDA").Asked, 1e-12, "above 140 F")
}

func TestInsulation(t *testing.T) {
	foam, err := tubes.FindSleeve(tubes.Sleeves()[0].Name)
	require.NoError(t, err)
	n := one(t, 20, "copper L", "3/4")
	for thickness, want := range map[float64]limits.Outcome{0: limits.Broken, 0.006: limits.Broken, 0.03: limits.Met} {
		n.Pipes[0].Sleeve = tubes.Sleeve{}
		if thickness > 0 {
			n.Pipes[0].Sleeve = tubes.Sleeve{Material: foam, Thickness: thickness}
		}
		off, err := New(n, conditions(t, shower("a")))
		require.NoError(t, err)
		assert.Equal(t, want, verdict(t, off.Tubes[0].Verdicts, limits.Resistance, "IECC").Outcome, "R-3 with %g m", thickness)
		assert.Equal(t, want, verdict(t, off.Tubes[0].Verdicts, limits.Thickness, "UPC").Outcome, "3/4 in with %g m", thickness)
	}
	p := n.Pipes[0]
	p.Tube.Outside, p.Sleeve.Thickness, p.Sleeve.Material.Conductivity = 0.022, 0.013, 0.036
	check.Alike(t, 0.024*math.Log(24.0/11)/0.036, resistance(p), 1e-12, "resistance")
}

// IECC R403.5.3 asks R-3 of 3/4 in and larger, and of any size outside conditioned space,
// read; of buried tubes, those to a manifold and loops that nobody calls from memory, which
// judges nothing.
func TestInsulationByWhatATubeIs(t *testing.T) {
	cases := map[string]struct {
		size        string
		conditioned []string
		change      func(*network.Network, *Conditions)
		want        []string
	}{
		"small in the cold":        {"1/2", []string{"rooms"}, nil, []string{"outside conditioned space: broken"}},
		"small in the warm":        {"1/2", []string{"crawlspace"}, nil, nil},
		"small where nobody says":  {"1/2", nil, nil, []string{"outside conditioned space: the scenario calls no zone conditioned"}},
		"large in the cold, once":  {"3/4", []string{"rooms"}, nil, []string{": broken"}},
		"large in the warm":        {"3/4", []string{"crawlspace"}, nil, []string{": broken"}},
		"of no nominal size, cold": {"22x1", []string{"rooms"}, nil, []string{"outside conditioned space: broken"}},
		"of no nominal size, warm": {"22x1", []string{"crawlspace"}, nil, []string{": the clause lists no size 22x1"}},
		"buried": {"1/2", []string{"rooms"}, func(n *network.Network, _ *Conditions) {
			n.Pipes[0].Burial = heat.Burial{Depth: 0.1, Conductivity: 1.7}
		}, []string{"buried: it is recalled, not read"}},
		"in a loop that runs by itself": {"1/2", []string{"crawlspace"}, func(n *network.Network, c *Conditions) {
			c.Uncalled = true
		}, []string{"in a loop: it is recalled, not read"}},
		"in a loop that is called": {"1/2", []string{"crawlspace"}, func(*network.Network, *Conditions) {}, nil},
		"to a manifold": {"1/2", []string{"crawlspace"}, func(n *network.Network, _ *Conditions) {
			n.Arrangement = "home-run"
		}, []string{"to a manifold: it is recalled, not read"}},
	}
	for name, of := range cases {
		t.Run(name, func(t *testing.T) {
			kind := "PEX"
			if of.size == "22x1" {
				kind = "copper EN 1057"
			}
			r := run(t, kind, of.size)
			segments := []network.Segment{
				{From: "heater", To: "tee", Length: 6, Run: r}, {From: "tee", To: "a", Length: 3, Run: r}, {From: "tee", To: "b", Length: 3, Run: r},
			}
			if strings.Contains(name, "loop") {
				segments = append(segments, network.Segment{From: "tee", To: "heater", Length: 6, Run: r, Return: true})
			}
			n, mistakes := network.Listed("n", []string{"a", "b"}, segments)
			require.Empty(t, mistakes)
			c := conditions(t, shower("a"), shower("b"))
			c.Conditioned = of.conditioned
			if of.change != nil {
				of.change(n, &c)
			}
			off, err := New(n, c)
			require.NoError(t, err)
			var got []string
			for _, v := range off.Tubes[0].Verdicts {
				if v.Limit.Quantity == limits.Resistance {
					said := v.Outcome.String()
					if v.Outcome == limits.Unjudged {
						said = v.Why
					}
					got = append(got, v.Limit.Use+": "+said)
				}
			}
			assert.Equal(t, of.want, got)
		})
	}
}

func TestLoopCountsFromTheLoop(t *testing.T) {
	r, small := run(t, "copper L", "3/4"), run(t, "PEX", "1/2")
	n, mistakes := network.Listed("pumped", []string{"a"}, []network.Segment{
		{From: "heater", To: "tee", Length: 30, Run: r},
		{From: "tee", To: "a", Length: 3, Run: small},
		{From: "tee", To: "heater", Length: 30, Run: small, Return: true},
	})
	require.Empty(t, mistakes)
	off, err := New(n, conditions(t, shower("a")))
	require.NoError(t, err)
	a := off.Fixtures[0]
	check.Alike(t, 33, a.Length, 1e-12, "from the heater")
	check.Alike(t, 3, a.FromLoop.Length, 1e-12, "from the loop")
	check.Alike(t, small.Tube.Volume()*3/a.Alone.Flow, a.Alone.Wait, 1e-12, "wait from the loop")
	assert.Equal(t, limits.Met, verdict(t, a.Verdicts, limits.StoredVolume, "WaterSense").Outcome)
	assert.Equal(t, "it is recalled, not read", verdict(t, a.Verdicts, limits.LoopVolume, "IECC").Why)
	assert.Empty(t, verdict(t, a.Verdicts, limits.StoredVolume, "WaterSense").Beside)
	c := conditions(t, shower("a"))
	c.Uncalled = true
	uncalled, err := New(n, c)
	require.NoError(t, err)
	stored := verdict(t, uncalled.Fixtures[0].Verdicts, limits.StoredVolume, "WaterSense")
	assert.Equal(t, limits.Met, stored.Outcome, "what is recalled judges nothing")
	assert.Contains(t, stored.Beside, "as recalled, not read")
	assert.Empty(t, verdict(t, uncalled.Fixtures[0].Verdicts, limits.LoopVolume, "IECC").Beside)
	assert.True(t, off.Tubes[2].Return)
	for _, v := range off.Tubes[2].Verdicts {
		assert.NotEqual(t, limits.Velocity, v.Limit.Quantity)
	}
}

// Everything that is wrong is said, and the rest is listed.
func TestProblems(t *testing.T) {
	t.Run("above the head", func(t *testing.T) {
		n, mistakes := network.Listed("tower", []string{"a"}, []network.Segment{{From: "heater", To: "a", Length: 60, Rise: 50, Run: run(t, "PEX", "1/2")}})
		require.Empty(t, mistakes)
		off, err := New(n, conditions(t, shower("a")))
		require.NoError(t, err)
		require.Len(t, off.Problems, 1)
		assert.Contains(t, off.Problems[0].What, `"a" stands higher than the street's pressure lifts water`)
		assert.Zero(t, off.Fixtures[0].Alone.Flow)
		assert.Zero(t, off.Fixtures[0].Alone.Wait)
		check.Alike(t, 60, off.Fixtures[0].Length, 1e-12, "still listed")
	})
	t.Run("no pressure left", func(t *testing.T) {
		off, err := New(one(t, 600, "PEX", "1/4"), conditions(t, shower("a")))
		require.NoError(t, err)
		require.Len(t, off.Problems, 1)
		assert.Contains(t, off.Problems[0].What, `no pressure is left at "a"`)
		assert.Less(t, off.Fixtures[0].Alone.Flow, 2*gpm)
		assert.Positive(t, off.Fixtures[0].Alone.Flow)
		assert.Contains(t, strings.Join(off.Cautions, "\n"), "below 3/8 in")
		assert.Contains(t, strings.Join(off.Cautions, "\n"), limits.Advice)
	})
	t.Run("use without fixture units", func(t *testing.T) {
		c := conditions(t, shower("a"))
		c.Fixtures[0].Use = "fountain"
		off, err := New(one(t, 20, "PEX", "1/2"), c)
		require.NoError(t, err)
		require.Len(t, off.Problems, 1)
		assert.Contains(t, off.Problems[0].What, `no fixture units for "fountain"`)
		assert.Equal(t, 2*gpm, off.Fixtures[0].Alone.Flow)
	})
	t.Run("impossible pressure", func(t *testing.T) {
		c := conditions(t, shower("a"))
		c.Service.Static = math.NaN()
		off, err := New(one(t, 20, "PEX", "1/2"), c)
		require.NoError(t, err)
		require.Len(t, off.Problems, 1)
		assert.Contains(t, off.Problems[0].What, "static pressure")
		assert.Nil(t, off.Fixtures[0].Alone)
	})
	t.Run("no pressure stated", func(t *testing.T) {
		c := conditions(t, shower("a"))
		c.Service = nil
		off, err := New(one(t, 20, "PEX", "1/2"), c)
		require.NoError(t, err)
		assert.Empty(t, off.Problems)
		assert.Equal(t, limits.Unjudged, verdict(t, off.Fixtures[0].Verdicts, limits.Pressure, "IPC").Outcome)
	})
	t.Run("size with no table", func(t *testing.T) {
		off, err := New(one(t, 20, "copper EN 1057", "22x1"), conditions(t, shower("a")))
		require.NoError(t, err)
		assert.Equal(t, "the table lists no size 22x1", verdict(t, off.Fixtures[0].Verdicts, limits.LengthBySize, "IECC").Why)
		assert.Equal(t, "the table lists no size 22x1", verdict(t, off.Fixtures[0].Verdicts, limits.SmallestSize, "UPC").Why)
	})
	_, err := New(one(t, 20, "PEX", "1/2"), conditions(t))
	assert.ErrorContains(t, err, "0 fixtures for 1 taps")
}

// forty is a large house on a trunk, with insulation and a real service.
func forty(t testing.TB) (*network.Network, Conditions) {
	var site network.Site
	var fixtures []sizing.Fixture
	var branches []network.Run
	uses := []string{"shower", "lavatory", "kitchen", "bath", "lavatory", "dishwasher", "clothes washer"}
	for i := range 40 {
		name := fmt.Sprintf("fixture %d", i)
		site.Fixtures = append(site.Fixtures, network.Stand{Name: name, At: network.Point{X: float64(i*7%40)/2 + 0.3, Y: float64(i*5%21)/2 - 4.9, Z: float64(i % 5)}})
		fixtures = append(fixtures, sizing.Fixture{Name: name, Use: uses[i%len(uses)], Rated: 2 * gpm, Needs: 20 * psi})
		branches = append(branches, run(t, "copper L", "1/2"))
	}
	n, err := network.TrunkAndBranch("forty", site, run(t, "copper L", "1"), branches)
	require.NoError(t, err)
	c := conditions(t, fixtures...)
	c.Service = &hydraulics.Service{
		Static: 60 * psi, Residual: 50 * psi, ResidualFlow: 30 * gpm, Rise: 1.5, Cold: 12,
		Lines:   []hydraulics.Line{{Tube: run(t, "copper L", "1").Tube, Length: 20, Fittings: network.Fittings{Elbows: 5}}},
		Devices: []hydraulics.Device{{Name: "meter", Loss: 4 * psi, Flow: 20 * gpm}, {Name: "heater", Loss: 2 * psi, Flow: 10 * gpm, HotOnly: true}},
	}
	return n, c
}

func TestLargeHouse(t *testing.T) {
	n, c := forty(t)
	off, err := New(n, c)
	require.NoError(t, err)
	require.Len(t, off.Fixtures, 40)
	for f, fixture := range off.Fixtures {
		require.NotNil(t, fixture.Alone)
		assert.LessOrEqual(t, fixture.Together.Flow, fixture.Alone.Flow*(1+1e-6), "others open leave no more")
		assert.LessOrEqual(t, fixture.Alone.Pressure, fixture.Still)
		check.Alike(t, n.PathLength(f), fixture.Length, 1e-12, "length")
		check.Alike(t, n.PathVolume(f), fixture.Volume, 1e-12, "volume")
		assert.Equal(t, fixture.Name, fixture.Way[len(fixture.Way)-1][:len(fixture.Name)])
		assert.Len(t, fixture.Alone.Velocities, len(fixture.Path))
	}
	again, err := New(n, c)
	require.NoError(t, err)
	assert.Equal(t, off, again)
}

// The pressure at peak is the chain of losses a practitioner adds up by hand.
func TestPeakPressureAddsUp(t *testing.T) {
	n, c := forty(t)
	off, err := New(n, c)
	require.NoError(t, err)
	house := off.Load.House
	cold, err := heat.WaterAt(12)
	require.NoError(t, err)
	hot, err := heat.WaterAt(50)
	require.NoError(t, err)
	line := network.Pipe{Tube: c.Service.Lines[0].Tube, Length: 20, Fittings: network.Fittings{Elbows: 5}}
	start := 60*psi - 10*psi*math.Pow(house/(30*gpm), 1/0.54) - hydraulics.Loss(line, cold, house) -
		4*psi*math.Pow(house/(20*gpm), 2) - 2*psi*math.Pow(off.Load.Hot/(10*gpm), 2) - cold.Density*9.80665*1.5
	for _, f := range []int{0, 17, 39} {
		left := start
		for _, i := range off.Fixtures[f].Path {
			left -= off.Tubes[i].Loss + hot.Density*9.80665*off.Tubes[i].Pipe.Rise
		}
		check.Alike(t, left, off.Fixtures[f].Peak, 1e-9, off.Fixtures[f].Name)
	}
}

func BenchmarkFortyFixtures(b *testing.B) {
	n, c := forty(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := New(n, c); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleNew() {
	tube, _ := tubes.Find("copper L", "3/4")
	n, _ := network.Listed("as found", []string{"hall shower"}, []network.Segment{
		{From: "heater", To: "hall shower", Length: 18, Rise: 2, Run: network.Run{Tube: tube, Zone: "crawlspace"}, Elbows: 5},
	})
	code, _ := sizing.FindCode("IPC")
	book, _ := limits.Standard().Codes("IPC", "WaterSense")
	off, err := New(n, Conditions{
		Fixtures: []sizing.Fixture{{Name: "hall shower", Use: "shower", Rated: 1.26e-4, Needs: 138e3}},
		Service:  &hydraulics.Service{Static: 400e3, Cold: 12},
		Hot:      50, Code: code, Limits: book,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	f := off.Fixtures[0]
	fmt.Printf("%.1f m, %.2f L, %.0f s, %.0f kPa left\n", f.Length, f.Volume*1000, f.Alone.Wait, f.Alone.Pressure/1000)
	slices.SortStableFunc(f.Verdicts, func(a, b limits.Verdict) int { return int(a.Outcome) - int(b.Outcome) })
	for _, v := range f.Verdicts {
		fmt.Printf("%s, %s %s: %s\n", v.Limit.Quantity, v.Limit.Code, v.Limit.Clause, v.Outcome)
	}
	// Output:
	// 18.0 m, 5.62 L, 45 s, 378 kPa left
	// pressure, IPC 604.3 and IRC table P2903.1: met
	// length, IPC 607.2: broken
	// stored volume, WaterSense New Home 1.2 section 3.3: broken
	// drawn volume, WaterSense New Home 1.2 section 3.3: not judged
}

// A layout generated, sized and taken off, as a command does it.
func BenchmarkFortyFixturesWhole(b *testing.B) {
	n, c := forty(b)
	var site network.Site
	for f := range n.Taps {
		site.Fixtures = append(site.Fixtures, network.Stand{Name: c.Fixtures[f].Name, At: network.Point{X: float64(f*7%40)/2 + 0.3, Y: float64(f*5%21)/2 - 4.9, Z: float64(f % 5)}})
	}
	branches := slices.Repeat([]network.Run{run(b, "copper L", "1/2")}, 40)
	trunk := run(b, "copper L", "1")
	b.ReportAllocs()
	for b.Loop() {
		laid, err := network.TrunkAndBranch("forty", site, trunk, branches)
		require.NoError(b, err)
		sized, err := sizing.Choose(laid, slices.Repeat([]bool{true}, len(laid.Pipes)), sizing.Design{Code: c.Code, Fixtures: c.Fixtures, Service: *c.Service, Hot: c.Hot, Limits: c.Limits})
		require.NoError(b, err)
		_, err = New(sized.Network, c)
		require.NoError(b, err)
	}
}

// What a pump sends round a loop flows in it on top of the code's demand, and is held
// against the limits of velocity in the return too. By hand: 3 gpm in PEX 1/2, bore
// 0.475 in, are 0.18927 L/s over 114.33 mm², 1.656 m/s; 5 gpm are 2.759 m/s, above
// Chicago's 8 ft/s (2.438 m/s).
func TestPumpedVelocity(t *testing.T) {
	half := run(t, "PEX", "1/2")
	n, mistakes := network.Listed("loop", []string{"sink"}, []network.Segment{
		{From: "heater", To: "tee", Length: 10, Run: half},
		{From: "tee", To: "sink", Length: 2, Run: half},
		{From: "tee", To: "heater", Length: 10, Run: half, Return: true},
	})
	require.Empty(t, mistakes)
	code, err := sizing.FindCode("IPC")
	require.NoError(t, err)
	book, err := limits.Standard().Codes("Chicago")
	require.NoError(t, err)
	c := Conditions{Fixtures: []sizing.Fixture{{Name: "sink", Use: "kitchen", Rated: 1.5 * gpm, Needs: 8 * psi}}, Hot: 50, Code: code, Limits: book}
	for _, pumped := range []float64{0, 3, 5} {
		c.Pumped = pumped * gpm
		off, err := New(n, c)
		require.NoError(t, err)
		supply, branch, back := off.Tubes[0], off.Tubes[1], off.Tubes[2]
		const perGPM = 1.656 / 3
		check.Alike(t, (supply.Demand/gpm+pumped)*perGPM, supply.Velocity, 1e-3, "supply")
		check.Alike(t, branch.Demand/gpm*perGPM, branch.Velocity, 1e-3, "branch")
		if pumped == 0 {
			assert.Zero(t, back.Velocity)
			assert.Empty(t, velocityVerdicts(back))
			continue
		}
		check.Alike(t, pumped*perGPM, back.Velocity, 1e-3, "return")
		judged := velocityVerdicts(back)
		require.Len(t, judged, 1)
		assert.Equal(t, pumped == 5, judged[0].Outcome == limits.Broken, "%g gpm", pumped)
		assert.InDelta(t, back.Velocity, judged[0].Found, 1e-12)
	}
}

func velocityVerdicts(tube Tube) []limits.Verdict {
	return slices.DeleteFunc(slices.Clone(tube.Verdicts), func(v limits.Verdict) bool { return v.Limit.Quantity != limits.Velocity })
}
