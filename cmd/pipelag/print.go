package main

import "github.com/spf13/cobra"

// newPrintCommand makes the command that prints a scenario or a study, as noun
// says, that comes with the program.
func newPrintCommand(noun, example string, text func(name string) ([]byte, error)) *cobra.Command {
	return &cobra.Command{
		Use:     "print NAME",
		Short:   "Print a " + noun + " that comes with the program",
		Example: "  pipelag " + noun + " print " + example + " > mine.yaml",
		Args:    count(1, 1, noun),
		RunE: func(c *cobra.Command, args []string) error {
			printed, err := text(args[0])
			if err != nil {
				return err
			}
			return write(c.OutOrStdout(), printed)
		},
	}
}

// newSchemaCommand makes the command that prints the JSON Schema of scenarios or
// of studies.
func newSchemaCommand(noun string, schema func() []byte) *cobra.Command {
	return &cobra.Command{
		Use:     "schema",
		Short:   "Print the JSON Schema of a " + noun + ", for editors",
		Example: "  pipelag " + noun + " schema > " + noun + ".schema.json",
		Args:    count(0, 0, "argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			return write(c.OutOrStdout(), schema())
		},
	}
}
