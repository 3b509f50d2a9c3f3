package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"pipelag/scenarios"
	"pipelag/studies"
	"pipelag/studies/store"
	"pipelag/studies/summary"
	"pipelag/studies/tables"
	"pipelag/units"
)

// The files of a study's folder beside its pieces and tables.
const (
	studyFile    = "study.yaml"
	scenarioFile = "scenario.yaml"
	assumedFile  = "assumed.json"
	summaryFile  = "summary.json"
	manifestFile = "study.json"
)

// openResults reads a folder of results and the study that it is of.
func openResults(path string) (*studies.Cases, *store.Folder, error) {
	f, err := store.Read(path)
	if err != nil {
		return nil, nil, err
	}
	if f.Manifest.Shard != nil {
		return nil, nil, fmt.Errorf("%s holds %s alone; put all shards together first: pipelag study merge", path, f.Manifest.Shard)
	}
	if err := readable(f); err != nil {
		return nil, nil, err
	}
	s, err := scenarios.ReloadStudy(filepath.Join(path, studyFile), filepath.Join(path, scenarioFile))
	if err != nil {
		return nil, nil, err
	}
	c, err := studies.NewCases(s, f.Manifest.Cases)
	if err != nil {
		return nil, nil, err
	}
	if c.Count != f.Manifest.Cases || s.Replicates != f.Manifest.Replicates {
		return nil, nil, fmt.Errorf("%s is of %s, %s each, and %s beside it of %s, %s each; put back the one that was written, or run the study again with another folder", filepath.Join(path, manifestFile),
			counted(f.Manifest.Cases, "case"), counted(f.Manifest.Replicates, "replicate"), studyFile, counted(c.Count, "case"), counted(s.Replicates, "replicate"))
	}
	return c, f, nil
}

// readable refuses a folder of another release, and one whose texts were changed.
func readable(f *store.Folder) error {
	if !ofRelease(f.Manifest.Version) {
		return fmt.Errorf("%s holds results of pipelag %s, and this is %s: read them with that one, or run the study again with another folder", f.Path, f.Manifest.Version, version())
	}
	return unchanged(f)
}

// unchanged holds the study and the scenario that are kept in a folder to those
// that its runs were made from.
func unchanged(f *store.Folder) error {
	const remedy = "put back the one that was written, or run the study again with this folder: it is written anew, and no run is made twice"
	for _, kept := range []struct{ name, hash string }{{studyFile, f.Manifest.Texts.Study}, {scenarioFile, f.Manifest.Texts.Scenario}} {
		path := filepath.Join(f.Path, kept.name)
		text, err := os.ReadFile(path)
		if err != nil {
			return fmt.Errorf("%w; %s", err, remedy)
		}
		if textHash(text) != kept.hash {
			return fmt.Errorf("%s is not the text that the runs were made from; %s", path, remedy)
		}
	}
	return nil
}

func textHash(text []byte) string { return fmt.Sprintf("%x", sha256.Sum256(text)) }

// finish makes tables, a summary and a description of a study that is done, and
// shows the summary.
func finish(ctx context.Context, c *studies.Cases, f *store.Folder, system units.System, asJSON bool, stdout, notices io.Writer) error {
	sum, err := summed(c, f)
	if err != nil {
		return failed(err)
	}
	if err := writeResults(ctx, c, f, sum, system); err != nil {
		if interrupted(ctx, err) {
			return kept{err, f.Path}
		}
		return failed(fmt.Errorf("%w; the runs are whole in %s: mend this and give the same command again", err, f.Path))
	}
	sayWrote(notices, f.Path)
	if sum.Failed > 0 && sum.Runs > 0 {
		fmt.Fprintf(notices, "pipelag: %s failed; %s\n", counted(sum.Failed, "run"), causesIn(f))
	}
	return (&studied{sum, f.Manifest}).show(f, system, asJSON, stdout)
}

// causesIn says where it is told why runs failed.
func causesIn(f *store.Folder) string {
	return "the causes are in " + filepath.Join(f.Path, "failures.csv")
}

// show shows a summary. It fails nevertheless if all runs failed, or one by a fault of the
// program.
func (s *studied) show(f *store.Folder, system units.System, asJSON bool, stdout io.Writer) error {
	var shown, none error
	if asJSON {
		shown = writeJSON(stdout, s.document())
	} else {
		shown = write(stdout, s.page(system))
	}
	if s.Failed == 0 {
		return shown
	}
	if s.Runs == 0 {
		none = fmt.Errorf("all %s failed; %s", counted(s.Failed, "run"), causesIn(f))
	}
	return errors.Join(shown, none, faulted(f))
}

