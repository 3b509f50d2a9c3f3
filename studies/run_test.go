package studies

import (
	"context"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pipelag/internal/fault"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies/store"
)

// tinyStudy is of a house of one tap, quick to simulate.
const tinyStudy = `name: Tiny study
scenario: tiny.yaml
sampling: halton
samples: 5
replicates: 2
factors:
  length: {path: ['layouts[wide].pipes[1].length', 'layouts[narrow].pipes[1].length'], from: 2 m, to: 9 m}
  setpoint: {path: heater.setpoint, values: [50 C, 60 C]}
`

// load reads a study of the tiny house, with replacements made in both texts.
func load(tb testing.TB, replace ...string) *Cases {
	tb.Helper()
	folder := tb.TempDir()
	tiny, err := os.ReadFile("testdata/tiny.yaml")
	if err != nil {
		tb.Fatal(err)
	}
	for name, text := range map[string]string{"tiny.yaml": string(tiny), "study.yaml": tinyStudy} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(strings.NewReplacer(replace...).Replace(text)), 0o644); err != nil {
			tb.Fatal(err)
		}
	}
	s, err := scenarios.LoadStudy(filepath.Join(folder, "study.yaml"))
	if err != nil {
		tb.Fatal(err)
	}
	c, err := NewCases(s, 0)
	if err != nil {
		tb.Fatal(err)
	}
	return c
}

func manifest(tb testing.TB, c *Cases) store.Manifest {
	tb.Helper()
	hash, err := c.Hash()
	if err != nil {
		tb.Fatal(err)
	}
	return store.Manifest{Version: "test", Study: hash, Name: c.Study.Name, Cases: c.Count, Replicates: c.Study.Replicates}
}

// run runs a study into a folder.
func run(tb testing.TB, c *Cases, path string, o Options) *store.Folder {
	tb.Helper()
	f, err := store.Open(path, manifest(tb, c))
	if err == nil {
		err = Run(context.Background(), c, f, o)
	}
	if err != nil {
		tb.Fatal(err)
	}
	return f
}

// contents are all files of a folder with their bytes.
func contents(tb testing.TB, path string) map[string]string {
	tb.Helper()
	files := make(map[string]string)
	if err := filepath.WalkDir(path, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(name)
		files[strings.TrimPrefix(name, path)] = string(text)
		return err
	}); err != nil {
		tb.Fatal(err)
	}
	return files
}

func same(tb testing.TB, got, want string) {
	tb.Helper()
	a, b := contents(tb, got), contents(tb, want)
	for name, text := range b {
		if a[name] != text {
			tb.Errorf("%s differs or is missing in %s", name, got)
		}
	}
	for name := range a {
		if _, ok := b[name]; !ok {
			tb.Errorf("%s is not to be in %s", name, got)
		}
	}
}

// all are the runs of a folder.
func all(tb testing.TB, f *store.Folder) []store.Run {
	tb.Helper()
	var runs []store.Run
	if err := f.Each(func(r *store.Run) error { runs = append(runs, *r); return nil }); err != nil {
		tb.Fatal(err)
	}
	return runs
}

