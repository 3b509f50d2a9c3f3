package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"pipelag/plots"
	"pipelag/scenarios"
	"pipelag/sim/verify"
	"pipelag/studies/target"
)

// argumentWords are what the first argument of a command may be, beside a file or a folder.
var argumentWords = map[string]func() []string{
	"pipelag run":            scenarios.Embedded,
	"pipelag trace":          scenarios.Embedded,
	"pipelag takeoff":        scenarios.Embedded,
	"pipelag draws":          scenarios.Embedded,
	"pipelag scenario pipes": scenarios.Embedded,
	"pipelag scenario print": scenarios.Embedded,
	"pipelag study":          scenarios.EmbeddedStudies,
	"pipelag study print":    scenarios.EmbeddedStudies,
	"pipelag target":         scenarios.EmbeddedStudies,
	"pipelag figure": func() []string {
		kinds, _ := plots.Kinds()
		return append(kinds, everyKind)
	},
}

// flagWords are what a flag may be: that of one command, or of all that have it.
var flagWords = map[string]func() []string{
	"--units":                words("us", "si"),
	"pipelag figure --units": words("us", "si", "both"),
	"--format":               words("svg", "pdf", "png"),
	"--width":                words("one", "two"),
	"--place":                words("manifold", "heater"),
	"--on":                   target.Measures,
	"--group": func() []string {
		names, _ := verify.Groups()
		return names
	},
}

func words(all ...string) func() []string { return func() []string { return all } }

// addCompletions lets shells complete the words of a command and of those below it.
func addCompletions(c *cobra.Command) {
	if of := argumentWords[c.CommandPath()]; of != nil {
		c.ValidArgsFunction = func(_ *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveDefault
			}
			return of(), cobra.ShellCompDirectiveDefault
		}
	}
	c.Flags().VisitAll(func(f *pflag.Flag) {
		of := flagWords[c.CommandPath()+" --"+f.Name]
		if of == nil {
			of = flagWords["--"+f.Name]
		}
		if of == nil {
			return
		}
		if err := c.RegisterFlagCompletionFunc(f.Name, cobra.FixedCompletions(of(), cobra.ShellCompDirectiveNoFileComp)); err != nil {
			panic("pipelag: " + err.Error()) // the flag is there, and visited once
		}
	})
	for _, below := range c.Commands() {
		addCompletions(below)
	}
}
