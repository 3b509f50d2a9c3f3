package main

import (
	"context"
	"testing"

	"github.com/spf13/cobra"
)

// A fault of the program is a failed run, not the user's to mend.
func TestFaultIsExitCode3(t *testing.T) {
	var sound *runOptions
	c := &cobra.Command{RunE: func(*cobra.Command, []string) error { sound.years++; return nil }}
	c.SetArgs(nil)
	err := carryOut(context.Background(), c)
	if code := codeOf(context.Background(), err); code != codeFailed {
		t.Errorf("exit code %d: %v", code, err)
	}
}
