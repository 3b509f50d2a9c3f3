package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"pipelag/plots"
	"pipelag/plots/report"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/store"
	"pipelag/studies/summary"
	"pipelag/studies/target"
	"pipelag/units"
)

// studyReport is a study's page under way.
type studyReport struct {
	*studied
	cases  *studies.Cases
	folder *store.Folder
	system units.System
	base   *grounds
	page   *report.Report
}

// newStudyReport is what a study came to as a page that opens anywhere. It is made
// of what the folder holds alone, so that it is the same however the runs came
// there.
func newStudyReport(c *studies.Cases, f *store.Folder, sum *summary.Summary, system units.System) ([]byte, error) {
	base, err := readGrounds(f)
	if err != nil {
		return nil, err
	}
	scenario, err := os.ReadFile(filepath.Join(f.Path, scenarioFile))
	if err != nil {
		return nil, err
	}
	s := &studyReport{studied: &studied{sum, f.Manifest}, cases: c, folder: f, system: system, base: base}
	s.page = &report.Report{
		Title:    fmt.Sprintf("%s: %s", s.Name, counted(s.Summary.Cases, "case")),
		Asked:    s.asked(),
		Answer:   s.answer(),
		Cautions: append(slices.Clone(base.Warnings), s.Notes...),
		Assumed:  reportAssumed(gathered(base.Assumed, s.Layouts)),
		Origin: report.Origin{
			Command: s.command(), Version: s.Version, Seed: strconv.FormatUint(c.Study.Seed, 10),
			Sources: []report.Source{
				{Name: "study, " + savedAs(studyFile), SHA256: s.Study, Text: c.Study.Source},
				{Name: scenarioVaried(c.Study), SHA256: base.Scenario.SHA256, Text: string(scenario)},
			},
		},
	}
	s.addTables()
	if err := errors.Join(s.addFigures(), s.addTarget()); err != nil {
		return nil, err
	}
	s.addFailures()
	return written(s.page)
}

// command is one that makes the same again from the texts, saved as the page says, whatever was
// typed here and on however many machines.
func (s *studyReport) command() string {
	command := "pipelag study " + studyFile + " --out results"
	if s.cases.Limited() {
		command += " --limit " + strconv.Itoa(s.cases.Count)
	}
	if s.Precision != "" {
		command += " --precision " + quoted(s.Precision)
	}
	return command
}

// savedAs says what a text must be called for the command to find it.
func savedAs(name string) string { return "to be saved as " + name }

// scenarioVaried is what the page calls the scenario. In the folder it has another name
// than the study gives it.
func scenarioVaried(s *scenarios.Study) string {
	const varied = "scenario that it varies"
	if slices.Contains(scenarios.Embedded(), s.Scenario) {
		return varied + ", which comes with the program"
	}
	return varied + ", " + savedAs(s.Scenario)
}

// asked is the question: what is varied and how, of which house, how often.
func (s *studyReport) asked() []report.Item {
	study := s.cases.Study
	var layouts, questions []string
	for i, l := range s.Layouts {
		layouts = append(layouts, numberedName(i, l))
	}
	for _, q := range study.Questions {
		questions = append(questions, quantityShown(q).label)
	}
	sampling := map[scenarios.Sampling]string{
		scenarios.Grid:           "every combination of the factors’ values",
		scenarios.LatinHypercube: "a Latin hypercube",
		scenarios.Halton:         "a Halton sequence",
		scenarios.Sensitivity:    "pairs of samples and their mixtures, for indices",
	}[study.Sampling]
	if s.cases.Limited() {
		sampling += fmt.Sprintf(", the first %d of %s", s.cases.Count, s.cases.Whole)
	}
	years := "the same years for all cases and layouts"
	if study.OwnSeeds {
		years = "years of its own for each case, the same for all its layouts"
	}
	runs := fmt.Sprintf("%s, %s each: %s done, %d failed; %s", counted(s.Manifest.Cases, "case"), s.replicates(), counted(s.Runs, "run"), s.Failed, years)
	if s.Precision != "" {
		runs += "; the replicates of a case end once every difference is known to " + s.Precision
		if s.Imprecise > 0 {
			runs += fmt.Sprintf(", or with the last of them: in %d of %s they are not", s.Imprecise, counted(s.Answered, "case"))
		}
	}
	items := []report.Item{
		{Name: "House", Text: s.base.Scenario.Name},
		{Name: "Layouts", Text: strings.Join(layouts, "; ")},
		{Name: "Asked for", Text: strings.Join(questions, ", ")},
		{Name: "Cases", Text: sampling},
		{Name: "Runs", Text: runs},
	}
	for i := range study.Factors {
		items = append(items, report.Item{Name: "Factor " + study.Factors[i].Name, Text: varied(&study.Factors[i])})
	}
	if len(s.Layouts) > 1 {
		items = append(items, report.Item{Name: "Held against", Text: "layout 1, " + s.Layouts[0]})
	}
	return items
}