// faulted is the error of numbers that leave runs out for a fault of the program: the
// folder is as whole as it can be, and yet not what was asked for.
func faulted(f *store.Folder) error {
	n := 0
	var first store.Run
	err := f.Each(func(r *store.Run) error {
		if r.Fault {
			if n == 0 {
				first = *r
			}
			n++
		}
		return nil
	})
	if err != nil || n == 0 {
		return nil // runs that cannot be read have given no numbers, and are told of already
	}
	return failed(fmt.Errorf("%s failed by a fault of the program and no number counts them, first in case %d: %s", counted(n, "run"), first.Case+1, first.Cause))
}

// runTable is a table that runs add rows to.
type runTable struct {
	dataset
	rowsOf func(settings []scenarios.Setting, r *store.Run) [][]string
}

// runTables are those of every run: a row for each layout, a row for each of its
// fixtures, and the runs that failed.
func runTables(c *studies.Cases, currency string) []runTable {
	front := []column{
		{"case", tables.Integer, "", "number of the case, from 1"},
		{"replicate", tables.Integer, "", "number of the year, from 1"},
		{"seed", tables.Integer, "", "that of this year: pipelag run gives the same with it and --years 1"},
	}
	for i := range c.Study.Factors {
		f := &c.Study.Factors[i]
		if f.Range != nil {
			front = append(front, column{f.Name, tables.Number, f.Range.Unit, "factor that varies, as the study says"})
		} else {
			front = append(front, column{f.Name, tables.Text, "", "factor that varies: the value or label that the study gives"})
		}
	}
	cells := func(settings []scenarios.Setting, r *store.Run, more ...string) []string {
		row := []string{strconv.Itoa(r.Case + 1), strconv.Itoa(r.Replicate + 1), strconv.FormatUint(r.Seed, 10)}
		for i := range c.Study.Factors {
			if c.Study.Factors[i].Range != nil {
				row = append(row, number(settings[i].Number))
			} else {
				row = append(row, c.Study.Factors[i].Text(settings[i]))
			}
		}
		return append(row, more...)
	}
	with := func(more ...column) []column { return append(append([]column(nil), front...), more...) }

	runs := dataset{name: "runs", title: "A year of each layout in each run", key: []string{"case", "replicate", "layout"}, columns: with(
		layoutColumn, column{"arrangement", tables.Text, "", "how the layout is arranged"}, controlColumn,
		column{"insulation_mm", tables.Number, "mm", "least thickness on any pipe that brings hot water"},
		column{"unlike", tables.Text, "", "why the layout is not held against the first: fixtures get less water through it than through another (serves less), or one of the two returns through the cold line (cold line); empty where it is"},
	)}
	runs.columns = append(runs.columns, quantityColumns(currency, ", a year")...)
	fixtures := dataset{name: "fixtures", title: "A year of each fixture under each layout in each run", key: []string{"case", "replicate", "layout", "fixture"}, columns: with(append(
		[]column{
			layoutColumn, fixtureColumn,
			{"stored_beyond_loop_L", tables.Number, "L", "water standing on the way from the heater to the fixture; where there is a loop, beyond it alone"},
			{"length_beyond_loop_m", tables.Number, "m", "of the pipes on that way"},
		}, fixtureYear...)...)}
	failures := dataset{
		name: "failures", title: "Runs that failed, and why", key: []string{"case", "replicate"},
		columns: with(column{"cause", tables.Text, "", "why the run failed"}),
	}
	return []runTable{
		{runs, func(settings []scenarios.Setting, r *store.Run) [][]string {
			var rows [][]string
			for i := range r.Layouts {
				l := &r.Layouts[i]
				rows = append(rows, append(cells(settings, r, l.Name, l.Arrangement, l.Control, number(l.Insulation), l.Unlike.String()), quantities(l.Annual)...))
			}
			return rows
		}},
		{fixtures, func(settings []scenarios.Setting, r *store.Run) [][]string {
			var rows [][]string
			for i := range r.Layouts {
				for k := range r.Layouts[i].Fixtures {
					f := &r.Layouts[i].Fixtures[k]
					rows = append(rows, cells(
						settings, r, r.Layouts[i].Name, f.Name, number(f.Stored), number(f.Length), number(f.DrawsPerDay), number(f.WaitingPerDay),
						number(f.WaitP50), number(f.WaitP90), number(f.PurgedPerDraw), number(f.NeverHot), number(f.HotDrawnPerDay),
					))
				}
			}
			return rows
		}},
		{failures, func(settings []scenarios.Setting, r *store.Run) [][]string {
			if r.Cause == "" {
				return nil
			}
			return [][]string{cells(settings, r, r.Cause)}
		}},
	}
}