// TestRunIsASimulatedYear holds a run to be the year that the engine gives of the
// case's scenario and seed.
func TestRunIsASimulatedYear(t *testing.T) {
	c := load(t)
	runs := all(t, run(t, c, t.TempDir(), Options{}))
	if len(runs) != 10 {
		t.Fatalf("%d runs", len(runs))
	}
	r := runs[7]
	if r.Case != 3 || r.Replicate != 1 || r.Seed != 2 {
		t.Fatalf("%+v", r)
	}
	d, err := c.Study.Case(c.Settings(3))
	if err != nil {
		t.Fatal(err)
	}
	s, err := d.Scenario()
	if err != nil {
		t.Fatal(err)
	}
	h := s.House()
	want, err := sim.Run(context.Background(), &h, sim.Options{Seed: 2, Years: 1})
	if err != nil {
		t.Fatal(err)
	}
	for k, l := range want.Layouts {
		for q := range sim.Quantities {
			if got, want := r.Layouts[k].Annual[q], l.Annual[q].Mean; !(got >= want*(1-1e-14) && got <= want*(1+1e-14)) {
				t.Errorf("%s, %s: %g, want %g", l.Name, sim.Quantity(q).Key(), got, want)
			}
		}
		if got := r.Layouts[k].Fixtures[0].WaitP90; got != l.Fixtures[0].Waits.P90 {
			t.Error(got)
		}
	}
	// 6 m of 15 × 1 mm hold π 6.5² mm² × 6 m.
	length := c.Settings(3)[0].Number
	if got, want := r.Layouts[0].Fixtures[0].Stored, 3.14159265*0.065*0.065*length*10; !(got > want*0.9999 && got < want*1.0001) {
		t.Errorf("%g L stored, want %g", got, want)
	}
	if r.Layouts[0].Fixtures[0].Length != length || r.Layouts[0].Control != "none" || r.Layouts[0].Insulation != 0 {
		t.Errorf("%+v", r.Layouts[0])
	}
}