// varied says what values a factor takes.
func varied(f *scenarios.Factor) string {
	if f.Range == nil {
		var levels []string
		for i, l := range f.Levels {
			text := l.Label
			if f.Shares != nil {
				text += fmt.Sprintf(" (%.3g\u00a0%%)", 100*f.Shares[i])
			}
			levels = append(levels, text)
		}
		return strings.Join(levels, ", ")
	}
	number := func(x float64) string { return f.Text(scenarios.Setting{Number: x}) }
	text := number(f.Range.From) + " to " + number(f.Range.To)
	switch r := f.Range; {
	case r.Steps > 0:
		text += fmt.Sprintf(", %d values", r.Steps)
	case r.Distribution == scenarios.Normal:
		text += fmt.Sprintf(", normal about %s, standard deviation %s", number(r.Mean), number(r.Deviation))
	case r.Distribution == scenarios.Triangular:
		text += fmt.Sprintf(", triangular with its peak at %s", number(r.Peak))
	case r.Distribution != "":
		text += ", " + string(r.Distribution)
	}
	return text
}

// addFigures adds the differences, and what the spread of the first layout's
// answers and of the differences of the first question comes from.
func (s *studyReport) addFigures() error {
	d := s.document()
	set := d.set()
	set.System = s.system
	add := func(title string, f *plots.Figure, err error) error {
		if errors.Is(err, plots.ErrNoData) {
			return nil
		}
		if err != nil {
			return failed(err)
		}
		s.page.Figures = append(s.page.Figures, report.Figure{Title: title, Figure: f})
		return nil
	}
	var apart []plots.Apart
	for _, out := range s.LeftOut {
		apart = append(apart, plots.Apart{Layout: out.Layout, Why: out.Why, Partly: out.Cases < s.Answered})
	}
	f, err := plots.NewDifferences(set, s.differences(), apart)
	if err := add("What a layout changes in a year", f, err); err != nil {
		return err
	}
	all, err := d.sensitivities()
	if err != nil {
		return err
	}
	for i, e := range s.Effects {
		if e.Layout == s.Layouts[0] || e.Question == s.questions()[0] && e.Against != "" {
			f, err := plots.NewSensitivity(set, all[i])
			if err := add("What spreads "+all[i].Outcome, f, err); err != nil {
				return err
			}
		}
	}
	return nil
}

// differences are the layouts' from the first, of what was asked.
func (s *studyReport) differences() []sim.Difference {
	var all []sim.Difference
	for _, l := range s.Layouts[1:] {
		d := sim.Difference{Layout: l, Against: s.Layouts[0]}
		for _, a := range s.Answers {
			if a.Layout == l && a.Against != "" {
				d.Annual[a.Question] = a.Mean
			}
		}
		all = append(all, d)
	}
	if len(s.Answers) == 0 {
		return nil
	}
	return all
}

// addTarget adds what a limit on stored volume would do, to a study that says what
// building costs: nothing else needs to know.
func (s *studyReport) addTarget() error {
	if s.cases.Study.Costs == nil || len(s.Layouts) < 2 || s.Runs == 0 {
		return nil
	}
	t, err := newTargeted(s.cases, s.folder, target.StoredVolume, s.system, nil)
	if err != nil {
		s.page.Cautions = append(s.page.Cautions, "There is no curve of a limit: "+err.Error()+".")
		return nil
	}
	d := t.document()
	all, err := d.targets()
	if err != nil {
		return err
	}
	set := d.set()
	set.System = s.system
	for _, t := range all {
		f, err := plots.NewTarget(set, t)
		if errors.Is(err, plots.ErrNoData) {
			continue
		}
		if err != nil {
			return failed(err)
		}
		s.page.Figures = append(s.page.Figures, report.Figure{Title: "A limit on stored water: " + strings.ToLower(t.Called) + " saved", Figure: f})
	}
	return nil
}
