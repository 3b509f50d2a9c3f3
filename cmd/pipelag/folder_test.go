package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func result() ([]file, error) { return []file{{"a.txt", []byte("a")}, {"b.txt", []byte("b")}}, nil }

// An empty folder that is there is filled, not replaced: a disk may be mounted there.
func TestEmptyFolderStays(t *testing.T) {
	name := t.TempDir()
	before, err := os.Stat(name)
	require.NoError(t, err)
	f, err := newFolder(t.Context(), name)
	require.NoError(t, err)
	require.NoError(t, f.keep(t.Context(), result, io.Discard))
	f.discard()
	after, err := os.Stat(name)
	require.NoError(t, err)
	require.True(t, os.SameFile(before, after))
	require.Equal(t, []string{"a.txt", "b.txt"}, namesIn(t, name))
}

// Where something has come into it meanwhile, that stays, and nothing is put beside it.
func TestFolderThatFillsMeanwhile(t *testing.T) {
	name := t.TempDir()
	f, err := newFolder(t.Context(), name)
	require.NoError(t, err)
	other := filepath.Join(name, "b.txt")
	require.NoError(t, os.WriteFile(other, []byte("mine"), 0o666))
	require.ErrorContains(t, f.keep(t.Context(), result, io.Discard), "b.txt is there already")
	f.discard()
	require.Equal(t, []string{"b.txt"}, namesIn(t, name))
	text, err := os.ReadFile(other)
	require.NoError(t, err)
	require.Equal(t, "mine", string(text))
}

// What a run that was killed has left beside it is in nobody's way, even where processes
// have the same number each time.
func TestFolderBesideOneLeftBehind(t *testing.T) {
	name := filepath.Join(t.TempDir(), "res")
	require.NoError(t, os.Mkdir(filepath.Join(filepath.Dir(name), fmt.Sprintf(".res.%d", os.Getpid())), 0o777))
	f, err := newFolder(t.Context(), name)
	require.NoError(t, err)
	require.NoError(t, f.keep(t.Context(), result, io.Discard))
	f.discard()
	require.Equal(t, []string{"a.txt", "b.txt"}, namesIn(t, name))
}

// A new folder is as open to others as any that the user makes.
func TestNewFolderIsOpen(t *testing.T) {
	in := t.TempDir()
	plain := filepath.Join(in, "plain")
	require.NoError(t, os.Mkdir(plain, 0o777))
	f, err := newFolder(t.Context(), filepath.Join(in, "res"))
	require.NoError(t, err)
	require.NoError(t, f.keep(t.Context(), result, io.Discard))
	f.discard()
	require.Equal(t, []string{"plain", "res"}, namesIn(t, in))
	want, err := os.Stat(plain)
	require.NoError(t, err)
	got, err := os.Stat(filepath.Join(in, "res"))
	require.NoError(t, err)
	require.Equal(t, want.Mode(), got.Mode())
}

// What could not be made leaves nothing.
func TestFolderNotKept(t *testing.T) {
	for _, name := range []string{t.TempDir(), filepath.Join(t.TempDir(), "res")} {
		f, err := newFolder(t.Context(), name)
		require.NoError(t, err)
		broken := errors.New("broken")
		require.ErrorIs(t, f.keep(t.Context(), func() ([]file, error) { return nil, broken }, io.Discard), broken)
		f.discard()
		require.Empty(t, namesIn(t, name))
	}
}

// namesIn are the names in a folder; none where there is no folder.
func namesIn(t *testing.T, folder string) []string {
	found, err := os.ReadDir(folder)
	if err != nil {
		require.ErrorIs(t, err, os.ErrNotExist)
	}
	var names []string
	for _, f := range found {
		names = append(names, f.Name())
	}
	return names
}
