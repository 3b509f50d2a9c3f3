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

// folder is a place for results. They are written under another name first, and take
// their place together, so that nobody finds half of them. A nil folder is where no
// results are wanted.
type folder struct {
	name      string // as it was asked for
	there     bool   // an empty folder was, and stays: it may be a disk, or a link to one
	temporary string // beside a new folder, within one that was there
	partial   string // in it
}

// file is one file to be written.
type file struct {
	name string
	text []byte
}

// newFolder reserves a place at a path that is free or an empty folder, so that
// a place that cannot be had is known before the work is done. No path, no folder. It is
// to be discarded, so that from here on ctx is looked at.
func newFolder(ctx context.Context, name string) (*folder, error) {
	if name == "" {
		return nil, nil
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	found, err := os.ReadDir(name)
	if err == nil && len(found) > 0 {
		return nil, fmt.Errorf("--out %s: the folder is not empty; name another, or remove it first", name)
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("--out: %w; name a new or an empty folder", err)
	}
	there := err == nil
	if _, err := os.Lstat(name); !there && err == nil {
		return nil, fmt.Errorf("--out %s: it is a link to a folder that is not there; make that, or name another", name)
	}
	path, err := filepath.Abs(name)
	if err != nil {
		return nil, fmt.Errorf("--out: %w", err)
	}
	in := filepath.Dir(path)
	if there {
		in = path
	}
	temporary, err := os.MkdirTemp(in, "."+filepath.Base(path)+".*")
	if err != nil {
		return nil, fmt.Errorf("--out: %w; name a folder in one that exists and may be written to", err)
	}
	f := &folder{name, there, temporary, filepath.Join(temporary, "whole")}
	if err := os.Mkdir(f.partial, 0o777); err != nil { // the temporary one is closed to others
		f.discard()
		return nil, fmt.Errorf("--out: %w", err)
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
	if err := writeAll(f.partial, files); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := f.place(); err != nil {
		return err
	}
	sayWrote(notices, f.name)
	return nil
}

// place puts what was written where it was asked for.
func (f *folder) place() error {
	if !f.there { // nor is it now, or it is empty still
		return failed(os.Rename(f.partial, f.name))
	}
	written, err := os.ReadDir(f.partial)
	if err != nil {
		return failed(err)
	}
	var names []string
	for _, entry := range written {
		names = append(names, entry.Name())
	}
	return moveAll(f.partial, f.name, names)
}

// sayWrote says that a file or a folder has been written.
func sayWrote(notices io.Writer, name string) { fmt.Fprintf(notices, "pipelag: wrote %s\n", name) }

// discard removes what was not kept.
func (f *folder) discard() {
	if f != nil {
		os.RemoveAll(f.temporary)
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
func placeIn(ctx context.Context, folder string, files []file) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := makeFolder(folder); err != nil {
		return err
	}
	temporary, err := os.MkdirTemp(folder, ".figures")
	if err != nil {
		return fmt.Errorf("--out: %w; name a folder that may be written to", err)
	}
	defer os.RemoveAll(temporary)
	if err := writeAll(temporary, files); err != nil {
		return err
	}
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = f.name
	}
	return moveAll(temporary, folder, names)
}

// writeAll writes files into a folder.
func writeAll(folder string, files []file) error {
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(folder, f.name), f.text, 0o666); err != nil {
			return failed(err)
		}
	}
	return nil
}

// moveAll moves files of one folder into another on the same disk: all of them, or
// none. What is there already stays as it is.
func moveAll(from, to string, names []string) error {
	for _, name := range names {
		if _, err := os.Lstat(filepath.Join(to, name)); err == nil {
			return fmt.Errorf("--out %s: %s is there already; name another folder, or remove it first", to, name)
		}
	}
	for i, name := range names {
		if err := os.Rename(filepath.Join(from, name), filepath.Join(to, name)); err != nil {
			for _, done := range names[:i] {
				os.Remove(filepath.Join(to, done))
			}
			return failed(err)
		}
	}
	return nil
}
