package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// folder is a place for results. They are written beside it under another name
// and take their place together, so that nobody finds half of them. A nil folder
// is where no results are wanted.
type folder struct {
	name    string // as it was asked for
	path    string
	partial string
}

// file is one file to be written.
type file struct {
	name string
	text []byte
}

// newFolder reserves a place at a path that is free or an empty folder, so that
// a place that cannot be had is known before the work is done. No path, no folder.
func newFolder(name string) (*folder, error) {
	if name == "" {
		return nil, nil
	}
	if found, err := os.ReadDir(name); err == nil && len(found) > 0 {
		return nil, fmt.Errorf("--out %s: the folder is not empty; name another, or remove it first", name)
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("--out: %w; name a new or an empty folder", err)
	}
	path, err := filepath.Abs(name)
	if err != nil {
		return nil, fmt.Errorf("--out: %w", err)
	}
	f := &folder{name, path, filepath.Join(filepath.Dir(path), fmt.Sprintf(".%s.%d", filepath.Base(path), os.Getpid()))}
	if err := os.Mkdir(f.partial, 0o777); err != nil {
		return nil, fmt.Errorf("--out: %w; name a folder in one that exists and may be written to", err)
	}
	return f, nil
}

// keep writes the files, puts them in their place unless ctx has ended, and says so.
func (f *folder) keep(ctx context.Context, made func() ([]file, error), notices io.Writer) error {
	if f == nil {
		return nil
	}
	files, err := made()
	if err != nil {
		return err
	}
	for _, file := range files {
		if err := os.WriteFile(filepath.Join(f.partial, file.name), file.text, 0o666); err != nil {
			return failed(err)
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	// An empty folder makes way; one that has filled meanwhile does not.
	if err := os.Remove(f.path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return failed(err)
	}
	if err := os.Rename(f.partial, f.path); err != nil {
		return failed(err)
	}
	sayWrote(notices, f.name)
	return nil
}

// sayWrote says that a file or a folder has been written.
func sayWrote(notices io.Writer, name string) { fmt.Fprintf(notices, "pipelag: wrote %s\n", name) }

// discard removes what was not kept.
func (f *folder) discard() {
	if f != nil {
		os.RemoveAll(f.partial)
	}
}

// makeFolder makes a folder that is not there yet, in one that is.
func makeFolder(path string) error {
	if err := os.Mkdir(path, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("--out: %w; name a folder in one that exists and may be written to", err)
	}
	return nil
}

// placeIn writes files into a folder, which it makes if need be: all of them, or
// none. What is there already stays as it is.
func placeIn(folder string, files []file) (err error) {
	if err := makeFolder(folder); err != nil {
		return err
	}
	for _, f := range files {
		if _, err := os.Lstat(filepath.Join(folder, f.name)); err == nil {
			return fmt.Errorf("--out %s: %s is there already; name another folder, or remove it first", folder, f.name)
		}
	}
	temporary, err := os.MkdirTemp(folder, ".figures")
	if err != nil {
		return fmt.Errorf("--out: %w; name a folder that may be written to", err)
	}
	defer os.RemoveAll(temporary)
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(temporary, f.name), f.text, 0o666); err != nil {
			return failed(err)
		}
	}
	for i, f := range files {
		if err := os.Rename(filepath.Join(temporary, f.name), filepath.Join(folder, f.name)); err != nil {
			for _, done := range files[:i] {
				os.Remove(filepath.Join(folder, done.name))
			}
			return failed(err)
		}
	}
	return nil
}
