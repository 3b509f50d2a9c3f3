package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// writeNew writes a text to the new file that a flag names, and says so. Where it
// names none, no text is made.
func writeNew(flag, path string, text func() ([]byte, error), notices io.Writer) error {
	if path == "" {
		return nil
	}
	made, err := text()
	if err != nil {
		return err
	}
	if err := createFile(path, made); err != nil {
		return fmt.Errorf("%s: %w", flag, err)
	}
	sayWrote(notices, path)
	return nil
}

// createFile writes a file that is not there yet, whole or not at all.
func createFile(path string, text []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already; name another file", path)
	}
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(path)
	}
	return failed(err)
}
