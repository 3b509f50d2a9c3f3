package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"github.com/spf13/cobra"

	"pipelag/studies"
	"pipelag/studies/store"
	"pipelag/studies/target"
)

type targetOptions struct {
	on      string
	by      []string
	out     string
	workers int
	units   systemFlag
	json    bool
	quiet   quietFlag
}

func newTargetCommand() *cobra.Command {
	var o targetOptions
	c := &cobra.Command{
		Use:   "target FOLDER|STUDY",
		Short: "Say where to set a limit, and what it saves",
		Long: `Say what a limit would do to the homes of a study, at every value: the share of homes that meet
it as they are and that can be piped to meet it, and the water, energy, money and carbon that
are saved in a year, on average over all homes.

Each case of the study is a home, which is piped as the study's first layout. A home that does
not meet the limit takes another layout of the study that does: the cheapest if the study gives
costs, else the first; one that has none stays as it is. Layouts are left out, and named, in
the homes in which fixtures get less water through them than through another, or of which the
return through the cold line makes them unlike the first. The place where gains flatten is the
loosest limit that saves ` + flatShare + ` of the most that any limit does.

Intervals are over the homes, where the study's cases are a sample of them. Those of a grid are
all there are: there intervals are over its replicates, and one replicate gives none.

FOLDER holds the results of a study. A STUDY, a file or a name, is run first.`,
		Example: `  pipelag target results --on stored-volume
  pipelag target results --on wait --by storeys --by people --units si
  pipelag target stock --on control --out figure`,
		Args: count(1, 1, "folder or study"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := oneAtLeast(c, "workers"); err != nil {
				return err
			}
			return findTarget(c.Context(), args[0], &o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.StringVar(&o.on, "on", target.StoredVolume.String(), "`MEASURE` that the limit is set on: stored-volume, length (of the way to a fixture, both beyond the loop\nwhere there is one), wait (90th percentile at the worst fixture), insulation or control")
	f.StringArrayVar(&o.by, "by", nil, "`FACTOR` of the study to tell groups of homes apart by; may be given again")
	f.StringVar(&o.out, "out", "", "`FOLDER` to write the curves into, for figures; new or empty")
	f.IntVar(&o.workers, "workers", 0, "`N` simulations at a time (default one on each core)")
	o.quiet.bind(c)
	o.units.bind(c)
	bindJSON(c, &o.json)
	return c
}

func findTarget(ctx context.Context, name string, o *targetOptions, stdout, stderr io.Writer) error {
	notices := o.quiet.notices(stderr)
	m, err := target.ParseMeasure(o.on)
	if err != nil {
		return fmt.Errorf("--on: %w", err)
	}
	for i, factor := range o.by {
		if slices.Contains(o.by[:i], factor) {
			return fmt.Errorf("--by: factor %q stands here twice; keep one", factor)
		}
	}
	results, err := newFolder(ctx, o.out)
	if err != nil {
		return err
	}
	defer results.discard()
	cases, f, done, err := o.results(ctx, name, notices)
	if err != nil {
		return err
	}
	defer done()
	t, err := newTargeted(cases, f, m, o.units.System, o.by)
	if err != nil {
		return errors.Join(err, faulted(f))
	}
	if err := results.keep(ctx, t.files, notices); err != nil {
		return err
	}
	if o.json {
		return errors.Join(writeJSON(stdout, t.document()), faulted(f))
	}
	return errors.Join(write(stdout, t.page()), faulted(f))
}

// results opens a folder of results, or runs a study into one that is done away
// with at the end.
func (o *targetOptions) results(ctx context.Context, name string, notices io.Writer) (*studies.Cases, *store.Folder, func(), error) {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		cases, f, err := openResults(name)
		return cases, f, func() {}, err
	}
	s, err := loadStudy(name, notices)
	if err != nil {
		return nil, nil, nil, err
	}
	job, err := (&studyOptions{workers: o.workers}).job(s)
	if err != nil {
		return nil, nil, nil, err
	}
	path, err := os.MkdirTemp("", "pipelag-study-")
	if err != nil {
		return nil, nil, nil, failed(err)
	}
	done := func() { os.RemoveAll(path) }
	f, err := job.open(path)
	if err == nil {
		err = job.run(ctx, f, o.workers, notices)
	}
	if err != nil {
		done()
		return nil, nil, nil, err
	}
	return job.cases, f, done, nil
}
