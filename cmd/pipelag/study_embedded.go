package main

import (
	"bytes"
	"fmt"

	"github.com/spf13/cobra"

	"pipelag/scenarios"
	"pipelag/studies"
)

func newStudyListCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "list",
		Short:   "List the studies that come with the program",
		Example: "  pipelag study list",
		Args:    count(0, 0, "argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			var b bytes.Buffer
			for _, name := range scenarios.EmbeddedStudies() {
				s, err := scenarios.LoadEmbeddedStudy(name)
				if err != nil {
					return failed(err)
				}
				cases, err := studies.NewCases(s, 0)
				if err != nil {
					return failed(err)
				}
				fmt.Fprintf(&b, "%-9s  %s: %s, %s, %s each\n", name, s.Name, counted(cases.Count, "case"), counted(len(s.Layouts), "layout"), counted(s.Replicates, "replicate"))
			}
			return write(c.OutOrStdout(), b.Bytes())
		},
	}
}

func newStudyPrintCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "print NAME",
		Short:   "Print a study that comes with the program",
		Example: "  pipelag study print tubes > mine.yaml",
		Args:    count(1, 1, "study"),
		RunE: func(c *cobra.Command, args []string) error {
			s, err := scenarios.LoadEmbeddedStudy(args[0])
			if err != nil {
				return err
			}
			return write(c.OutOrStdout(), []byte(s.Source))
		},
	}
}

func newStudySchemaCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "schema",
		Short:   "Print the JSON Schema of a study, for editors",
		Example: "  pipelag study schema > study.schema.json",
		Args:    count(0, 0, "argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			return write(c.OutOrStdout(), scenarios.StudySchema())
		},
	}
}
