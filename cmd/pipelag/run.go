package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"pipelag/sim"
	"pipelag/sim/pipework"
)

type runOptions struct {
	years     int
	seed      uint64
	precision string
	layouts   []string
	grid      int
	units     systemFlag
	json      bool
	out       string
	quiet     quietFlag
	verbose   bool
	command   string // as it was typed
}

// mostYears is as many as a study has replicates at most.
const mostYears = 10_000

// preciseYears is where --precision gives up unless --years says otherwise.
const preciseYears = 200

// Between these lie the cells that --grid may ask for.
const fewestCells, mostCells = 5, 500

func newRunCommand() *cobra.Command {
	var o runOptions
	c := &cobra.Command{
		Use:   "run [SCENARIO]",
		Short: "Live through years in every layout and compare them",
		Long: `Live through years of hot-water use in every layout of a house and compare them.

SCENARIO is a file, or the name of a scenario that comes with the program (see
pipelag scenario list). Without it, the first of those is run.

All layouts meet the same wishes for water in the same weather, so the difference
between two of them is known far better than either. The first layout taken is what
the others are held against. The same seed gives the same answer on any machine with
any number of cores.`,
		Example: `  pipelag run
  pipelag run house.yaml --years 50 --units si
  pipelag run townhouse --layouts 'home run*' --layouts 1
  pipelag run house.yaml --precision purged_L=100
  pipelag run house.yaml --out results
  pipelag run house.yaml --json > result.json`,
		Args: count(0, 1, "scenario"),
		RunE: func(c *cobra.Command, args []string) error {
			if o.precision != "" && !c.Flags().Changed("years") {
				o.years = preciseYears
			}
			o.command = commandLine(c, args)
			return run(c.Context(), args, &o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	f := c.Flags()
	f.IntVar(&o.years, "years", 10, "`N` years to live through; with --precision, the most (then 200 if not given)")
	bindSeed(c, &o.seed)
	f.StringVar(&o.precision, "precision", "", "`KEY=HALF-WIDTH`: stop once the 95 % interval of every layout's difference from the\nfirst is this narrow; the key and its unit as in the JSON, such as purged_L=100.\nOne not reached is no failure: it is told among the doubts")
	bindLayouts(c, &o.layouts)
	f.IntVar(&o.grid, "grid", pipework.DefaultCells, "`CELLS` that the largest way to a tap is cut into, 5 to 500 (that of a home run into four fifths\nas many, a loop as its pump asks): more are more exact and slower; where others than usual,\nthe result says how many")
	f.StringVar(&o.out, "out", "", "`FOLDER` to write the result into; new or empty")
	f.BoolVarP(&o.verbose, "verbose", "v", false, "show also what was pumped, the heat lost by zone, and the months")
	o.quiet.bind(c)
	o.units.bind(c)
	bindJSON(c, &o.json)
	return c
}

func run(ctx context.Context, args []string, o *runOptions, stdout, stderr io.Writer) error {
	notices := o.quiet.notices(stderr)
	scenario, err := load(args, notices)
	if err != nil {
		return err
	}
	house := scenario.House()
	if house.Layouts, err = choose(house.Layouts, o.layouts); err != nil {
		return err
	}
	options, err := o.options(&house)
	if err != nil {
		return err
	}
	results, err := newFolder(ctx, o.out)
	if err != nil {
		return err
	}
	defer results.discard()
	years, err := newYearTable(results, &house)
	if err != nil {
		return err
	}
	if years != nil {
		defer years.discard()
		options.Year = years.add
	}

	result, err := simulate(ctx, &house, options, notices)
	if err != nil {
		return err
	}
	result.Version = version()
	result.Scenario.SHA256 = scenario.SHA256
	result.Warnings = append(scenario.Warnings(house.Layouts...), result.Warnings...)
	found := &outcome{result, layoutsOut(result), append(assumed(scenario.Assumed, &house), onGrid(result)...)}
	files := func() ([]file, error) {
		if err := years.end(); err != nil {
			return nil, err
		}
		return found.files(question{o.command, scenario, newTakenOff(scenario, &house), o.units.System}, years)
	}
	if err := results.keep(ctx, files, notices); err != nil {
		return err
	}
	if o.json {
		return writeJSON(stdout, found)
	}
	return write(stdout, found.tables(o.units.System, o.verbose))
}

func simulate(ctx context.Context, h *sim.House, o sim.Options, notices io.Writer) (*sim.Result, error) {
	bar := newProgress(notices, o.Years, "year")
	o.Progress = bar.reach
	result, err := sim.Run(ctx, h, o)
	bar.end()
	return result, failed(err)
}

// options checks the flags and makes of them what the engine takes.
func (o *runOptions) options(h *sim.House) (sim.Options, error) {
	out := sim.Options{Seed: o.seed, Years: o.years, Cells: o.grid}
	if o.years < 1 || o.years > mostYears {
		return out, fmt.Errorf("--years %d: give 1 to %d years", o.years, mostYears)
	}
	if o.grid < fewestCells || o.grid > mostCells {
		return out, fmt.Errorf("--grid %d: give %d to %d cells to the largest way to a tap", o.grid, fewestCells, mostCells)
	}
	if o.precision != "" {
		precision, err := parsePrecision(o.precision)
		if err != nil {
			return out, fmt.Errorf("--precision %s: %w", o.precision, err)
		}
		if len(h.Layouts) < 2 {
			return out, errors.New("--precision: there is one layout, so no difference to know; run two or more")
		}
		if o.years < 2 {
			return out, errors.New("--precision: one year gives no interval; let --years be two or more")
		}
		out.Precision = precision
	}
	return out, nil
}

// parsePrecision reads a quantity's key and a half-width in the unit of the key.
func parsePrecision(text string) (*sim.Precision, error) {
	key, number, ok := strings.Cut(text, "=")
	if !ok {
		return nil, errors.New("there is no =; write a key and a half-width, such as purged_L=100")
	}
	q, err := sim.ParseQuantity(key)
	if err != nil {
		return nil, err
	}
	half, err := quantityShown(q).parse(number)
	if err != nil {
		return nil, err
	}
	if !(half > 0) {
		return nil, errors.New("give a half-width above 0")
	}
	return &sim.Precision{Quantity: q, HalfWidth: half}, nil
}
