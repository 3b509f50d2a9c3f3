package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/spf13/cobra"

	"pipelag/scenarios"
	"pipelag/sim"
)

func newScenarioCommand() *cobra.Command {
	c := newGroup(&cobra.Command{
		Use:   "scenario",
		Short: "List, print, check and begin scenarios",
		Example: `  pipelag scenario list
  pipelag scenario new house.yaml
  pipelag scenario check house.yaml`,
	})
	c.AddCommand(
		newScenarioListCommand(), newPrintCommand("scenario", "courtyard", scenarios.EmbeddedText), newScenarioCheckCommand(),
		newScenarioNewCommand(), newScenarioPipesCommand(), newSchemaCommand("scenario", scenarios.Schema),
	)
	return c
}

func newScenarioListCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:     "list",
		Short:   "List the scenarios that come with the program",
		Example: "  pipelag scenario list",
		Args:    count(0, 0, "argument"),
		RunE:    func(c *cobra.Command, _ []string) error { return listScenarios(c.OutOrStdout(), asJSON) },
	}
	bindJSON(c, &asJSON)
	return c
}

func listScenarios(w io.Writer, asJSON bool) error {
	type entry struct {
		Name     string   `json:"name"`
		House    string   `json:"house"`
		Fixtures int      `json:"fixtures"`
		Layouts  []string `json:"layouts"`
	}
	var all []entry
	for _, name := range scenarios.Embedded() {
		s, err := scenarios.LoadEmbedded(name)
		if err != nil {
			return failed(err)
		}
		h := s.House()
		e := entry{Name: name, House: s.Name, Fixtures: len(h.Fixtures)}
		for _, l := range h.Layouts {
			e.Layouts = append(e.Layouts, l.Network.Name)
		}
		all = append(all, e)
	}
	if asJSON {
		return writeJSON(w, all)
	}
	var b bytes.Buffer
	wide := 0
	for _, e := range all {
		wide = max(wide, len(e.Name))
	}
	for _, e := range all {
		fmt.Fprintf(&b, "%-*s  %s: %s, %s\n", wide, e.Name, e.House, counted(e.Fixtures, "fixture"), counted(len(e.Layouts), "layout"))
	}
	return write(w, b.Bytes())
}

func newScenarioCheckCommand() *cobra.Command {
	var verbose bool
	c := &cobra.Command{
		Use:   "check FILE...",
		Short: "Say all that is wrong in scenarios, and where",
		Long: `Read scenarios as a run would and say all that is wrong in them, a line each:
file:line:column: what is wrong; what would be right. Exit code 2 if anything is.`,
		Example: "  pipelag scenario check house.yaml\n  pipelag scenario check --verbose *.yaml   # and what each leaves to be assumed",
		Args:    count(1, math.MaxInt, "file"),
		RunE:    func(c *cobra.Command, args []string) error { return checkScenarios(c.OutOrStdout(), args, verbose) },
	}
	c.Flags().BoolVarP(&verbose, "verbose", "v", false, "list what is assumed because the scenario does not say")
	return c
}

func checkScenarios(w io.Writer, paths []string, verbose bool) error {
	var mistakes scenarios.Errors
	var unread error
	for _, path := range paths {
		s, err := scenarios.Load(path)
		var wrong scenarios.Errors
		switch {
		case errors.As(err, &wrong):
			mistakes = append(mistakes, wrong...)
			continue
		case err != nil:
			unread = errors.Join(unread, err)
			continue
		}
		var b bytes.Buffer
		h := s.House()
		fmt.Fprintf(&b, "%s: sound; %s, %s, %s\n", path,
			counted(len(h.Fixtures), "fixture"), counted(len(h.Layouts), "layout"), counted(len(s.Assumed), "assumption"))
		for _, text := range append(s.Warnings(h.Layouts...), layoutCautions(&h)...) {
			writeNote(&b, "  - ", text)
		}
		if verbose {
			for _, a := range s.Assumed {
				writeNote(&b, "  - ", a.Path+": "+a.Value+" ("+a.Why+")")
			}
		}
		if err := write(w, b.Bytes()); err != nil {
			return err
		}
	}
	if len(mistakes) > 0 && unread != nil {
		return errors.Join(unread, mistakes)
	}
	if len(mistakes) > 0 {
		return mistakes
	}
	return unread
}

// layoutCautions are what the layouts of a house raise as they are set, each once.
func layoutCautions(h *sim.House) []string {
	var raised []sim.Caution
	for _, c := range sim.Cautions(h) {
		if c.Layout != "" { // the others hold for any house with such a heater
			raised = append(raised, c)
		}
	}
	var layouts []sim.LayoutResult
	for _, l := range h.Layouts {
		layouts = append(layouts, sim.LayoutResult{Name: l.Network.Name})
	}
	return merged(raised, layouts)
}

func newScenarioNewCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "new [FILE]",
		Short:   "Begin a scenario: a small house with comments, to be changed",
		Example: "  pipelag scenario new house.yaml\n  pipelag scenario new > house.yaml",
		Args:    count(0, 1, "file"),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return write(c.OutOrStdout(), scenarios.Starter())
			}
			return createFile(args[0], scenarios.Starter())
		},
	}
}
