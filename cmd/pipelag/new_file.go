package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"pipelag/studies/store"
)

// newFile is a file that a flag names; none is wanted where it names none.
type newFile struct {
	flag, path string
	text       func() ([]byte, error)
}

func (f newFile) create() error {
	text, err := f.text()
	if err != nil {
		return err
	}
	if err := createFile(f.path, text); err != nil {
		return fmt.Errorf("%s: %w", f.flag, err)
	}
	return nil
}

// writeNew writes files that are not there yet, all of them or none, and says so.
func writeNew(notices io.Writer, files ...newFile) error {
	var written []string
	for _, f := range files {
		if f.path == "" {
			continue
		}
		if err := f.create(); err != nil {
			for _, path := range written {
				os.Remove(path)
			}
			return err
		}
		written = append(written, f.path)
	}
	for _, path := range written {
		sayWrote(notices, path)
	}
	return nil
}

// createFile writes a file that is not there yet, whole or not at all.
func createFile(path string, text []byte) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s is there already; name another file", path)
	}
	f, err := store.Begin(path)
	if err != nil {
		var at *fs.PathError
		if errors.As(err, &at) {
			at.Path = path // rather than the name it has while it is written
		}
		return fmt.Errorf("%w; name a file in a folder that exists and may be written to", err)
	}
	defer f.Discard()
	if _, err := f.Write(text); err != nil {
		return failed(err)
	}
	return failed(f.Keep())
}
