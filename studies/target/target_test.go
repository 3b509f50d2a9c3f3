package target

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pipelag/internal/check"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/store"
)

const text = `name: Homes
scenario: planned
layouts: [trunk and branch, home run, pumped on demand]
sampling: grid
factors:
  storeys: {path: plan.floors, values: [1, 2]}
  size: {path: plan.area, values: [100 m2, 120 m2, 140 m2, 160 m2, 180 m2]}
costs: {trunk and branch: 1000 USD, home run: 1300 USD, pumped on demand: 1200 USD}
`

// stock keeps invented runs of ten homes: home i stores i + 1 litres as it is,
// 0.5 (i + 1) with home runs and 2.5 pumped; layouts save water, energy and money
// by fixed amounts. Home 9 has failed.
func stock(t *testing.T, replace ...string) (*studies.Cases, *store.Folder) {
	t.Helper()
	return stockOf(t, func(*store.Run) {}, replace...)
}

// stockOf keeps the same with something changed in each run.
func stockOf(t *testing.T, change func(*store.Run), replace ...string) (*studies.Cases, *store.Folder) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "s.yaml")
	if err := os.WriteFile(path, []byte(strings.NewReplacer(replace...).Replace(text)), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := scenarios.LoadStudy(path)
	if err != nil {
		t.Fatal(err)
	}
	c, err := studies.NewCases(s, 0)
	if err != nil {
		t.Fatal(err)
	}
	f, err := store.Open(t.TempDir(), store.Manifest{Version: "1", Study: "s", Cases: c.Count, Replicates: s.Replicates})
	if err != nil {
		t.Fatal(err)
	}
	parts, err := f.Missing(func([]store.Run) bool { return true })
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range parts {
		var runs []store.Run
		for replicate := range s.Replicates {
			run := store.Run{Case: p.First, Replicate: replicate, Cause: "a failure"}
			if i := p.First; i != 9 {
				stored := float64(i + 1)
				made := func(name, control string, stored, length, wait, insulation, water, energy, cost, carbon float64) store.Layout {
					return store.Layout{
						Name: name, Control: control, Insulation: insulation,
						Annual: sim.Values{sim.Purged: water, sim.HeaterInput: energy, sim.Cost: cost, sim.Carbon: carbon},
						Fixtures: []store.Fixture{
							{Stored: stored, Length: length, WaitingPerDay: 1, WaitP90: wait},
							{Stored: stored / 2, Length: length / 2, WaitP90: 1e6}, // nobody waits there
						},
					}
				}
				run.Cause, run.Layouts = "", []store.Layout{
					made("trunk and branch", "none", stored, 10*stored, 30, 0, 10, 1000, 100, 400),
					made("home run", "none", stored/2, 8*stored, 20, 0, 6, 900, 90, 380),
					made("pumped on demand", "button", 2.5, 5, 5, 13, 3, 1100, 120, 420),
				}
				change(&run)
			}
			runs = append(runs, run)
		}
		if err := f.Fill(p, runs); err != nil {
			t.Fatal(err)
		}
	}
	return c, f
}

// asSample has the ten homes drawn, so that intervals are over them.
var asSample = []string{"sampling: grid", "sampling: halton\nsamples: 10"}

func at(t *testing.T, c Curve, limit float64) Point {
	t.Helper()
	for _, p := range c.Points {
		if math.Abs(p.Limit-limit) < 1e-9 {
			return p
		}
	}
	t.Fatalf("no limit of %g among %d", limit, len(c.Points))
	return Point{}
}

