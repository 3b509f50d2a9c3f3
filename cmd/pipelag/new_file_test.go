package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whoever finds a new file finds all of it, at any time.
func TestNewFileIsWhole(t *testing.T) {
	path := filepath.Join(t.TempDir(), "page.html")
	text := bytes.Repeat([]byte("<p>"), 64<<20/3)
	written := make(chan error)
	go func() { written <- createFile(path, text) }()
	for ended := false; !ended; {
		select {
		case err := <-written:
			require.NoError(t, err)
			ended = true
		default:
		}
		if found, err := os.Stat(path); err == nil {
			require.EqualValues(t, len(text), found.Size())
		}
	}
	require.Equal(t, []string{"page.html"}, namesIn(t, filepath.Dir(path)))
	require.EqualError(t, createFile(path, nil), path+" is there already; name another file")
}
