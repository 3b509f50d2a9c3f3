package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/store"
	"pipelag/units"
)

type studyOptions struct {
	dry       bool
	out       string
	limit     int
	shard     string
	precision string
	workers   int
	units     systemFlag
	json      bool
	quiet     quietFlag
}

func newStudyCommand() *cobra.Command {
	var o studyOptions
	c := &cobra.Command{
		Use:   "study STUDY",
		Short: "Run many variations of a scenario",
		Long: `Run many variations of a scenario: grids and samples over anything a scenario holds.

STUDY is a file, or the name of a study that comes with the program (see pipelag study
list). The results go into a folder piece by piece, each whole or not at all. A study that
was stopped or killed goes on where it was when the same command is given again, and ends
with the same bytes. One that has come to ask for more replicates, more samples of halton or
sensitivity, or a higher --limit makes those that are missing; with other values in a grid it
is another study, for another folder.

A study is refused if no house can be made with a value, or with an end of a range: neither
with every other factor at the middle of its range or at its first value, nor with any one of
them at another value that it lists. A run that fails is kept with its cause, which the summary
and the report tell, and stops nothing; if the program was at fault, the exit code is 3 when all
is made.

When all runs are made the folder gets tables of them, a summary, and report.html, a page to
read or send that needs nothing beside it, in the units of --units. Of a study that gives
costs of building it shows too what a limit on stored volume would save.

--shard runs one of so many parts, into a folder of its own below --out; pipelag study merge
puts the parts together, as if there had been none.`,
		Example: `  pipelag study list
  pipelag study tubes --dry
  pipelag study tubes --out results
  pipelag study mine.yaml --out results --precision purged_L=50
  pipelag study stock --out parts --shard 3/8
  pipelag study merge parts --out results
  pipelag study summary results`,
		Args: count(1, 1, "study"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := oneAtLeast(c, "limit", "workers"); err != nil {
				return err
			}
			return study(c.Context(), args[0], &o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.BoolVar(&o.dry, "dry", false, "simulate one year only and say how many runs there are, how long they take here and\nhow large the results are")
	f.StringVar(&o.out, "out", "", "`FOLDER` for the results: new, or of the same study to go on with")
	f.IntVar(&o.limit, "limit", 0, "run only the first `N` cases")
	f.StringVar(&o.shard, "shard", "", "`K/N`: run part K of N, such as 3/8, into its own folder in --out")
	f.StringVar(&o.precision, "precision", "", "`KEY=HALF-WIDTH`: stop the replicates of a case once the 95 % interval of every layout's\ndifference from the first is this narrow, such as purged_L=100. One not reached is no\nfailure: it is told among the doubts")
	f.IntVar(&o.workers, "workers", 0, "`N` simulations at a time (default one on each core); the results are the same with any number")
	o.quiet.bind(c)
	o.units.bind(c)
	bindJSON(c, &o.json)
	c.AddCommand(newStudySummaryCommand(), newStudyMergeCommand(), newStudyListCommand(), newPrintCommand("study", "tubes", scenarios.EmbeddedStudyText), newSchemaCommand("study", scenarios.StudySchema))
	return c
}

// loadStudy reads the study that an argument means: that of an embedded name, or
// a file's. Where it could be both the embedded one is taken, and notices says so.
func loadStudy(name string, notices io.Writer) (*scenarios.Study, error) {
	embedded := scenarios.EmbeddedStudies()
	_, err := os.Stat(name)
	if slices.Contains(embedded, name) {
		if err == nil {
			sayEmbedded(notices, "study", name)
		}
		return scenarios.LoadEmbeddedStudy(name)
	}
	if os.IsNotExist(err) {
		return nil, fmt.Errorf("there is no file %q and no embedded study of that name; embedded are %s", name, strings.Join(embedded, ", "))
	}
	return scenarios.LoadStudy(name)
}

func study(ctx context.Context, name string, o *studyOptions, stdout, stderr io.Writer) error {
	notices := o.quiet.notices(stderr)
	s, err := loadStudy(name, notices)
	if err != nil {
		return err
	}
	job, err := o.job(s)
	if err != nil {
		return err
	}
	if o.dry {
		return job.estimate(ctx, o, stdout)
	}
	if o.out == "" {
		return errors.New("study: name a folder for the results with --out, or ask with --dry how large they would be")
	}
	f, err := job.open(o.out)
	if err != nil {
		return err
	}
	switch err := job.run(ctx, f, o.workers, notices); {
	case interrupted(ctx, err):
		return kept{err, f.Path}
	case err != nil:
		return failed(fmt.Errorf("%w; what was finished is in %s: mend this and give the same command again, and it goes on from there", err, f.Path))
	}
	if job.manifest.Shard != nil {
		fmt.Fprintf(notices, "pipelag: %s is done: %s\n", job.manifest.Shard, f.Path)
		return nil
	}
	return finish(ctx, job.cases, f, o.units.System, o.json, stdout, notices)
}

// studyJob is a study as it is to be run.
type studyJob struct {
	cases     *studies.Cases
	base      *scenarios.Scenario
	manifest  store.Manifest
	precision *sim.Precision
}

// job checks the flags against the study.
func (o *studyOptions) job(s *scenarios.Study) (*studyJob, error) {
	cases, err := studies.NewCases(s, o.limit)
	if err != nil {
		return nil, err
	}
	job := &studyJob{cases: cases}
	if job.base, err = s.Base(); err != nil {
		return nil, err
	}
	if err := cases.Check(); err != nil {
		return nil, err
	}
	hash, err := cases.Hash()
	if err != nil {
		return nil, err
	}
	house := job.base.House()
	job.manifest = store.Manifest{Version: version(), Study: hash, Name: s.Name, Currency: house.Rates.Currency, Cases: cases.Count, Replicates: s.Replicates}
	job.manifest.Texts = store.Texts{Study: textHash([]byte(s.Source)), Scenario: textHash([]byte(job.base.Source))}
	if s.Currency != "" && s.Currency != house.Rates.Currency {
		return nil, fmt.Errorf("study %q gives costs in %s, and the scenario's prices are in %s; give both in one currency", s.Name, s.Currency, house.Rates.Currency)
	}
	if o.shard != "" {
		if job.manifest.Shard, err = store.ParseShard(o.shard); err != nil {
			return nil, fmt.Errorf("--shard: %w", err)
		}
	}
	if o.precision != "" {
		if job.precision, err = parsePrecision(o.precision); err != nil {
			return nil, fmt.Errorf("--precision %s: %w", o.precision, err)
		}
		if len(s.Layouts) < 2 {
			return nil, errors.New("--precision: the study runs one layout, so there is no difference to know; run two or more")
		}
		if s.Replicates < 2 {
			return nil, errors.New("--precision: one replicate gives no interval; let the study have two or more")
		}
		job.manifest.Precision = o.precision
	}
	return job, nil
}

// open makes a folder for the study, or opens one that was begun, with what the study
// stands on.
func (j *studyJob) open(path string) (*store.Folder, error) {
	if j.manifest.Shard != nil {
		if err := makeFolder(path); err != nil {
			return nil, err
		}
		path = filepath.Join(path, j.manifest.Shard.Folder())
	}
	f, err := openOut(path, j.manifest)
	if err != nil {
		return nil, err
	}
	base, err := j.grounds()
	if err != nil {
		return nil, err
	}
	texts := []file{{assumedFile, base}, {studyFile, []byte(j.cases.Study.Source)}, {scenarioFile, []byte(j.base.Source)}}
	for _, c := range j.base.Companions {
		texts = append(texts, file{c.Name, c.Text})
	}
	for _, t := range texts {
		if err := f.Write(t.name, t.text); err != nil {
			return nil, failed(err)
		}
	}
	return f, nil
}

// run makes what a folder lacks of the study.
func (j *studyJob) run(ctx context.Context, f *store.Folder, workers int, notices io.Writer) error {
	bar := newProgress(notices, 0, "run")
	defer bar.end()
	return failed(studies.Run(ctx, j.cases, f, studies.Options{Workers: workers, Precision: j.precision, Progress: bar.reachOf}))
}

// openOut makes or opens the folder that --out asks for.
func openOut(path string, m store.Manifest) (*store.Folder, error) {
	f, err := store.Open(path, m)
	if err != nil {
		return nil, fmt.Errorf("--out: %w", err)
	}
	return f, nil
}

// kept is an interruption that leaves what was finished in a folder.
type kept struct {
	error
	path string
}

// Unwrap is the interruption.
func (k kept) Unwrap() error { return k.error }

// estimate says what running the study would take, from one year of one case.
func (j *studyJob) estimate(ctx context.Context, o *studyOptions, stdout io.Writer) error {
	run, took, err := j.cases.Probe(ctx)
	if err != nil {
		return err
	}
	workers := o.workers
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	size, err := store.Size(run)
	if err != nil {
		return failed(err)
	}
	for _, d := range runTables(j.cases, j.manifest.Currency) {
		for _, row := range d.rowsOf(j.cases.Settings(run.Case), &run) {
			size += len(strings.Join(row, ",")) * 3 / 2 // as CSV, and about half of that as Parquet
		}
	}
	cases := j.manifest.Own()
	runs := cases * j.manifest.Replicates
	doc := struct {
		Study      string  `json:"study"`
		Cases      int     `json:"cases"`
		Replicates int     `json:"replicates"`
		Layouts    int     `json:"layouts"`
		Runs       int     `json:"runs"`
		Seconds    float64 `json:"seconds"`
		Workers    int     `json:"workers"`
		Bytes      float64 `json:"bytes"`
	}{
		j.cases.Study.Name, cases, j.manifest.Replicates, len(j.cases.Study.Layouts), runs,
		took.Seconds() * float64(runs) / float64(workers), workers, float64(size) * float64(runs),
	}
	if o.json {
		return writeJSON(stdout, doc)
	}
	var b bytes.Buffer
	of := doc.Study
	if j.manifest.Shard != nil {
		of += ", " + j.manifest.Shard.String()
	}
	fmt.Fprintf(&b, "%s: %s of %s, %s each: %s\n", of, counted(doc.Cases, "case"), counted(doc.Layouts, "layout"), counted(doc.Replicates, "replicate"), counted(doc.Runs, "run"))
	fmt.Fprintf(&b, "about %s here with %s, by the %.2f s of one run\n", units.Roughly(doc.Seconds), counted(workers, "worker"), took.Seconds())
	fmt.Fprintf(&b, "about %.3g MB of results\n", doc.Bytes/1e6)
	return write(stdout, b.Bytes())
}
