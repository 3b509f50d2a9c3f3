package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/fault"
	"pipelag/studies/store"
)

// TestFaultyRuns: where a run has failed by a fault of the program, results are made and
// shown without it, and nothing that shows them ends well. One that failed for its house
// changes no exit code.
func TestFaultyRuns(t *testing.T) {
	folder := t.TempDir()
	tiny, err := os.ReadFile(tinyHouse)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "tiny.yaml"), tiny, 0o644))
	text := filepath.Join(folder, "study.yaml")
	require.NoError(t, os.WriteFile(text, []byte(`name: Tiny study
scenario: tiny.yaml
sampling: halton
samples: 3
factors:
  setpoint: {path: heater.setpoint, from: 50 C, to: 60 C}
`), 0o644))
	out := filepath.Join(folder, "out")
	pipelag := func(args ...string) (code int, stdout, stderr string) {
		var o, e bytes.Buffer
		code = execute(context.Background(), args, &o, &e)
		return code, o.String(), e.String()
	}
	code, _, stderr := pipelag("study", text, "--out", out)
	require.Zero(t, code, stderr)
	_, _, stderr = pipelag("study", text, "--out", filepath.Join(folder, "parts"), "--shard", "1/1")
	require.Contains(t, stderr, "shard 1/1 is done")
	shard := filepath.Join(folder, "parts", "shard-1-of-1")

	// fail puts failures in the place of the first of the three runs.
	fail := func(path string, count int, isFault bool) {
		f, err := store.Read(path)
		require.NoError(t, err)
		parts, err := f.Missing(func([]store.Run) bool { return false })
		require.NoError(t, err)
		require.Len(t, parts, 3)
		for _, p := range parts[:count] {
			runs, err := f.Have(p)
			require.NoError(t, err)
			for i := range runs {
				runs[i].Cause, runs[i].Fault, runs[i].Layouts = fmt.Sprintf("%v: no more room", fault.Err), isFault, nil
			}
			require.NoError(t, f.Fill(p, runs))
		}
	}
	for _, c := range []struct {
		isFault bool
		code    int
	}{{true, codeFailed}, {false, codeDone}} {
		fail(out, 2, c.isFault)
		fail(shard, 2, c.isFault)
		for _, args := range [][]string{
			{"study", text, "--out", out},
			{"study", "merge", shard, "--out", filepath.Join(t.TempDir(), "merged")},
			{"study", "summary", out},
			{"study", "summary", out, "--json"},
			{"target", out},
			{"target", out, "--json"},
		} {
			code, stdout, stderr := pipelag(args...)
			require.Equal(t, c.code, code, args)
			require.NotEmpty(t, stdout, args)
			line := fmt.Sprintf("pipelag: 2 runs failed by a fault of the program and no number counts them, first in case 1: %v: no more room\n", fault.Err)
			require.Equal(t, c.isFault, bytes.HasSuffix([]byte(stderr), []byte(line)), stderr)
		}
		failures, err := os.ReadFile(filepath.Join(out, "failures.csv"))
		require.NoError(t, err)
		require.Equal(t, 3, bytes.Count(failures, []byte("\n")), "the first line and two failures")
		code, _, stderr := pipelag("figure", "target", out, "--out", filepath.Join(t.TempDir(), "drawn"))
		require.Equal(t, c.code, code, stderr)
	}
	fail(out, 3, true)
	for _, args := range [][]string{{"study", "summary", out}, {"target", out}} {
		code, _, stderr := pipelag(args...)
		require.Equal(t, codeFailed, code, args)
		require.Contains(t, stderr, "3 runs failed by a fault of the program")
	}
}