// TestCurve holds a curve to what it is by hand: 9 homes store 1 to 9 L. At 4 L
// homes 0 to 3 comply; 4 to 7 could have home runs of 2.5 to 4 L, but the pump is
// cheaper and stores 2.5 L, as it does for 8.
func TestCurve(t *testing.T) {
	c, f := stock(t, asSample...)
	curves, _, err := New(c, f, StoredVolume, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	all := curves[0]
	if all.Homes != 9 || len(curves) != 1 {
		t.Fatalf("%d homes, %d curves", all.Homes, len(curves))
	}
	p := at(t, all, 4)
	check.Within(t, 4.0/9, p.Comply.Mean, 1e-9*math.Max(1, math.Abs(4.0/9)), "comply")
	check.Within(t, 1, p.Able.Mean, 1e-9*math.Max(1, math.Abs(1)), "able")
	check.Within(t, 5*7.0/9, p.Saved[Water].Mean, 1e-9*math.Max(1, math.Abs(5*7.0/9)), "water")
	check.Within(t, -5*100.0/9, p.Saved[Energy].Mean, 1e-9*math.Max(1, math.Abs(-5*100.0/9)), "energy")
	check.Within(t, -5*20.0/9, p.Saved[Money].Mean, 1e-9*math.Max(1, math.Abs(-5*20.0/9)), "money")
	check.Within(t, -5*20.0/9, p.Saved[Carbon].Mean, 1e-9*math.Max(1, math.Abs(-5*20.0/9)), "carbon")
	check.Within(t, 5*200.0/9, p.Cost.Mean, 1e-9*math.Max(1, math.Abs(5*200.0/9)), "to build")
	check.Within(t, 200.0/7, p.Unit[Water].Mean, 1e-9*math.Max(1, math.Abs(200.0/7)), "for each m³")
	if !math.IsNaN(p.Unit[Energy].Mean) {
		t.Errorf("%g for each joule of none", p.Unit[Energy].Mean)
	}

	// At 2 L the pump stores too much: homes 2 and 3 take home runs of 1.5 and 2 L,
	// 4 and above can do nothing.
	p = at(t, all, 2)
	check.Within(t, 2.0/9, p.Comply.Mean, 1e-9*math.Max(1, math.Abs(2.0/9)), "comply")
	check.Within(t, 4.0/9, p.Able.Mean, 1e-9*math.Max(1, math.Abs(4.0/9)), "able")
	check.Within(t, 2*4.0/9, p.Saved[Water].Mean, 1e-9*math.Max(1, math.Abs(2*4.0/9)), "water")
	// t(0.975, 8) = 2.306004 (Student's table); deviation of 2 homes of 9 with 4 m³.
	deviation := math.Sqrt((2*16 - 9*math.Pow(8.0/9, 2)) / 8)
	if got, want := p.Saved[Water].HalfWidth(), 2.306004*deviation/3; !(math.Abs(got-want) < 1e-5) {
		t.Errorf("half-width %g, want %g", got, want)
	}

	// The most water is saved where all but those below 2.5 L pump: 7 homes, at 2.6
	// to 2.99 L; nine tenths of it is that of 7 homes too, so the knee is where
	// home 2, of 3 L, begins to change.
	k := all.Knees[Water]
	if k == nil || k.Limit.Mean < 2.5 || k.Limit.Mean >= 3 {
		t.Fatalf("knee %+v", k)
	}
	check.Within(t, 7*7.0/9, k.Saved, 1e-9*math.Max(1, math.Abs(7*7.0/9)), "saved at the knee")
	if !(k.Limit.Low <= k.Limit.Mean && k.Limit.Mean <= k.Limit.High) {
		t.Errorf("%+v", k.Limit)
	}
}

// TestLayoutsLeftOut: at 4 L the pump, which is cheaper, serves homes 4 to 6 less, so
// that they take home runs of 2.5 to 3.5 L; home 7 pumps, and home 8, whose own layout
// serves less than another, has nothing to change to.
func TestLayoutsLeftOut(t *testing.T) {
	c, f := stockOf(t, func(r *store.Run) {
		switch {
		case r.Case >= 4 && r.Case <= 6:
			r.Layouts[2].Unlike = sim.ServesLess
		case r.Case == 8:
			r.Layouts[0].Unlike = sim.ServesLess
		}
		if r.Case < 2 {
			r.Layouts[1].Unlike = sim.ThroughCold
		}
	})
	curves, out, err := New(c, f, StoredVolume, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := at(t, curves[0], 4)
	check.Within(t, 4.0/9, p.Comply.Mean, 1e-9*math.Max(1, math.Abs(4.0/9)), "comply")
	check.Within(t, 8.0/9, p.Able.Mean, 1e-9*math.Max(1, math.Abs(8.0/9)), "able")
	check.Within(t, (3*4+7)/9.0, p.Saved[Water].Mean, 1e-9*math.Max(1, math.Abs((3*4+7)/9.0)), "water")
	check.Within(t, (3*300+200)/9.0, p.Cost.Mean, 1e-9*math.Max(1, math.Abs((3*300+200)/9.0)), "to build")
	if want := []studies.LeftOut{
		{Layout: "trunk and branch", Why: sim.ServesLess, Cases: 1},
		{Layout: "home run", Why: sim.ThroughCold, Cases: 2},
		{Layout: "pumped on demand", Why: sim.ServesLess, Cases: 3},
	}; !slices.Equal(out, want) {
		t.Errorf("%+v", out)
	}
	// The 0.5 L of a home run in home 0, which cannot have it, is not tried to be met:
	// limits end a step below the 1 L that it stores as it is.
	check.Within(t, 0.5, curves[0].Points[len(curves[0].Points)-1].Limit, 1e-9*math.Max(1, math.Abs(0.5)), "the tightest limit")
}

// TestWithoutCosts: the first layout that meets the limit is taken.
func TestWithoutCosts(t *testing.T) {
	c, f := stock(t, "costs:", "#")
	curves, _, err := New(c, f, StoredVolume, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := at(t, curves[0], 4) // homes 4 to 7 take home runs, 8 the pump
	check.Within(t, (4*4+7)/9.0, p.Saved[Water].Mean, 1e-9*math.Max(1, math.Abs((4*4+7)/9.0)), "water")
	if p.Cost != nil || !math.IsNaN(p.Unit[Water].Mean) {
		t.Error("a cost of none given")
	}
}

func TestMeasures(t *testing.T) {
	c, f := stock(t)
	for _, m := range []struct {
		measure             Measure
		limit, comply, able float64
	}{
		{Length, 40, 4.0 / 9, 1},
		{Wait, 25, 0, 1},
		{Wait, 30, 1, 1},
		{Insulation, 13, 0, 1},
		{Insulation, 0, 1, 1},
		{Control, 2, 1, 1},
	} {
		curves, _, err := New(c, f, m.measure, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		p := at(t, curves[0], m.limit)
		check.Within(t, m.comply, p.Comply.Mean, 1e-9*math.Max(1, math.Abs(m.comply)), m.measure.String()+" comply")
		check.Within(t, m.able, p.Able.Mean, 1e-9*math.Max(1, math.Abs(m.able)), m.measure.String()+" able")
	}
}

// TestGroups: the homes of each value of a factor have a curve of their own.
func TestGroups(t *testing.T) {
	c, f := stock(t)
	curves, _, err := New(c, f, StoredVolume, 1, []string{"storeys"})
	if err != nil || len(curves) != 3 {
		t.Fatal(len(curves), err)
	}
	one, two := curves[1], curves[2]
	if one.Factor != "storeys" || one.Group.Level != "1" || one.Homes != 5 || two.Homes != 4 {
		t.Errorf("%q %q: %d and %d", one.Factor, one.Group.Level, one.Homes, two.Homes)
	}
	check.Within(t, 0.8, at(t, one, 4).Comply.Mean, 1e-9*math.Max(1, math.Abs(0.8)), "comply")
	check.Within(t, 0, at(t, two, 4).Comply.Mean, 1e-9*math.Max(1, math.Abs(0)), "comply")
	if _, _, err := New(c, f, StoredVolume, 1, []string{"floors"}); err == nil || err.Error() != `the study has no factor "floors"; there are storeys, size` {
		t.Error(err)
	}
}

// TestOneHome: of a group of homes all but one failed, and that one, which stores 9 L, tells
// what a limit saves it, and nothing of how sure that is of others.
func TestOneHome(t *testing.T) {
	c, f := stockOf(t, func(r *store.Run) {
		if r.Case < 8 {
			r.Cause, r.Layouts = "a failure", nil
		}
	}, asSample...)
	curves, _, err := New(c, f, StoredVolume, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	one := curves[0]
	if one.Homes != 1 {
		t.Fatalf("%d homes", one.Homes)
	}
	p := at(t, one, 4)
	check.Within(t, 7, p.Saved[Water].Mean, 1e-9, "water saved")
	for what, i := range map[string]sim.Interval{"saved": p.Saved[Water], "cost of it": p.Unit[Water], "knee": one.Knees[Water].Limit} {
		if math.IsNaN(i.Mean) || !math.IsNaN(i.Low) || !math.IsNaN(i.High) {
			t.Errorf("%s: %+v", what, i)
		}
	}
}

// TestGrid: the cases of a grid are chosen and all there are, so intervals are over the years
// of the homes. In three years the layouts that homes have take 9, 10 and 11 m³, and make
// people wait for 29, 30 and 31 s.
func TestGrid(t *testing.T) {
	const student = 4.302653 // t(0.975, 2), Student's table
	c, f := stockOf(t, func(r *store.Run) {
		own := &r.Layouts[0]
		own.Annual[sim.Purged] += float64(r.Replicate - 1)
		own.Fixtures[0].WaitP90 += float64(r.Replicate - 1)
	}, "sampling: grid", "sampling: grid\nreplicates: 3")
	curves, _, err := New(c, f, StoredVolume, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	// At 2 L homes 2 and 3 of the nine take home runs, in any year; they save 3, 4 and 5 m³.
	p := at(t, curves[0], 2)
	check.Within(t, 8.0/9, p.Saved[Water].Mean, 1e-9, "water")
	check.Within(t, student*(2.0/9)/math.Sqrt(3), p.Saved[Water].HalfWidth(), 1e-6, "half-width of water")
	// Both cost 300 USD more: 100, 75 and 60 USD for a cubic metre, of deviation √408.33.
	check.Within(t, student*math.Sqrt(1225.0/3)/math.Sqrt(3), p.Unit[Water].HalfWidth(), 1e-4, "half-width of the cost of a cubic metre")
	for what, i := range map[string]sim.Interval{"comply": p.Comply, "can": p.Able, "energy": p.Saved[Energy], "cost": *p.Cost, "knee": curves[0].Knees[Water].Limit} {
		check.Within(t, i.Mean, i.Low, 1e-9, what, " low")
		check.Within(t, i.Mean, i.High, 1e-9, what, " high")
	}
	// All homes wait 30 s in the mean, and in one year of three longer: of so few years the
	// interval is wider than shares go.
	if curves, _, err = New(c, f, Wait, 1, nil); err != nil {
		t.Fatal(err)
	}
	if got, want := at(t, curves[0], 30).Comply, (sim.Interval{Mean: 1, Low: 0, High: 1}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	// A year that one home lacks is left out: of the two others t(0.975, 1) = 12.7062, and
	// they save 3 and 4 m³ a home that changes.
	c, f = stockOf(t, func(r *store.Run) {
		r.Layouts[0].Annual[sim.Purged] += float64(r.Replicate - 1)
		if r.Case == 0 && r.Replicate == 2 {
			r.Cause, r.Layouts = "a failure", nil
		}
	}, "sampling: grid", "sampling: grid\nreplicates: 3")
	if curves, _, err = New(c, f, StoredVolume, 1, nil); err != nil {
		t.Fatal(err)
	}
	check.Within(t, 12.7062*(2.0/9)/2, at(t, curves[0], 2).Saved[Water].HalfWidth(), 1e-4, "half-width of two years")
	// One year alone gives no interval.
	c, f = stock(t)
	if curves, _, err = New(c, f, StoredVolume, 1, nil); err != nil {
		t.Fatal(err)
	}
	p = at(t, curves[0], 2)
	for what, i := range map[string]sim.Interval{"comply": p.Comply, "can": p.Able, "water": p.Saved[Water], "cost": *p.Cost, "cost of it": p.Unit[Water], "knee": curves[0].Knees[Water].Limit} {
		if math.IsNaN(i.Mean) || !math.IsNaN(i.Low) || !math.IsNaN(i.High) {
			t.Errorf("%s of one year: %+v", what, i)
		}
	}
}

func TestOneLayout(t *testing.T) {
	c, f := stock(t, "layouts: [trunk and branch, home run, pumped on demand]", "layouts: [trunk and branch]", "costs:", "#")
	if _, _, err := New(c, f, StoredVolume, 1, nil); err == nil || !strings.Contains(err.Error(), "run two or more") {
		t.Error(err)
	}
}

// TestLimits: tighter limits never let more homes comply, and every limit is a
// round number of units.
func TestLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var homes []*home
		for _, x := range rapid.SliceOfN(rapid.Float64Range(0.01, 50), 1, 20).Draw(t, "own") {
			homes = append(homes, &home{measured: []float64{x, x * rapid.Float64Range(0.1, 2).Draw(t, "other")}, barred: make([]bool, 2), year: make([][Gains]float64, 2)})
		}
		unit := rapid.SampledFrom([]float64{1, 3.785411784, 0.3048}).Draw(t, "unit")
		limits := StoredVolume.limits(homes, unit)
		before := len(homes)
		for i, limit := range limits {
			comply := 0
			for _, h := range homes {
				if h.under(StoredVolume, limit).comply {
					comply++
				}
			}
			if i == 0 && comply < len(homes) || comply > before {
				t.Fatalf("%d of %d comply with %g after %d", comply, len(homes), limit, before)
			}
			before = comply
		}
		if len(limits) > 40 || len(limits) == 0 {
			t.Fatalf("%d limits", len(limits))
		}
	})
}

// TestShare holds Wilson's interval against a value worked out in its paper's
// form: of 10, 1 gives 0.0179 to 0.4042.
//
// Source: R. G. Newcombe, Two-sided confidence intervals for the single
// proportion, Statistics in Medicine 17 (1998) 857, method 3 (from memory; worked
// again by hand from the formula).
func TestShare(t *testing.T) {
	i := share(append(make([]effect, 9), effect{comply: true}), func(e effect) bool { return e.comply })
	if !(math.Abs(i.Low-0.0179) < 5e-5 && math.Abs(i.High-0.4042) < 5e-5) {
		t.Errorf("%+v", i)
	}
}

func TestParseMeasure(t *testing.T) {
	if m, err := ParseMeasure("wait"); m != Wait || err != nil {
		t.Error(m, err)
	}
	if _, err := ParseMeasure("volume"); err == nil || err.Error() != `unknown limit "volume"; limits are set on stored-volume, length, wait, insulation, control` {
		t.Error(err)
	}
}

// TestLimitsOfOneLength: homes whose lengths, the same, come to numbers that
// rounding sets apart give the limits that one number gives, on whatever step of
// the unit it falls.
func TestLimitsOfOneLength(t *testing.T) {
	apart := func(metres float64) []float64 {
		return Length.limits([]*home{{measured: []float64{math.Nextafter(metres, 100), metres}, barred: make([]bool, 2)}}, 1)
	}
	for _, c := range []struct {
		metres float64
		want   []float64
	}{
		{23.7744, []float64{24, 23}}, // 78 ft
		{24, []float64{24, 23}},
	} {
		if got := apart(c.metres); !slices.Equal(got, c.want) {
			t.Errorf("%g m: %g, want %g", c.metres, got, c.want)
		}
	}
}

// TestLimitsOfOneThickness: so do insulations of one thickness, which are limits as they are.
func TestLimitsOfOneThickness(t *testing.T) {
	inch := 25.4
	half := math.Nextafter(inch/2, 0)
	homes := []*home{{measured: []float64{inch / 2, half, 0, inch, 0}, barred: make([]bool, 5)}}
	if got, want := Insulation.limits(homes, 1), []float64{0, half, inch}; !slices.Equal(got, want) {
		t.Errorf("%g, want %g", got, want)
	}
}
