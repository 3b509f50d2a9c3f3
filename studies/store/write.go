package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// temporary begins the names of files that are being written.
const temporary = ".writing-"

// Write puts a file in its place whole or not at all, even if the machine stops
// meanwhile. Two may write the same at once: what either leaves is whole.
func Write(path string, fill func(*os.File) error) (err error) {
	folder := filepath.Dir(path)
	f, err := os.CreateTemp(folder, temporary+filepath.Base(path)+"-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err := f.Chmod(0o644); err != nil {
		return err
	}
	if err := fill(f); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	err = os.Rename(f.Name(), path)
	if errors.Is(err, fs.ErrNotExist) {
		if _, there := os.Stat(path); there == nil {
			return nil // another that has finished the same swept this one's away
		}
	}
	if err != nil {
		return err
	}
	return syncFolder(folder)
}

// Write puts a file into the folder whole or not at all.
func (f *Folder) Write(name string, text []byte) error {
	return writeText(filepath.Join(f.Path, name), text)
}

func writeText(path string, text []byte) error {
	return Write(path, func(f *os.File) error {
		_, err := f.Write(text)
		return err
	})
}

// syncFolder makes a new name in a folder last.
func syncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// sweep removes what was left half-written by one that was killed.
func sweep(folder string) error {
	left, err := filepath.Glob(filepath.Join(folder, temporary+"*"))
	for _, path := range left {
		err = errors.Join(err, os.Remove(path))
	}
	return err
}
