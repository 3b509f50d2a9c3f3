package scenarios

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"pipelag/sim"
)

// Study is a file that says how to vary a scenario, read and found sound as far
// as that can be told without making the houses.
type Study struct {
	Name       string
	Source     string // the file's text
	Scenario   string // that it varies, as the file calls it: a file beside it, or an embedded one
	Layouts    []string
	Sampling   Sampling
	Samples    int // 0 in a grid
	Replicates int
	Seed       uint64
	OwnSeeds   bool // each case has its own random numbers
	Factors    []Factor
	Questions  []sim.Quantity
	Costs      []float64 // of building each of Layouts [money]; nil where none are given
	Currency   string    // of Costs; empty without
	file       string
	base       *Draft
	factors    *node
}

// Sampling is how cases are chosen.
type Sampling string

// The samplings.
const (
	Grid           Sampling = "grid"            // every combination of values
	LatinHypercube Sampling = "latin-hypercube" // each factor's range in as many strata as there are samples
	Halton         Sampling = "halton"          // a low-discrepancy sequence
	Sensitivity    Sampling = "sensitivity"     // pairs of samples and their mixtures, for indices
)

// Factor is one thing that varies. It has Levels or else a Range.
type Factor struct {
	Name   string
	Levels []Level
	Shares []float64 // of the levels; nil if alike
	Range  *Range
	at     *node
	paths  []path
	places []path // in the base, that the paths mean
}

// Level is one of a factor's values.
type Level struct {
	Label string
	value *node
}

// Range is a factor's numbers between two.
type Range struct {
	Unit            string // empty for none
	From, To        float64
	Steps           int // in a grid
	Distribution    Distribution
	Mean, Deviation float64 // Normal
	Peak            float64 // Triangular
	fromAt, toAt    *node
}

// Distribution is how a range's numbers are spread, cut off at its ends.
type Distribution string

// The distributions.
const (
	Uniform    Distribution = "uniform"
	LogUniform Distribution = "log-uniform"
	Normal     Distribution = "normal"
	Triangular Distribution = "triangular"
)

// Setting is a factor's value in one case: the number of a level, or a number
// within the range.
type Setting struct {
	Level  int
	Number float64
}

// LoadStudy reads a study's file and the scenario it names. The error is Errors
// if a file was read and is wrong.
func LoadStudy(path string) (*Study, error) {
	data, err := firstBytes(path, maxFile+1)
	if err != nil {
		return nil, err
	}
	return readStudy(path, filepath.Dir(path), data)
}

// ReloadStudy reads a study that was kept with its results, and the scenario that
// was kept beside it, whatever name the study has for it. Of the records that the
// scenario may name it needs none, so long as no house is made.
func ReloadStudy(path, scenario string) (*Study, error) {
	data, err := firstBytes(path, maxFile+1)
	if err != nil {
		return nil, err
	}
	base, err := loadDraft(scenario)
	if err != nil {
		return nil, err
	}
	return newStudy(path, data, func(*reader, said[string]) *Draft { return base })
}

func readStudy(file, folder string, data []byte) (*Study, error) {
	return newStudy(file, data, func(r *reader, s said[string]) *Draft { return r.base(s, folder) })
}

// newStudy makes a study of its text; base finds the scenario that it names.
func newStudy(file string, data []byte, base func(*reader, said[string]) *Draft) (*Study, error) {
	r := newReader(file, "name:, scenario:, sampling: and factors:")
	root := r.tree(data)
	if root == nil || len(r.mistakes) > 0 {
		return nil, r.err()
	}
	var s studySaid
	studyKeys.read(r, root, &s)
	made := &Study{
		Name: s.name.value, Source: string(data), Scenario: s.scenario.value, file: file,
		Sampling: Sampling(s.sampling.value), Samples: s.samples.value,
		Replicates: max(s.replicates.value, 1), Seed: 1, OwnSeeds: s.seeds.value == ownSeeds,
		factors: root.below("factors"),
	}
	if s.seed.at != nil {
		made.Seed = uint64(s.seed.value)
	}
	if s.scenario.at != nil {
		made.base = base(r, s.scenario)
	}
	r.samples(s, made, root)
	for _, f := range s.factors {
		switch {
		case slices.Contains(reserved(), f.name):
			r.fault(f.at, fmt.Sprintf("a factor is called %q, as a column of results is", f.name), "give it another name")
		case strings.ContainsAny(f.name, ",`\"\\"):
			r.fault(f.at, fmt.Sprintf("%q cannot be the name of a column of results", f.name), "leave out commas, quotes and backslashes")
		case f.name == "-": // which means no column at all, to what writes Parquet
			r.fault(f.at, `"-" cannot be the name of a column of results`, "call it what it is, such as size")
		}
		made.Factors = append(made.Factors, r.factor(f, made))
	}
	for _, q := range s.questions.value {
		quantity, err := sim.ParseQuantity(q.value)
		if err != nil {
			r.advise(q.at, err, "name one of these")
		} else if slices.Contains(made.Questions, quantity) {
			r.fault(q.at, fmt.Sprintf("%q stands here twice", q.value), "keep one")
		}
		made.Questions = append(made.Questions, quantity)
	}
	if s.questions.at == nil {
		made.Questions = []sim.Quantity{sim.Purged, sim.Wait, sim.HeaterInput, sim.Cost}
	}
	r.layouts(s, made)
	if err := r.err(); err != nil {
		return nil, err
	}
	return made, nil
}

