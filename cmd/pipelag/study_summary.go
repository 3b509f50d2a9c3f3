package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/store"
	"pipelag/studies/summary"
)

func newStudySummaryCommand() *cobra.Command {
	var system systemFlag
	var asJSON bool
	c := &cobra.Command{
		Use:   "summary FOLDER",
		Short: "Say what a study's runs come to",
		Long: `Say what a study's runs come to: means with their 95 % intervals and percentiles of the cases,
by factor; which factors the variance comes from; and how many times as many replicates the
differences would need if layouts did not meet the same years.

The interval of a mean is over the cases where they are a sample. A grid's cases are all there
are: there it is over the replicates.

FOLDER's report.html, which study and study merge write, says it as a page.`,
		Example: "  pipelag study summary results\n  pipelag study summary results --json > summary.json",
		Args:    count(1, 1, "folder"),
		RunE: func(c *cobra.Command, args []string) error {
			cases, f, err := openResults(args[0])
			if err != nil {
				return err
			}
			sum, err := summed(cases, f)
			if err != nil {
				return err
			}
			return (&studied{sum, f.Manifest}).show(f, system.System, asJSON, c.OutOrStdout())
		},
	}
	system.bind(c)
	bindJSON(c, &asJSON)
	return c
}

// summed is what the runs in a folder come to.
func summed(c *studies.Cases, f *store.Folder) (*summary.Summary, error) {
	var precision *sim.Precision
	if asked := f.Manifest.Precision; asked != "" {
		var err error
		if precision, err = parsePrecision(asked); err != nil {
			return nil, fmt.Errorf("%s: precision %s: %w", f.Path, asked, err)
		}
	}
	sum, err := summary.New(c, f, precision)
	if err != nil {
		return nil, err
	}
	sum.Notes = append(sum.Notes, c.Study.Doubts()...)
	return sum, nil
}
