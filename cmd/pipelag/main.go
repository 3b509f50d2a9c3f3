// Command pipelag compares ways to pipe hot water through a house.
//
// It holds flags, tables and exit codes. What water and heat do is found in the
// packages it calls; nothing is worked out here but roundings and units.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"pipelag/internal/fault"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	os.Exit(execute(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// execute runs one command line and returns its exit code.
func execute(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := newRootCommand()
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := carryOut(ctx, root)
	explain(ctx, stderr, err)
	return codeOf(ctx, err)
}

func carryOut(ctx context.Context, c *cobra.Command) (err error) {
	defer fault.Catch(&err)
	return c.ExecuteContext(ctx)
}
