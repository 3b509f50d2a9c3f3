package summary

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pipelag/internal/check"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/sensitivity"
	"pipelag/studies/store"
)

const grid = `name: Grid
scenario: courtyard
layouts: [trunk and branch, pumped on demand]
sampling: grid
replicates: 2
questions: [purged_L]
factors:
  people: {path: people, values: [1, 3]}
  setpoint: {path: heater.setpoint, from: 120 F, to: 140 F, steps: 3}
`

// made keeps runs of a study whose numbers a function gives, by layout; it fails
// a run that it gives NaN for.
func made(t *testing.T, text string, water func(settings []scenarios.Setting, i, replicate, layout int) float64) *Summary {
	t.Helper()
	return madeOf(t, text, water, func(*store.Layout, []scenarios.Setting) {})
}

// madeOf keeps the same with something changed in each layout's year.
func madeOf(t *testing.T, text string, water func(settings []scenarios.Setting, i, replicate, layout int) float64, change func(*store.Layout, []scenarios.Setting)) *Summary {
	t.Helper()
	path := filepath.Join(t.TempDir(), "s.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
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
	keep(t, f, func(i, r int) store.Run {
		run := store.Run{Case: i, Replicate: r}
		for k, name := range s.Layouts {
			x := water(c.Settings(i), i, r, k)
			if math.IsNaN(x) {
				run.Cause = "a failure"
				continue
			}
			l := store.Layout{Name: name, Annual: sim.Values{sim.Purged: x}}
			change(&l, c.Settings(i))
			run.Layouts = append(run.Layouts, l)
		}
		return run
	})
	sum, err := New(c, f, nil)
	if err != nil {
		t.Fatal(err)
	}
	return sum
}

// keep fills a folder with the runs that a function gives.
func keep(t *testing.T, f *store.Folder, run func(i, replicate int) store.Run) {
	t.Helper()
	parts, err := f.Missing(func([]store.Run) bool { return true })
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range parts {
		var runs []store.Run
		for i := p.First; i <= p.Last; i++ {
			for r := range f.Manifest.Replicates {
				runs = append(runs, run(i, r))
			}
		}
		if err := f.Fill(p, runs); err != nil {
			t.Fatal(err)
		}
	}
}

// additive is 10 × the level of people + the setpoint above 120 F, and a year's
// chance that both layouts share.
func additive(settings []scenarios.Setting, _, replicate, layout int) float64 {
	return 100 + 10*float64(settings[0].Level) + settings[1].Number - 120 + 5*float64(replicate) - 40*float64(layout)
}

// TestCauses tells why runs failed, each cause with its runs and its first case, and
// how many failed for causes beyond those told.
func TestCauses(t *testing.T) {
	few := made(t, grid, func(settings []scenarios.Setting, i, replicate, layout int) float64 {
		if i == 2 || i == 4 && replicate == 1 {
			return math.NaN()
		}
		return additive(settings, i, replicate, layout)
	})
	if want := []Cause{{Text: "a failure", Runs: 3, FirstCase: 2}}; few.Failed != 3 || !slices.Equal(few.Causes, want) || few.Untold() != 0 {
		t.Errorf("%d failed: %+v", few.Failed, few.Causes)
	}
}

// TestManyCauses lists fifty causes, and counts the runs that failed for others.
func TestManyCauses(t *testing.T) {
	f, err := store.Open(t.TempDir(), store.Manifest{Version: "1", Study: "s", Cases: 60, Replicates: 2})
	if err != nil {
		t.Fatal(err)
	}
	keep(t, f, func(i, r int) store.Run {
		return store.Run{Case: i, Replicate: r, Cause: fmt.Sprintf("case %d is wrong", i+1)}
	})
	all, err := causes(f)
	if err != nil {
		t.Fatal(err)
	}
	s := Summary{Failed: 120, Causes: all}
	if len(all) != 50 || all[49] != (Cause{Text: "case 50 is wrong", Runs: 2, FirstCase: 49}) || s.Untold() != 20 {
		t.Errorf("%d causes, the last %+v, and %d runs untold", len(all), all[len(all)-1], s.Untold())
	}
}

// TestLeftOut: a layout that serves less in the cases of one person is left out in
// three of six.
func TestLeftOut(t *testing.T) {
	s := madeOf(t, grid, additive, func(l *store.Layout, settings []scenarios.Setting) {
		if l.Name == "pumped on demand" && settings[0].Level == 0 {
			l.Unlike = sim.ServesLess
		}
	})
	if want := []studies.LeftOut{{Layout: "pumped on demand", Why: sim.ServesLess, Cases: 3}}; !slices.Equal(s.LeftOut, want) {
		t.Errorf("%+v", s.LeftOut)
	}
}

// TestLeftOutOfMixtures: of four samples of two factors there are 16 cases, of which 8
// are mixtures (Saltelli and others 2010, from memory). People are those of the first
// sample in one mixture and of the second in the other, so that the layout is left out
// in as many mixtures as other cases, and counts are over both; means are over the rest.
func TestLeftOutOfMixtures(t *testing.T) {
	text := strings.Replace(strings.Replace(grid, "sampling: grid", "sampling: sensitivity\nsamples: 4", 1), ", steps: 3", "", 1)
	few := map[int]bool{} // cases of one person
	sum := func(failing int) *Summary {
		return madeOf(t, text, func(settings []scenarios.Setting, i, replicate, layout int) float64 {
			if i == failing {
				return math.NaN()
			}
			few[i] = settings[0].Level == 0
			return additive(settings, i, replicate, layout)
		}, func(l *store.Layout, settings []scenarios.Setting) {
			if l.Name == "pumped on demand" && settings[0].Level == 0 {
				l.Unlike = sim.ServesLess
			}
		})
	}
	s := sum(-1)
	short, own := 0, 0
	for i, so := range few {
		if so && i%4 < 2 {
			own++
		}
		if so {
			short++
		}
	}
	if own == 0 || own == 8 || short != 2*own {
		t.Fatalf("%d cases of one person, %d of them no mixtures: %v", short, own, few)
	}
	if want := []studies.LeftOut{{Layout: "pumped on demand", Why: sim.ServesLess, Cases: short}}; !slices.Equal(s.LeftOut, want) || s.Answered != 16 || s.Averaged != 8 {
		t.Errorf("%+v of %d cases, %d averaged", s.LeftOut, s.Answered, s.Averaged)
	}
	if s := sum(3); s.Answered != 15 || s.Averaged != 8 { // a mixture fails
		t.Errorf("%d cases answered, %d averaged", s.Answered, s.Averaged)
	}
	if s := sum(4); s.Answered != 15 || s.Averaged != 7 {
		t.Errorf("%d cases answered, %d averaged", s.Answered, s.Averaged)
	}
}

// TestGrid by hand: the levels of people give 0 and 10, the setpoints 0, 10 and
// 20, the replicates 0 and 5.
func TestGrid(t *testing.T) {
	s := made(t, grid, additive)
	if s.Cases != 6 || s.Runs != 12 || s.Failed != 0 || len(s.Answers) != 3 {
		t.Fatalf("%+v", s)
	}
	check.Within(t, 100+5+10+2.5, s.Answers[0].Mean.Mean, 1e-9*math.Max(1, math.Abs(100+5+10+2.5)), "mean")
	// Over replicates: two means, 2.5 off on either side; t(0.975, 1) = 12.7062.
	if got := s.Answers[0].Mean.HalfWidth(); !(math.Abs(got-12.7062*2.5*math.Sqrt2/math.Sqrt2) < 1e-3) {
		t.Errorf("half-width %g", got)
	}
	check.Within(t, 117.5, s.Answers[0].P50, 1e-9*math.Max(1, math.Abs(117.5)), "median")
	d := s.Answers[2]
	if d.Against != "trunk and branch" || d.Layout != "pumped on demand" {
		t.Errorf("%+v", d.Response)
	}
	check.Within(t, -40, d.Mean.Mean, 1e-9*math.Max(1, math.Abs(-40)), "difference")
	check.Within(t, 0, d.Mean.HalfWidth(), 1e-9*math.Max(1, math.Abs(0)), "its half-width")

	if len(s.Groups) != 5 || s.Groups[1].Factor != "people" || s.Groups[1].Level != "3" || s.Groups[4].Level != "140 F" || s.Groups[4].Cases != 2 {
		t.Fatalf("%+v", s.Groups)
	}
	check.Within(t, 100+10+10+2.5, s.Groups[1].Answers[0].Mean.Mean, 1e-9*math.Max(1, math.Abs(100+10+10+2.5)), "three people")
	check.Within(t, 100+5+20+2.5, s.Groups[4].Answers[0].Mean.Mean, 1e-9*math.Max(1, math.Abs(100+5+20+2.5)), "140 F")

	// Variances 25 of people and 200/3 of setpoints.
	e := s.Effects[0]
	check.Within(t, 25/(25+200.0/3), e.Factors[0].First.Mean, 1e-9*math.Max(1, math.Abs(25/(25+200.0/3))), "people")
	check.Within(t, 25/(25+200.0/3), e.Factors[0].Total.Mean, 1e-9*math.Max(1, math.Abs(25/(25+200.0/3))), "people, total")
	check.Within(t, 200.0/3/(25+200.0/3), e.Factors[1].First.Mean, 1e-9*math.Max(1, math.Abs(200.0/3/(25+200.0/3))), "setpoint")
	if len(e.Pairs) != 0 || len(s.Effects) != 2 || len(s.Paired) != 0 {
		t.Errorf("%+v, %+v", s.Effects, s.Paired) // the difference does not vary at all
	}
}

// TestInteraction shows what two factors change together.
func TestInteraction(t *testing.T) {
	s := made(t, grid, func(settings []scenarios.Setting, _, _, _ int) float64 {
		return (2*float64(settings[0].Level) - 1) * (settings[1].Number - 130)
	})
	e := s.Effects[0]
	check.Within(t, 0, e.Factors[1].First.Mean, 1e-9*math.Max(1, math.Abs(0)), "alone")
	check.Within(t, 1, e.Factors[1].Total.Mean, 1e-9*math.Max(1, math.Abs(1)), "together")
	if len(e.Pairs) != 1 || e.Pairs[0].Factors != [2]string{"people", "setpoint"} {
		t.Fatalf("%+v", e.Pairs)
	}
	check.Within(t, 1, e.Pairs[0].Share.Mean, 1e-9*math.Max(1, math.Abs(1)), "pair")
}

// TestPaired: the chance of a year is 8 times as large as what tells the layouts
// apart in it. With x the chance and e what is of a layout alone, the variances
// of x + e, x and their difference e are V + v, V and v: (2 V + v)/v times.
func TestPaired(t *testing.T) {
	s := made(t, grid, func(_ []scenarios.Setting, _, replicate, layout int) float64 {
		return 8*float64(replicate) + float64(replicate*layout)
	})
	if len(s.Paired) != 1 {
		t.Fatalf("%+v", s.Paired)
	}
	check.Within(t, (8*8+9*9)/1.0, s.Paired[0].Times, 1e-9*math.Max(1, math.Abs((8*8+9*9)/1.0)), "times")
}

// TestFailed: cases that failed count for nothing, and effects, which need the
// whole grid, are told not to be there.
func TestFailed(t *testing.T) {
	s := made(t, grid, func(settings []scenarios.Setting, i, replicate, layout int) float64 {
		if i == 5 {
			return math.NaN()
		}
		return additive(settings, i, replicate, layout)
	})
	if s.Failed != 2 || s.Runs != 10 {
		t.Errorf("%d failed, %d made", s.Failed, s.Runs)
	}
	check.Within(t, 100+10+5+2.5, s.Groups[1].Answers[0].Mean.Mean, 1e-9*math.Max(1, math.Abs(100+10+5+2.5)), "three people")
	if len(s.Effects) != 0 || len(s.Notes) != 1 || !strings.HasPrefix(s.Notes[0], "Effects need a replicate in which no case failed") {
		t.Errorf("%+v %q", s.Effects, s.Notes)
	}
}

// TestFailedReplicate: the interval of a grid is from the years that all cases
// have, the second and third here: 5 and 20 above the first, 7.5 off their mean;
// t(0.975, 1) = 12.7062. Where cases share no year there is none.
func TestFailedReplicate(t *testing.T) {
	three := strings.Replace(grid, "replicates: 2", "replicates: 3", 1)
	year := func(replicate int) float64 { return 100 + 5*float64(replicate*replicate) }
	s := made(t, three, func(_ []scenarios.Setting, i, replicate, _ int) float64 {
		if i == 0 && replicate == 0 {
			return math.NaN()
		}
		return year(replicate)
	})
	if got := s.Answers[0].Mean.HalfWidth(); !(math.Abs(got-12.7062*7.5) < 1e-3) {
		t.Errorf("half-width %g", got)
	}
	apart := made(t, three, func(_ []scenarios.Setting, i, replicate, _ int) float64 {
		if (i == 0) == (replicate == 0) {
			return math.NaN()
		}
		return year(replicate)
	})
	if got := apart.Answers[0].Mean; !math.IsNaN(got.Low) || !math.IsNaN(got.High) || math.IsNaN(got.Mean) {
		t.Errorf("%+v", got)
	}
}

// TestSensitivity: the indices of a sum of two uniform numbers, one of twice the
// range, are 0.2 and 0.8.
func TestSensitivity(t *testing.T) {
	text := strings.NewReplacer("sampling: grid", "sampling: sensitivity\nsamples: 100", ", steps: 3", "",
		"people: {path: people, values: [1, 3]}", "mains: {path: climate.mains.mean, from: 50 F, to: 60 F}", "replicates: 2", "replicates: 1").Replace(grid)
	s := made(t, text, func(settings []scenarios.Setting, _, _, _ int) float64 {
		return settings[0].Number + settings[1].Number
	})
	if s.Cases != 400 || len(s.Groups) != 10 {
		t.Fatalf("%d cases, %d groups", s.Cases, len(s.Groups))
	}
	for i, want := range []float64{0.2, 0.8} {
		f := s.Effects[0].Factors[i]
		if !(math.Abs(f.First.Mean-want) < 0.08 && math.Abs(f.Total.Mean-want) < 0.08 && f.First.Low <= want && want <= f.First.High) {
			t.Errorf("%+v, want %g", f, want)
		}
	}
	if len(s.Notes) != 1 {
		t.Errorf("more than what the mixtures are for is told: %q", s.Notes)
	}
	// The sum of a share u of 10 °F and v of 20 °F, in their own degrees: 500/12 of
	// variance, of 200 points on their own. The mixtures are no more points: with them the
	// interval would be 0.7 of this.
	want := 1.972 * math.Sqrt(500.0/12/200) // t(0.975, 199)
	if got := s.Answers[0].Mean.HalfWidth(); !(math.Abs(got/want-1) < 0.05) {
		t.Errorf("half-width %g, want %g", got, want)
	}
	members := 0
	for _, g := range s.Groups[:5] {
		members += g.Cases
	}
	if members != 200 {
		t.Errorf("%d cases in the groups of a factor", members)
	}
}

// TestDoubtfulShares: shares of a variance lie from 0 to 1, and a factor's with all it
// interacts with is no less than its alone.
func TestDoubtfulShares(t *testing.T) {
	i := func(mean, low, high float64) sim.Interval { return sim.Interval{Mean: mean, Low: low, High: high} }
	sound := i(0.5, 0.4, 0.6)
	for name, c := range map[string]struct {
		first, total sim.Interval
		doubtful     bool
	}{
		"sound":                       {sound, sound, false},
		"below 0":                     {i(-0.14, -0.2, -0.1), sound, true},
		"below 0, as its interval is": {i(-0.14, -0.4, 0.1), sound, false},
		"hardly below 0":              {i(-0.02, -0.03, -0.01), i(0.01, 0, 0.02), false},
		"above 1":                     {i(1.3, 1.1, 1.5), i(1.4, 0.9, 1.6), true},
		"above 1 in all":              {sound, i(1.3, 1.1, 1.5), true},
		"more alone":                  {i(0.8, 0.7, 0.9), sound, true},
		"more alone, by its interval": {i(0.6, 0.4, 0.8), sound, false},
		"unknown":                     {i(0.7, 0.1, 1.3), i(0.7, 0.4, 1), true},
		"unknown in all":              {sound, i(0.7, 0, 1.3), true},
		"without intervals":           {i(0.7, math.NaN(), math.NaN()), i(0.7, math.NaN(), math.NaN()), false},
	} {
		e := Effect{Factors: []FactorEffect{{Index: sensitivity.Index{First: sound, Total: sound}}, {Index: sensitivity.Index{First: c.first, Total: c.total}}}}
		if got := e.doubtful(); got != c.doubtful {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// TestTogether: no more questions are answered at a time than have room with the number
// that is held beside theirs; but one always.
func TestTogether(t *testing.T) {
	for _, numbers := range []int{1, 1000, 1 << 20, 3 << 20, 5 << 20, 1 << 30} {
		for questions := 1; questions < 40; questions++ {
			n := together(questions, numbers)
			fits := func(n int) bool { return (n+1)*numbers <= mostNumbers }
			if n < 1 || n > questions || n > 1 && !fits(n) || n < questions && fits(n+1) {
				t.Errorf("%d of %d questions of %d numbers", n, questions, numbers)
			}
		}
	}
}
