package scenarios

import (
	"bytes"
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"pipelag/sim"
)

// Study is a file that says how to vary a scenario, read and found sound as far
// as that can be told without making the houses.
type Study struct {
	Name       string
	Source     string // the file's text
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
		return nil, fmt.Errorf("study: %w", err)
	}
	return readStudy(path, filepath.Dir(path), data)
}

// ReloadStudy reads a study that was kept with its results, and the scenario that
// was kept beside it, whatever name the study has for it. Of the records that the
// scenario may name it needs none, so long as no house is made.
func ReloadStudy(path, scenario string) (*Study, error) {
	data, err := firstBytes(path, maxFile+1)
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	base, err := loadDraft(scenario)
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
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
		Name: s.name.value, Source: string(data), file: file,
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
	r.samples(s, made)
	for _, f := range s.factors {
		if slices.Contains(Reserved(), f.name) {
			r.fault(f.at, fmt.Sprintf("a factor is called %q, as a column of results is", f.name), "give it another name")
		}
		made.Factors = append(made.Factors, r.factor(f, made))
	}
	for _, q := range s.questions.value {
		quantity, err := sim.ParseQuantity(q.value)
		if err != nil {
			r.advise(q.at, err, "name one of these")
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

// Reserved lists names of columns that stand beside the factors' in results.
func Reserved() []string {
	names := []string{"case", "replicate", "seed", "layout", "arrangement", "control", "insulation_mm", "fixture", "cause"}
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
		data, failure := embeddedFiles.ReadFile("embedded/" + s.value + ".yaml")
		if err = failure; err == nil {
			d, err = draft(s.value, "", data)
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
func (r *reader) samples(s studySaid, made *Study) {
	switch {
	case made.Sampling == "":
	case made.Sampling == Grid && s.samples.at != nil:
		r.fault(s.samples.at, "samples of a grid", "remove samples, for a grid takes every combination; or choose another sampling")
	case made.Sampling != Grid && s.samples.at == nil:
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

// factor makes a factor of what the file says.
func (r *reader) factor(s named[factorSaid], made *Study) Factor {
	f := Factor{Name: s.name, at: s.at}
	for _, text := range s.value.path.value {
		p, err := parsePath(text.value)
		if err == nil && made.base != nil {
			err = made.base.root.clone().set(p, &node{shape: scalar, text: "0"})
		}
		if err != nil {
			r.advise(text.at, err, pathRight)
			continue
		}
		f.paths = append(f.paths, p)
	}
	v := s.value
	ranged := v.from.at != nil || v.to.at != nil
	switch {
	case v.values.at != nil && ranged:
		r.fault(v.values.at, "values beside a range", "keep one of values and from, to")
	case v.values.at != nil:
		for _, l := range v.values.value {
			value := l.value.clone()
			value.stand(filepath.Base(r.file), s.name)
			f.Levels = append(f.Levels, Level{l.name, value})
		}
		f.Shares = r.sharesOf(v, len(f.Levels), made)
	case v.from.at == nil || v.to.at == nil:
		if said := made.factors.below(s.name); said.below("values") == nil && (said.below("from") == nil || said.below("to") == nil) {
			r.fault(s.at, fmt.Sprintf("factor %q has no values", s.name), "add values: [...], or from: and to:")
		}
	default:
		f.Range = r.rangeOf(v, made)
	}
	return f
}

func (r *reader) sharesOf(v factorSaid, levels int, made *Study) []float64 {
	switch {
	case v.shares.at == nil:
		return nil
	case made.Sampling == Grid:
		r.fault(v.shares.at, "shares in a grid", "remove them, for a grid takes every value once; or choose another sampling")
	case len(v.shares.value) != levels:
		r.fault(v.shares.at, fmt.Sprintf("%d shares of %d values", len(v.shares.value), levels), "give each value its share")
	}
	return v.shares.value
}

func (r *reader) rangeOf(v factorSaid, made *Study) *Range {
	g := &Range{
		Unit: v.from.value.unit, From: v.from.value.number, To: v.to.value.number, Steps: v.steps.value,
		Distribution: Distribution(cmp.Or(v.distribution.value, string(Uniform))),
		Mean:         v.mean.value.number, Deviation: v.deviation.value.number, Peak: v.peak.value.number,
	}
	for _, a := range []said[amount]{v.to, v.mean, v.deviation, v.peak} {
		if a.at != nil && a.value.unit != g.Unit {
			r.fault(a.at, fmt.Sprintf("%q beside %q", a.at.text, v.from.at.text), "give all numbers of a factor in one unit")
		}
	}
	needs := func(has bool, at *node, what, right string) {
		if !has {
			r.fault(at, what, right)
		}
	}
	needs(g.From < g.To, v.to.at, "a range that ends where it begins, or before", "let to: be greater than from:")
	needs(made.Sampling != Grid || v.steps.at != nil, v.from.at, "a range in a grid without steps", "add steps: 5, or list values:")
	needs(made.Sampling == Grid || v.steps.at == nil, cmp.Or(v.steps.at, v.from.at), "steps outside a grid", "remove steps: or choose sampling: grid")
	needs(made.Sampling != Grid || v.distribution.at == nil, cmp.Or(v.distribution.at, v.from.at), "a distribution in a grid", "remove it, for a grid takes equal steps; or choose another sampling")
	normal, triangular := g.Distribution == Normal, g.Distribution == Triangular
	needs(g.Distribution != LogUniform || g.From > 0, v.from.at, "a log-uniform range that reaches 0", "let from: be above 0")
	needs(normal == (v.mean.at != nil && v.deviation.at != nil), v.from.at, "mean and deviation go with distribution: normal, and it with them", "give all three or none")
	needs(!normal || g.Deviation > 0, cmp.Or(v.deviation.at, v.from.at), "a deviation that is not above 0", "give how far values are usually from the mean")
	needs(!normal || g.Mean > g.From-3*g.Deviation && g.Mean < g.To+3*g.Deviation, cmp.Or(v.mean.at, v.from.at), "a mean far outside the range", "let from: and to: enclose the mean")
	needs(triangular == (v.peak.at != nil), v.from.at, "a peak goes with distribution: triangular, and it with a peak", "give both or none")
	needs(!triangular || g.Peak >= g.From && g.Peak <= g.To, cmp.Or(v.peak.at, v.from.at), "a peak outside the range", "let from: and to: enclose it")
	return g
}

// stand says of a node and all below it which factor of which study they are a
// value of.
func (n *node) stand(file, factor string) {
	n.file, n.factor = file, factor
	for _, below := range slices.Concat(n.keys, n.items) {
		below.stand(file, factor)
	}
}

// Case is the scenario of one case: the base with a value for each factor. Its
// mistakes name files without their folders, so that they are the same on every
// machine.
func (s *Study) Case(settings []Setting) (*Draft, error) {
	d := &Draft{file: filepath.Base(s.base.file), folder: s.base.folder, root: s.base.root.clone()}
	for i, f := range s.Factors {
		value := &node{shape: scalar, text: f.Text(settings[i]), line: f.at.line, column: f.at.column}
		value.stand(filepath.Base(s.file), f.Name)
		if f.Range == nil {
			value = f.Levels[settings[i].Level].value
		}
		for _, p := range f.paths {
			if err := d.root.set(p, value); err != nil {
				return nil, fmt.Errorf("factor %q: %w", f.Name, err)
			}
		}
	}
	return d, nil
}

// Text is a factor's value in one case as results show it: a level's label, or
// a number with its unit.
func (f *Factor) Text(s Setting) string {
	if f.Range == nil {
		return f.Levels[s.Level].Label
	}
	return strings.TrimSpace(strconv.FormatFloat(s.Number, 'g', -1, 64) + " " + f.Range.Unit)
}

// Identity is a text of all that determines the runs of a case: the same text,
// the same runs. How many samples and replicates there are is not in it, but for
// a latin hypercube, whose samples their number determines. The error is that of
// a base scenario that is not sound.
func (s *Study) Identity() ([]byte, error) {
	base, err := s.base.Scenario()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "scenario %s\nsampling %s\nseed %d, own %t\n", base.SHA256, s.Sampling, s.Seed, s.OwnSeeds)
	if s.Sampling == LatinHypercube {
		fmt.Fprintf(&b, "samples %d\n", s.Samples)
	}
	for _, l := range s.Layouts {
		fmt.Fprintf(&b, "layout %q\n", l)
	}
	s.factors.write(&b, 0)
	return b.Bytes(), nil
}

// Base is the house that is varied. The error is Errors.
func (s *Study) Base() (*Scenario, error) {
	return newReader(s.base.file, scenarioBegin).scenario(s.base.folder, s.base.root, s.base.source)
}
