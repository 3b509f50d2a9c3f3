// Command pipelag compares ways to pipe hot water through a house.
//
// It holds flags, tables and exit codes. What water and heat do is found in the
// packages it calls; nothing is worked out here but roundings and units.
package main

import (
	"context"
	"io"
	"os"

	"github.com/spf13/cobra"

	"pipelag/internal/fault"
)

func main() {
	os.Exit(execute(newInterruption(), os.Args[1:], os.Stdout, os.Stderr))
}

// execute runs one command line and returns its exit code.
func execute(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := newRootCommand()
	out := &output{Writer: stdout}
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(stderr)
	err := carryOut(ctx, root)
	if err == nil {
		err = failed(out.err)
	}
	explain(ctx, stderr, err)
	return codeOf(ctx, err)
}

// output is standard output, which remembers that something could not be written:
// what writes a help does not say so.
type output struct {
	io.Writer
	err error // the first
}

// Write writes on.
func (o *output) Write(text []byte) (int, error) {
	n, err := o.Writer.Write(text)
	if o.err == nil {
		o.err = err
	}
	return n, err
}

func carryOut(ctx context.Context, c *cobra.Command) (err error) {
	defer fault.Catch(&err)
	return c.ExecuteContext(ctx)
}
