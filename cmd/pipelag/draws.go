package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"pipelag/plots"
	"pipelag/schedules"
)

type drawsOptions struct {
	days       int
	replicate  int
	seed       uint64
	statistics bool
	export     string
	imported   string
	figure     string
	units      systemFlag
	json       bool
	quiet      quietFlag
}

// statisticsYears is how many replicates the statistics of a household are taken
// from: enough for means within some 2 %.
const statisticsYears = 20

func newDrawsCommand() *cobra.Command {
	var o drawsOptions
	c := &cobra.Command{
		Use:   "draws [SCENARIO]",
		Short: "Show the draws of a scenario, and hold them against published ones",
		Long: fmt.Sprintf(`Show what the people of a scenario want of their taps: the first days, the volumes of
the year beside what they are scaled to and, with --statistics, counts, durations,
flows, hours of the day, gaps and small draws beside published ones.

SCENARIO is a file, or the name of a scenario that comes with the program. Without it,
the first of those is taken. All layouts meet these same draws.

Statistics are of %d replicate years from --replicate on, or of a log's own days. Hours
of the day are tried by chi-square, corrected for draws that come in clumps: p is
the chance that draws which do keep the published hours look as far from them.

A log is a CSV file whose first line names its columns, in any order:
  start            ISO 8601 with zone: 2026-01-31T07:15:02.5+01:00
  fixture          a fixture of the scenario
  kind             washing, brief, filling or appliance
  flow_L_per_min   at the spout, hot and cold together
  duration_s       or volume_L, the other left empty
  volume_L         water used; appliance: hot
  temperature_C    wanted at the spout; not for an appliance (40.6)
  usable_C         hot side from which the wait is over (the fixture's)
  patience_s       washing: longest wait (240)
  step_in_s        washing: from usable until somebody steps in (0)
  hot_share        brief: hot side's share of the flow (1)
Where there is a value in brackets the column, or a cell, may be left out. Times are
told apart by their offset from UTC, so the hour that comes twice in autumn is two. Draws
of 29 February, and into it, are left out. To run a log, name it in the scenario:
draws: {record: log.csv}.`, statisticsYears),
		Example: `  pipelag draws
  pipelag draws house.yaml --days 3 --units si
  pipelag draws house.yaml --statistics
  pipelag draws house.yaml --export year.csv
  pipelag draws house.yaml --import log.csv --statistics
  pipelag draws house.yaml --days 0 --figure week.svg`,
		Args: count(0, 1, "scenario"),
		RunE: func(c *cobra.Command, args []string) error {
			if o.statistics && !c.Flags().Changed("days") {
				o.days = 0
			}
			return draws(args, &o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.IntVar(&o.days, "days", 1, "`N` days to list, from the first on; with --statistics none unless given")
	f.BoolVar(&o.statistics, "statistics", false, "statistics beside published ones")
	f.StringVar(&o.export, "export", "", "new `FILE` to write the year's draws into, as CSV")
	f.StringVar(&o.imported, "import", "", "`FILE` of recorded draws to show instead of the scenario's")
	f.StringVar(&o.figure, "figure", "", "new `FILE` (.svg, .pdf or .png) to draw the first week into")
	bindSeed(c, &o.seed)
	f.IntVar(&o.replicate, "replicate", 0, "`N`: which of the seed's years, from 0")
	o.quiet.bind(c)
	o.units.bind(c)
	bindJSON(c, &o.json)
	return c
}

func draws(args []string, o *drawsOptions, stdout, stderr io.Writer) error {
	if err := o.check(); err != nil {
		return err
	}
	notices := o.quiet.notices(stderr)
	s, err := load(args, notices)
	if err != nil {
		return err
	}
	shown, err := newDrawsShown(s, o)
	if err != nil {
		return err
	}
	for _, w := range shown.warnings {
		fmt.Fprintf(notices, "pipelag: %s\n", w)
	}
	if err := writeNew(notices, newFile{"--export", o.export, shown.export}, newFile{"--figure", o.figure, shown.week}); err != nil {
		return err
	}
	if o.json {
		return writeJSON(stdout, shown.document())
	}
	return write(stdout, shown.page())
}

func (o *drawsOptions) check() error {
	if o.days < 0 || o.days > schedules.DaysPerYear {
		return fmt.Errorf("--days %d: give a number from 0 to %d", o.days, schedules.DaysPerYear)
	}
	if o.replicate < 0 {
		return fmt.Errorf("--replicate %d: give 0 or more", o.replicate)
	}
	if o.figure != "" {
		if _, err := figureFormat(o.figure); err != nil {
			return err
		}
	}
	return nil
}

func figureFormat(path string) (plots.Format, error) {
	format, err := plots.ParseFormat(strings.TrimPrefix(filepath.Ext(path), "."))
	if err != nil {
		return 0, fmt.Errorf("--figure %s: let the name end in .svg, .pdf or .png", path)
	}
	return format, nil
}
