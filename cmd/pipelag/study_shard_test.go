package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestFourTimesAtOnce: tasks that run the same study, or the same shard of one, at
// the same time all end well, and leave the bytes that one leaves, however far one
// is ahead of another.
func TestFourTimesAtOnce(t *testing.T) {
	// 9 pieces; with them the manifest, the study, its scenario and what was assumed;
	// of a whole study a summary, a report, a description and 4 tables in 2 formats too.
	t.Run("study", func(t *testing.T) { fourTimesAtOnce(t, "", 9+4+3+8) })
	t.Run("shard", func(t *testing.T) { fourTimesAtOnce(t, "1/3", 3+4) })
}

func fourTimesAtOnce(t *testing.T, shard string, files int) {
	folder := t.TempDir()
	tiny, err := os.ReadFile(tinyHouse)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "tiny.yaml"), tiny, 0o644))
	file := filepath.Join(folder, "study.yaml")
	require.NoError(t, os.WriteFile(file, []byte(`name: Tiny study
scenario: tiny.yaml
sampling: halton
samples: 9
factors:
  setpoint: {path: heater.setpoint, from: 50 C, to: 60 C}
`), 0o644))
	task := func(out string) error {
		o := studyOptions{out: filepath.Join(folder, out), shard: shard, quiet: true}
		return study(context.Background(), file, &o, io.Discard, io.Discard)
	}
	began := time.Now()
	require.NoError(t, task("lone"))
	took := time.Since(began)
	lone, err := folderBytes(filepath.Join(folder, "lone"))
	require.NoError(t, err)
	require.Len(t, lone, files)

	const rounds = 12
	for round := range rounds {
		out := fmt.Sprint("round", round)
		done := make(chan error)
		for k := range 4 {
			go func() {
				time.Sleep(took * time.Duration(k*round) / rounds)
				done <- task(out)
			}()
		}
		for range 4 {
			require.NoError(t, <-done)
		}
		left, err := folderBytes(filepath.Join(folder, out))
		require.NoError(t, err)
		require.Equal(t, lone, left)
	}
}