// tableFile is one table being written in one format, which knows the size and the
// hash of what it holds.
type tableFile struct {
	*store.Pending
	name   string
	of     *dataset
	writer tables.Writer
	size   int
	sum    hash.Hash
}

// Write writes on, counts and hashes.
func (f *tableFile) Write(text []byte) (int, error) {
	n, err := f.Pending.Write(text)
	f.size += n
	f.sum.Write(text[:n])
	return n, err
}

func newTableFile(folder string, of *dataset, ending string, begin tableBegin) (*tableFile, error) {
	f := &tableFile{name: of.name + ending, of: of, sum: sha256.New()}
	var err error
	if f.Pending, err = store.Begin(filepath.Join(folder, f.name)); err != nil {
		return nil, err
	}
	if f.writer, err = begin(f, of.written()); err != nil {
		f.Discard()
		return nil, err
	}
	return f, nil
}

// end ends the table and puts its file in its place.
func (f *tableFile) end() error {
	if err := f.writer.Close(); err != nil {
		return err
	}
	return f.Keep()
}

// titled is the name of a file and what it holds.
type titled struct{ name, title string }

// writeResults writes a study's tables, a run at a time, its summary and the
// description of them all, each whole or not at all.
func writeResults(ctx context.Context, c *studies.Cases, f *store.Folder, sum *summary.Summary, system units.System) error {
	p := newDataPackage("pipelag-study", f.Manifest.Name, f.Manifest.Version, "Hot-water use, waiting, losses and energy of each piping layout in each case of a study.")
	shown := &studied{sum, f.Manifest}
	summaryText, err := encodeJSON(shown.document())
	if err != nil {
		return err
	}
	page, err := newStudyReport(c, f, sum, system)
	if err != nil {
		return err
	}
	for _, made := range []file{{summaryFile, summaryText}, {reportName, page}} {
		if err := f.Write(made.name, made.text); err != nil {
			return err
		}
	}
	base, err := c.Study.Base()
	if err != nil {
		return err
	}
	texts := []titled{{studyFile, "The study"}, {scenarioFile, "The scenario that is varied"}}
	for _, c := range base.Companions {
		texts = append(texts, titled{c.Name, companionTitle})
	}
	texts = append(texts, titled{assumedFile, "What was taken where the scenario says nothing"}, titled{summaryFile, "What the runs come to"}, titled{reportName, "What the runs come to, as a page to read"})
	for _, of := range texts {
		text, err := os.ReadFile(filepath.Join(f.Path, of.name))
		if err != nil {
			return err
		}
		hashed := sha256.Sum256(text)
		p.add(of.name, of.title, len(text), hashed[:], nil)
	}
	all := append(runTables(c, f.Manifest.Currency), shown.effectTable())
	files, err := writeTables(ctx, c, f, all)
	for errors.Is(err, store.ErrSwept) {
		files, err = writeTables(ctx, c, f, all)
	}
	if err != nil {
		return err
	}
	for _, t := range files {
		p.add(t.name, "", t.size, t.sum.Sum(nil), t.of)
	}
	text, err := encodeJSON(p)
	if err != nil {
		return err
	}
	return f.Write("datapackage.json", text)
}

// writeTables writes all tables in all formats in one pass over the runs.
func writeTables(ctx context.Context, c *studies.Cases, f *store.Folder, all []runTable) ([]*tableFile, error) {
	var files []*tableFile
	for i := range all {
		for _, format := range formats {
			t, err := newTableFile(f.Path, &all[i].dataset, format.ending, format.begin)
			if err != nil {
				return nil, err
			}
			defer t.Discard()
			files = append(files, t)
		}
	}
	add := func(of *runTable, rows [][]string) error {
		for _, t := range files {
			for _, row := range rows {
				if t.of != &of.dataset {
					break
				}
				if err := t.writer.Row(row); err != nil {
					return err
				}
			}
		}
		return nil
	}
	for i := range all {
		if err := add(&all[i], all[i].rows); err != nil {
			return nil, err
		}
	}
	err := f.Each(func(r *store.Run) error {
		settings := c.Settings(r.Case)
		for i := range all {
			if all[i].rowsOf == nil {
				continue
			}
			if err := add(&all[i], all[i].rowsOf(settings, r)); err != nil {
				return err
			}
		}
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	for _, t := range files {
		if err := t.end(); err != nil {
			return nil, err
		}
	}
	return files, nil
}
