package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pipelag/units"
)

func newRootCommand() *cobra.Command {
	root := newGroup(&cobra.Command{
		Use:   "pipelag",
		Short: "What the wait for hot water costs, for each way to pipe a house",
		Long: `pipelag lives through years of hot-water use in a house, for each way to pipe it:
how long people wait, how much water runs away meanwhile, what the pipes, the heater
and the pump lose and take, and which differences are more than luck.

Exit codes: 0 done, 1 a check or target not met, 2 the command or the input is wrong,
3 the run failed, 130 interrupted.`,
		Example: `  pipelag run                          # the house that comes with the program
  pipelag scenario new house.yaml      # begin a scenario of your own
  pipelag run house.yaml --units si`,
		SilenceErrors: true,
		SilenceUsage:  true,
	})
	root.AddCommand(newRunCommand(), newTraceCommand(), newTakeoffCommand(), newFigureCommand(), newVerifyCommand(), newDrawsCommand(), newStudyCommand(), newTargetCommand(), newScenarioCommand(), newCatalogCommand(), newVersionCommand())
	root.PersistentPreRunE = func(c *cobra.Command, _ []string) (err error) {
		c.Flags().Visit(func(f *pflag.Flag) {
			if f.Value.String() == "" { // as that of a shell's variable which is not set
				err = fmt.Errorf("--%s is empty; give it a value, or leave it out", f.Name)
			}
		})
		return err
	}
	strictHelpers(root)
	addCompletions(root)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return fmt.Errorf("%w; the flags are in: %s --help", err, c.CommandPath())
	})
	return root
}

// newGroup makes a command of one that only holds others: alone it shows its
// help, and a word it does not know is an error that suggests what was meant.
func newGroup(c *cobra.Command) *cobra.Command {
	c.Args = cobra.ArbitraryArgs
	c.RunE = func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			return c.Help()
		}
		return unknownCommand(c, args[0])
	}
	return c
}

// unknownCommand is a word that is none of the commands below c.
func unknownCommand(c *cobra.Command, word string) error {
	c.SuggestionsMinimumDistance = 2
	if near := c.SuggestionsFor(word); len(near) > 0 {
		return fmt.Errorf("unknown command %q; did you mean %s %s?", word, c.CommandPath(), strings.Join(near, " or "))
	}
	return fmt.Errorf("unknown command %q; the commands are in: %s --help", word, c.CommandPath())
}

// strictHelpers makes help and completion refuse words that they do not know, as
// all other commands do; cobra's own show a help and say that all is well.
func strictHelpers(root *cobra.Command) {
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		switch c.Name() {
		case "help":
			c.RunE = func(_ *cobra.Command, args []string) error {
				about, rest, err := root.Find(args)
				if err != nil {
					return err
				}
				if len(rest) > 0 {
					return unknownCommand(about, rest[0])
				}
				about.InitDefaultHelpFlag()
				return about.Help()
			}
		case "completion":
			newGroup(c)
			for _, shell := range c.Commands() {
				shell.Args = count(0, 0, "argument")
			}
		}
	}
}

// oneAtLeast refuses numbers below 1 in flags that are given: left out, they are 0,
// which stands for all there are.
func oneAtLeast(c *cobra.Command, flags ...string) error {
	for _, name := range flags {
		n, err := c.Flags().GetInt(name)
		if err != nil {
			return err
		}
		if c.Flags().Changed(name) && n < 1 {
			return fmt.Errorf("--%s %d: give one at least", name, n)
		}
	}
	return nil
}

// systemFlag is --units.
type systemFlag struct{ units.System }

// Set takes the flag's text.
func (s *systemFlag) Set(text string) (err error) {
	s.System, err = units.ParseSystem(text)
	return err
}

// Type is what help shows in the place of the text.
func (s *systemFlag) Type() string { return "us|si" }

func (s *systemFlag) bind(c *cobra.Command) {
	c.Flags().Var(s, "units", "units of what is to be read: us or si; JSON, CSV and Parquet are in SI")
}

// quietFlag is --quiet.
type quietFlag bool

func (q *quietFlag) bind(c *cobra.Command) {
	c.Flags().BoolVarP((*bool)(q), "quiet", "q", false, "no progress and no notices on standard error")
}

// notices is where notices and progress go.
func (q quietFlag) notices(stderr io.Writer) io.Writer {
	if q {
		return io.Discard
	}
	return stderr
}

// seedFlag is --seed.
type seedFlag uint64

// Set takes the flag's text.
func (s *seedFlag) Set(text string) error {
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return fmt.Errorf("write a whole number from 0 to %d", uint64(math.MaxUint64))
	}
	*s = seedFlag(n)
	return nil
}

// String is the seed as text.
func (s *seedFlag) String() string { return strconv.FormatUint(uint64(*s), 10) }

// Type is what help shows in the place of the text.
func (s *seedFlag) Type() string { return "N" }

// newSeed is --seed, 1 if not given.
func newSeed(to *uint64) *seedFlag {
	*to = 1
	return (*seedFlag)(to)
}

func bindSeed(c *cobra.Command, to *uint64) {
	c.Flags().Var(newSeed(to), "seed", "`N`, a whole number from 0; another one draws other years")
}

func bindJSON(c *cobra.Command, to *bool) {
	c.Flags().BoolVar(to, "json", false, "JSON instead of text, in SI units")
}

// writeJSON writes a value for other programs.
func writeJSON(w io.Writer, value any) error {
	text, err := encodeJSON(value)
	if err != nil {
		return err
	}
	return write(w, text)
}

func encodeJSON(value any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(value); err != nil {
		return nil, failed(err)
	}
	return numberLists.ReplaceAllFunc(b.Bytes(), onOneLine), nil
}

// numberLists are the lists in indented JSON that hold numbers alone, or null for
// those that are none. No text in quotes has a line's end in it.
var numberLists = regexp.MustCompile(`\[\n[-+.,\s0-9eEnul]+\]`)

func onOneLine(list []byte) []byte {
	return bytes.ReplaceAll(bytes.Join(bytes.Fields(list), nil), []byte(","), []byte(", "))
}

// write sends a whole text out; a full disk is a failure.
func write(w io.Writer, text []byte) error {
	_, err := w.Write(text)
	return failed(err)
}

// count asks for a number of arguments of one kind.
func count(least, most int, noun string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		takes := "at least " + counted(least, noun)
		switch {
		case len(args) >= least && len(args) <= most:
			return nil
		case least == most:
			takes = counted(most, noun)
		case len(args) > most:
			takes = "at most " + counted(most, noun)
		}
		return fmt.Errorf("%s takes %s, not %d", c.CommandPath(), takes, len(args))
	}
}
