package main

import (
	"fmt"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// release is the version of this source.
const release = "0.1.0"

// version is the release, with the commit it was built from where the build
// knows it: 0.1.0+3f2a9c1d04be, and .changed after it if files differed.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return release
	}
	var revision, changed string
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			revision = "+" + s.Value[:min(len(s.Value), 12)]
		case "vcs.modified":
			if s.Value == "true" {
				changed = ".changed"
			}
		}
	}
	return release + revision + changed
}

// ofRelease tells whether a version is of this release, whatever commit it was built from.
func ofRelease(version string) bool {
	of, _, _ := strings.Cut(version, "+")
	return of == release
}

func newVersionCommand() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:     "version",
		Short:   "Print the version",
		Example: "  pipelag version",
		Args:    count(0, 0, "argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			goVersion := "unknown"
			if info, ok := debug.ReadBuildInfo(); ok {
				goVersion = info.GoVersion
			}
			if asJSON {
				return writeJSON(c.OutOrStdout(), map[string]string{"version": version(), "go": goVersion})
			}
			return write(c.OutOrStdout(), fmt.Appendf(nil, "pipelag %s (%s)\n", version(), goVersion))
		},
	}
	bindJSON(c, &asJSON)
	return c
}
