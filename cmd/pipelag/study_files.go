package main

import (
	"context"
	"crypto/sha256"
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
	summaryFile  = "summary.json"
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
	s, err := scenarios.ReloadStudy(filepath.Join(path, studyFile), filepath.Join(path, scenarioFile))
	if err != nil {
		return nil, nil, err
	}
	c, err := studies.NewCases(s, f.Manifest.Cases)
	return c, f, err
}

// finish makes tables, a summary and a description of a study that is done, and
// shows the summary.
func finish(ctx context.Context, c *studies.Cases, f *store.Folder, system units.System, asJSON bool, stdout, notices io.Writer) error {
	sum, err := summary.New(c, f)
	if err != nil {
		return failed(err)
	}
	if err := writeResults(ctx, c, f, sum); err != nil {
		if interrupted(ctx, err) {
			return kept{err, f.Path}
		}
		return failed(fmt.Errorf("%w; the runs are whole in %s: mend this and give the same command again", err, f.Path))
	}
	fmt.Fprintf(notices, "pipelag: wrote %s\n", f.Path)
	if sum.Runs == 0 {
		return failed(fmt.Errorf("all %s failed; the causes are in %s", counted(sum.Failed, "run"), filepath.Join(f.Path, "failures.csv")))
	}
	if sum.Failed > 0 {
		fmt.Fprintf(notices, "pipelag: %s failed; the causes are in %s\n", counted(sum.Failed, "run"), filepath.Join(f.Path, "failures.csv"))
	}
	shown := &studied{sum, f.Manifest}
	if asJSON {
		return writeJSON(stdout, shown.document())
	}
	return write(stdout, shown.page(system))
}

// runTable is a table that runs add rows to.
type runTable struct {
	dataset
	rowsOf func(s *scenarios.Study, settings []scenarios.Setting, r *store.Run) [][]string
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
	cells := func(s *scenarios.Study, settings []scenarios.Setting, r *store.Run, more ...string) []string {
		row := []string{strconv.Itoa(r.Case + 1), strconv.Itoa(r.Replicate + 1), strconv.FormatUint(r.Seed, 10)}
		for i := range s.Factors {
			if s.Factors[i].Range != nil {
				row = append(row, number(settings[i].Number))
			} else {
				row = append(row, s.Factors[i].Text(settings[i]))
			}
		}
		return append(row, more...)
	}
	with := func(more ...column) []column { return append(append([]column(nil), front...), more...) }

	runs := dataset{name: "runs", title: "A year of each layout in each run", key: []string{"case", "replicate", "layout"}, columns: with(
		layoutColumn, column{"arrangement", tables.Text, "", "how the layout is arranged"}, column{"control", tables.Text, "", "of the pump: none, continuous or demand"},
		column{"insulation_mm", tables.Number, "mm", "least thickness on any pipe that brings hot water"},
	)}
	for _, q := range quantitiesShown {
		runs.columns = append(runs.columns, column{q.quantity.Key(), tables.Number, q.keyUnit(currency), q.meaning + ", a year"})
	}
	fixtures := dataset{name: "fixtures", title: "A year of each fixture under each layout in each run", key: []string{"case", "replicate", "layout", "fixture"}, columns: with(append(
		[]column{
			layoutColumn, fixtureColumn,
			{"stored_L", tables.Number, "L", "water standing between the heater, or the loop where there is one, and the fixture"},
			{"length_m", tables.Number, "m", "of the pipes on that way"},
		}, fixtureYear...)...)}
	failures := dataset{
		name: "failures", title: "Runs that failed, and why", key: []string{"case", "replicate"},
		columns: with(column{"cause", tables.Text, "", "why the run failed"}),
	}
	return []runTable{
		{runs, func(s *scenarios.Study, settings []scenarios.Setting, r *store.Run) [][]string {
			var rows [][]string
			for i := range r.Layouts {
				l := &r.Layouts[i]
				row := cells(s, settings, r, l.Name, l.Arrangement, l.Control, number(l.Insulation))
				for _, q := range quantitiesShown {
					row = append(row, number(q.inKeyUnit(l.Annual[q.quantity])))
				}
				rows = append(rows, row)
			}
			return rows
		}},
		{fixtures, func(s *scenarios.Study, settings []scenarios.Setting, r *store.Run) [][]string {
			var rows [][]string
			for i := range r.Layouts {
				for k := range r.Layouts[i].Fixtures {
					f := &r.Layouts[i].Fixtures[k]
					rows = append(rows, cells(
						s, settings, r, r.Layouts[i].Name, f.Name, number(f.Stored), number(f.Length), number(f.DrawsPerDay), number(f.WaitingPerDay),
						number(f.WaitP50), number(f.WaitP90), number(f.PurgedPerDraw), number(f.NeverHot), number(f.HotDrawnPerDay),
					))
				}
			}
			return rows
		}},
		{failures, func(s *scenarios.Study, settings []scenarios.Setting, r *store.Run) [][]string {
			if r.Cause == "" {
				return nil
			}
			return [][]string{cells(s, settings, r, r.Cause)}
		}},
	}
}