// reserved are names of columns that stand beside the factors' in results.
func reserved() []string {
	names := []string{
		"case", "replicate", "seed", "layout", "arrangement", "control", "insulation_mm", "unlike", "fixture", "stored_beyond_loop_L", "length_beyond_loop_m",
		"draws_per_day", "waiting_per_day", "wait_p50_s", "wait_p90_s", "purged_L_per_draw", "never_hot", "hot_drawn_L_per_day", "cause",
	}
	for q := range sim.Quantities {
		names = append(names, sim.Quantity(q).Key())
	}
	return names
}

// base reads the scenario that a study varies.
func (r *reader) base(s said[string], folder string) *Draft {
	var d *Draft
	var err error
	if slices.Contains(embeddedNames, s.value) {
		text, failure := EmbeddedText(s.value)
		if err = failure; err == nil {
			d, err = draft(s.value, "", text)
		}
	} else {
		path := s.value
		if !filepath.IsAbs(path) {
			path = filepath.Join(folder, path)
		}
		d, err = loadDraft(path)
	}
	if wrong, ok := err.(Errors); ok {
		r.mistakes = append(r.mistakes, wrong...)
	} else if err != nil {
		r.fault(s.at, err.Error(), "name a file beside the study, or one of "+strings.Join(embeddedNames, ", "))
	}
	return d
}

// samples holds the number of samples against the sampling.
func (r *reader) samples(s studySaid, made *Study, root *node) {
	switch {
	case made.Sampling == "":
	case made.Sampling == Grid && s.samples.at != nil:
		r.fault(s.samples.at, "samples of a grid", "remove samples, for a grid takes every combination; or choose another sampling")
	case made.Sampling != Grid && root.below("samples") == nil:
		r.fault(s.sampling.at, fmt.Sprintf("the sampling is %s and there is no number of samples", made.Sampling), "add samples: 100")
	}
}

// layouts finds the layouts to run and what they cost.
func (r *reader) layouts(s studySaid, made *Study) {
	if made.base == nil {
		return
	}
	var all []string
	if layouts := made.base.root.below("layouts"); layouts != nil && layouts.shape == list {
		all = layouts.names()
	}
	for _, l := range s.layouts.value {
		if !slices.Contains(all, l.value) {
			r.fault(l.at, fmt.Sprintf("the scenario has no layout %q", l.value), suggest(l.value, "layouts", all))
		}
		if slices.Contains(made.Layouts, l.value) {
			r.fault(l.at, fmt.Sprintf("%q stands here twice", l.value), "keep one")
		}
		made.Layouts = append(made.Layouts, l.value)
	}
	if s.layouts.at == nil {
		made.Layouts = all
	}
	if s.costs.at == nil {
		return
	}
	made.Costs = make([]float64, len(made.Layouts))
	given := make([]bool, len(made.Layouts))
	for _, c := range s.costs.value {
		i := slices.Index(made.Layouts, c.name)
		if i < 0 {
			r.fault(c.at, fmt.Sprintf("a cost of %q, which is not run", c.name), suggest(c.name, "layouts", made.Layouts))
			continue
		}
		if made.Currency = cmp.Or(made.Currency, c.value.currency); made.Currency != c.value.currency {
			r.fault(c.at, fmt.Sprintf("a cost in %s beside one in %s", c.value.currency, made.Currency), "give all costs in one currency")
		}
		made.Costs[i], given[i] = c.value.amount, true
	}
	if i := slices.Index(given, false); i >= 0 {
		r.fault(s.costs.at, fmt.Sprintf("no cost of layout %q", made.Layouts[i]), "give the cost of every layout that is run")
	}
}
