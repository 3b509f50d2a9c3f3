package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"pipelag/scenarios"
)

// load reads the scenario that an argument means: that of an embedded name, or
// a file's. Where it could be both the embedded one is taken, and notices says
// so. Without an argument it is the first embedded one.
func load(args []string, notices io.Writer) (*scenarios.Scenario, error) {
	return loadBy(scenarios.Load, args, notices)
}

// loadSound is load, but a file whose layouts alone are wrong gives the
// scenario of the sound ones beside the error.
func loadSound(args []string, notices io.Writer) (*scenarios.Scenario, error) {
	return loadBy(scenarios.LoadSound, args, notices)
}

// sayEmbedded says that a name means what comes with the program and not the file.
func sayEmbedded(notices io.Writer, what, name string) {
	fmt.Fprintf(notices, "pipelag: %q is an embedded %s and a file here too; the embedded one is taken; for the file write ./%s\n", name, what, name)
}

func loadBy(file func(path string) (*scenarios.Scenario, error), args []string, notices io.Writer) (*scenarios.Scenario, error) {
	embedded := scenarios.Embedded()
	if len(args) == 0 {
		return scenarios.LoadEmbedded(embedded[0])
	}
	name := args[0]
	_, err := os.Stat(name)
	if slices.Contains(embedded, name) {
		if err == nil {
			sayEmbedded(notices, "scenario", name)
		}
		return scenarios.LoadEmbedded(name)
	}
	if os.IsNotExist(err) {
		return nil, fmt.Errorf("there is no file %q and no embedded scenario of that name; embedded are %s", name, strings.Join(embedded, ", "))
	}
	return file(name)
}
