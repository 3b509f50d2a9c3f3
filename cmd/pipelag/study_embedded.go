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