// TestInterrupted: a study stopped again and again goes on where it was, and
// ends with the bytes of one that was not, on any number of workers.
func TestInterrupted(t *testing.T) {
	c := load(t)
	whole, cut := t.TempDir(), t.TempDir()
	run(t, c, whole, Options{Workers: 1})
	stops := 0
	for range 20 {
		f, err := store.Open(cut, manifest(t, c))
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithCancel(context.Background())
		before := -1
		err = Run(ctx, c, f, Options{Workers: 3, Progress: func(done, _ int) {
			if before < 0 {
				before = done
			}
			if done > before+3 {
				cancel()
			}
		}})
		cancel()
		if err == nil {
			break
		}
		if !errors.Is(err, context.Canceled) {
			t.Fatal(err)
		}
		stops++
		// What a process leaves that dies while it writes.
		if err := os.WriteFile(filepath.Join(cut, "pieces", ".writing-left"), []byte("half"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if stops == 0 {
		t.Fatal("nothing was interrupted")
	}
	same(t, cut, whole)
}

// TestFactorWithinAnother: cases whose houses are made side by side do not meet in a value
// that one factor puts in and another changes.
func TestFactorWithinAnother(t *testing.T) {
	c := load(t, "sampling: halton\nsamples: 5", "sampling: grid",
		"  length: {path: ['layouts[wide].pipes[1].length', 'layouts[narrow].pipes[1].length'], from: 2 m, to: 9 m}\n", `  pipe:
    path: ['layouts[wide].pipes[1]', 'layouts[narrow].pipes[1]']
    values: {copper: {from: heater, to: basin, length: 6 m, tube: copper EN 1057, size: 15x1, zone: rooms}}
  length: {path: 'layouts[wide].pipes[1].length', from: 2 m, to: 9 m, steps: 50}
`)
	var crew sync.WaitGroup
	for i := range c.Count {
		crew.Go(func() {
			h, err := c.house(i)
			if err != nil {
				t.Error(err)
				return
			}
			want := [2]float64{c.Settings(i)[1].Number, 6}
			if got := [2]float64{h.layouts[0].Fixtures[0].Length, h.layouts[1].Fixtures[0].Length}; got != want {
				t.Errorf("case %d: pipes of %g m, want %g", i, got, want)
			}
		})
	}
	crew.Wait()
}

// TestFault: a fault of the program while a case is prepared, or while a year is lived
// through, stops the study and is told; it ends no program from within a goroutine.
func TestFault(t *testing.T) {
	for _, at := range []int{0, 1} { // told before any year is made, and with the first
		c := load(t)
		f, err := store.Open(t.TempDir(), manifest(t, c))
		if err != nil {
			t.Fatal(err)
		}
		err = Run(context.Background(), c, f, Options{Workers: 2, Progress: func(done, _ int) {
			if done == at {
				panic("no more room")
			}
		}})
		if !errors.Is(err, fault.Err) || !strings.Contains(err.Error(), "no more room") {
			t.Error(err)
		}
	}
}

// TestCasesEndInTurn: a study that is stopped loses the case it is at, not the
// next ones that it has begun.
func TestCasesEndInTurn(t *testing.T) {
	c, path := load(t, "replicates: 2", "replicates: 6"), t.TempDir()
	f, err := store.Open(path, manifest(t, c))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	err = Run(ctx, c, f, Options{Workers: 1, Progress: func(done, _ int) {
		if done == 3*6+2 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	if n := len(contents(t, filepath.Join(path, "pieces"))); n != 3 {
		t.Errorf("%d pieces after 20 of 30 runs of 5 cases, want 3", n)
	}
}

// TestGrows: more samples and replicates take over what there is, and end with
// the bytes of a study that began with them.
func TestGrows(t *testing.T) {
	grown, direct := t.TempDir(), t.TempDir()
	run(t, load(t), grown, Options{})
	more := load(t, "samples: 5", "samples: 7", "replicates: 2", "replicates: 3")
	made := 0
	before := contents(t, filepath.Join(grown, "pieces"))
	run(t, more, grown, Options{Progress: func(done, _ int) { made = done }})
	if made != 21 {
		t.Errorf("%d of 21 runs", made)
	}
	run(t, more, direct, Options{})
	same(t, grown, direct)
	if len(contents(t, filepath.Join(grown, "pieces"))) <= len(before) {
		t.Error("no more pieces than before")
	}
}

// TestNothingIsMadeTwice: what is there is not simulated again.
func TestNothingIsMadeTwice(t *testing.T) {
	c, path := load(t), t.TempDir()
	run(t, c, path, Options{})
	f, err := store.Open(path, manifest(t, c))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel() // nothing can be simulated
	if err := Run(ctx, c, f, Options{}); !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	if parts, err := f.Missing((&runner{cases: c, folder: f}).enough); err != nil || len(parts) != 0 {
		t.Errorf("%d parts are missing (%v)", len(parts), err)
	}
}

// TestShards: shards run apart, one of them twice at once, merge into the bytes
// of the whole study.
func TestShards(t *testing.T) {
	c := load(t)
	whole, parts, merged := t.TempDir(), t.TempDir(), filepath.Join(t.TempDir(), "merged")
	run(t, c, whole, Options{})
	done := make(chan error)
	for _, k := range []int{1, 2, 2, 3} {
		go func() {
			m := manifest(t, c)
			m.Shard = &store.Shard{Number: k, Of: 3}
			f, err := store.Open(filepath.Join(parts, m.Shard.Folder()), m)
			if err == nil {
				err = Run(context.Background(), c, f, Options{})
			}
			done <- err
		}()
	}
	for range 4 {
		if err := <-done; err != nil {
			t.Fatal(err)
		}
	}
	paths, err := store.Shards([]string{parts})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := store.Merge(paths, func(m store.Manifest) (*store.Folder, error) { return store.Open(merged, m) }); err != nil {
		t.Fatal(err)
	}
	same(t, merged, whole)
}

// TestFailedRun: a case that makes no house is kept with its cause, and the
// others are run.
func TestFailedRun(t *testing.T) {
	c := load(t, "[50 C, 60 C]", "[30 C, 60 C]")
	runs := all(t, run(t, c, t.TempDir(), Options{}))
	failed := 0
	for _, r := range runs {
		if r.Cause == "" {
			continue
		}
		failed++
		if len(r.Layouts) > 0 || r.Cause != `study.yaml:8:46: factor "setpoint": "30 C" is out of range; give a temperature from 35.0 C (95.0 F) to 90.0 C (194.0 F)` {
			t.Errorf("%+v", r)
		}
	}
	if failed != 4 && failed != 6 {
		t.Errorf("%d of %d runs failed", failed, len(runs))
	}
}

// TestPrecision stops the replicates of cases whose difference is known.
func TestPrecision(t *testing.T) {
	c := load(t, "replicates: 2", "replicates: 12")
	half := &sim.Precision{Quantity: sim.Purged, HalfWidth: 5e-3}
	runs := all(t, run(t, c, t.TempDir(), Options{Precision: half}))
	if len(runs) >= 60 || len(runs) < 20 {
		t.Fatalf("%d of 60 runs", len(runs))
	}
	for _, one := range store.Cases(runs) {
		if len(one) < 12 && (len(one)%batch != 0 || !precise(one, half)) {
			t.Errorf("case %d stopped after %d", one[0].Case, len(one))
		}
	}
}

// TestImprecise counts the cases whose difference is not known after all.
func TestImprecise(t *testing.T) {
	c := load(t)
	folder := t.TempDir()
	runs := all(t, run(t, c, folder, Options{}))
	f, err := store.Read(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, half := range []float64{1e-9, 5e-3, 1e9} {
		p := &sim.Precision{Quantity: sim.Purged, HalfWidth: half}
		want := 0
		for _, one := range store.Cases(runs) {
			if len(one) == 2 && !(math.Abs(changed(one[1])-changed(one[0]))/2*12.7062 <= half) { // Student's t of two values
				want++
			}
		}
		if got, err := Imprecise(f, p); err != nil || got != want {
			t.Errorf("to %g m³: %d cases are not known, and not %d (%v)", half, got, want, err)
		}
	}
}

// changed is what the second layout purges more than the first in a run.
func changed(r store.Run) float64 {
	return r.Layouts[1].Annual[sim.Purged] - r.Layouts[0].Annual[sim.Purged]
}

// TestOwnSeeds gives each case other years, and all replicates of a case
// neighbouring seeds.
func TestOwnSeeds(t *testing.T) {
	c := load(t, "samples: 5", "samples: 5\nseeds: own")
	seen := make(map[uint64]bool)
	for i := range c.Count {
		seen[c.Seed(i, 0)] = true
	}
	if len(seen) != c.Count || c.Seed(2, 1) != c.Seed(2, 0)+1 || c.Seed(0, 0) >= 1<<48 {
		t.Error(seen)
	}
}

// TestMixturesMeetTheSameYears: of a sensitivity design's case and the mixtures that
// differ from it by a factor each, the years are the same; those of the other sample are
// its own. What a year brings is then no effect of a factor that has none.
func TestMixturesMeetTheSameYears(t *testing.T) {
	c := load(t, "sampling: halton", "sampling: sensitivity", "samples: 5", "samples: 5\nseeds: own")
	m := len(c.Study.Factors) + 2
	for i := range c.Count {
		of := i
		if part := i % m; part > 1 {
			of = i - part
		}
		if c.Seed(i, 1) != c.Seed(of, 1) {
			t.Errorf("case %d meets other years than %d", i, of)
		}
	}
	if c.Seed(0, 0) == c.Seed(1, 0) || c.Seed(0, 0) == c.Seed(m, 0) {
		t.Error("cases that are not mixtures meet the same years")
	}
}

// TestTooManyCases: a grid of a billion is refused with its number, and its first
// cases are run if that is asked for.
func TestTooManyCases(t *testing.T) {
	const axis = "from: 1 m, to: 2 m, steps: 1000}\n"
	text := "name: Huge\nscenario: courtyard\nsampling: grid\nfactors:\n" +
		"  a: {path: 'fixtures[main tub].at[1]', " + axis + "  b: {path: 'fixtures[main tub].at[2]', " + axis + "  c: {path: 'fixtures[main tub].at[3]', " + axis
	path := filepath.Join(t.TempDir(), "huge.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := scenarios.LoadStudy(path)
	if err != nil {
		t.Fatal(err)
	}
	_, err = NewCases(s, 0)
	if want := `study "Huge" has 1000000000 cases; vary less, or run the first of them alone: pipelag study --limit`; err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
	_, err = NewCases(s, 1_000_001)
	if want := "the first 1000001 cases: more than a folder of results is planned for; ask for 1000000 at most"; err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
	c, err := NewCases(s, 7)
	if err != nil || c.Count != 7 {
		t.Fatal(c, err)
	}
	if n := c.Settings(6)[2].Number; n != 1.00601 { // 1 m + 6/999 m
		t.Error(n)
	}
}
