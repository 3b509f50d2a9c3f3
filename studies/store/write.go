package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// temporary begins the names of files that are being written.
const temporary = ".writing-"

// Pending is a file that is being written beside its place, which it takes whole
// or not at all, even if the machine stops meanwhile. Two may write the same at
// once: what either leaves is whole.
type Pending struct {
	*os.File
	path string
	kept bool
}

// ErrSwept says that a file was removed before it could take its place, by another
// run of the same study that took it for left behind. It is to be written again.
var ErrSwept = errors.New("another run of the study removed it half-written")

// Begin begins a file.
func Begin(path string) (*Pending, error) {
	f, err := os.CreateTemp(filepath.Dir(path), temporary+filepath.Base(path)+"-*")
	if err != nil {
		return nil, err
	}
	p := &Pending{File: f, path: path}
	if err := f.Chmod(0o644); err != nil {
		p.Discard()
		return nil, err
	}
	return p, nil
}

// Keep puts the file in its place, or fails with ErrSwept. That it is there lasts,
// if the machine stops, once a file is written into the folder with Write, or the
// folder is settled.
func (p *Pending) Keep() error {
	if err := p.Sync(); err != nil {
		return err
	}
	if err := p.Close(); err != nil {
		return err
	}
	err := os.Rename(p.Name(), p.path)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: %w", p.path, ErrSwept)
	}
	if err != nil {
		return err
	}
	p.kept = true
	return nil
}

// Discard removes what was not kept.
func (p *Pending) Discard() {
	if !p.kept {
		p.Close()
		os.Remove(p.Name())
	}
}

// Write puts a file into the folder whole or not at all.
func (f *Folder) Write(name string, text []byte) error {
	if err := writeText(filepath.Join(f.Path, name), text); err != nil {
		return err
	}
	return syncFolder(f.Path)
}

// writeText puts a file in its place, at the next attempt if it is swept away: each
// run sweeps but once.
func writeText(path string, text []byte) error {
	for {
		if err := attempt(path, text); !errors.Is(err, ErrSwept) {
			return err
		}
	}
}

func attempt(path string, text []byte) error {
	p, err := Begin(path)
	if err != nil {
		return err
	}
	defer p.Discard()
	if _, err := p.Write(text); err != nil {
		return err
	}
	return p.Keep()
}

// syncFolder makes new names in a folder last.
func syncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// sweep removes what was left half-written by one that was killed. Another may
// be sweeping, too, or still be writing: it finds out, and writes again.
func sweep(folder string) error {
	left, err := os.ReadDir(folder)
	for _, entry := range left {
		if !strings.HasPrefix(entry.Name(), temporary) {
			continue
		}
		if gone := os.Remove(filepath.Join(folder, entry.Name())); !errors.Is(gone, fs.ErrNotExist) {
			err = errors.Join(err, gone)
		}
	}
	return err
}