// measuredFile is a file that knows the size and hash of what was written to it.
type measuredFile struct {
	io.Writer
	size int
	sum  hash.Hash
}

func (m *measuredFile) Write(text []byte) (int, error) {
	n, err := m.Writer.Write(text)
	m.size += n
	m.sum.Write(text[:n])
	return n, err
}

// writeResults writes a study's tables, a run at a time, its summary and the
// description of them all, each whole or not at all.
func writeResults(ctx context.Context, c *studies.Cases, f *store.Folder, sum *summary.Summary) error {
	p := newDataPackage("pipelag-study", f.Manifest.Name, f.Manifest.Version, "Hot-water use, waiting, losses and energy of each piping layout in each case of a study.")
	shown := &studied{sum, f.Manifest}
	summaryText, err := encodeJSON(shown.document())
	if err != nil {
		return err
	}
	if err := f.Write(summaryFile, summaryText); err != nil {
		return err
	}
	for _, of := range []struct{ name, title string }{{studyFile, "The study"}, {scenarioFile, "The scenario that is varied"}, {summaryFile, "What the runs come to"}} {
		text, err := os.ReadFile(filepath.Join(f.Path, of.name))
		if err != nil {
			return err
		}
		hashed := sha256.Sum256(text)
		p.add(of.name, of.title, len(text), hashed[:], nil)
	}
	for _, d := range append(runTables(c, f.Manifest.Currency), shown.effectTable()) {
		for _, format := range formats {
			m := &measuredFile{sum: sha256.New()}
			name := d.name + format.ending
			if err := store.Write(filepath.Join(f.Path, name), func(to *os.File) error {
				m.Writer = to
				return tabulate(ctx, c, f, &d, format.begin, m)
			}); err != nil {
				return err
			}
			p.add(name, "", m.size, m.sum.Sum(nil), &d.dataset)
		}
	}
	text, err := encodeJSON(p)
	if err != nil {
		return err
	}
	return f.Write("datapackage.json", text)
}

// tabulate writes one table: the rows that it has, then those of each run.
func tabulate(ctx context.Context, c *studies.Cases, f *store.Folder, d *runTable, begin tableBegin, to io.Writer) error {
	w, err := begin(to, d.written())
	if err != nil {
		return err
	}
	for _, row := range d.rows {
		if err := w.Row(row); err != nil {
			return err
		}
	}
	if d.rowsOf != nil {
		if err := f.Each(func(r *store.Run) error {
			for _, row := range d.rowsOf(c.Study, c.Settings(r.Case), r) {
				if err := w.Row(row); err != nil {
					return err
				}
			}
			return ctx.Err()
		}); err != nil {
			return err
		}
	}
	return w.Close()
}
