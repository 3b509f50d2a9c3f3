package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math/bits"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"pipelag/scenarios"
)

// Manifest says what a folder of results is of.
type Manifest struct {
	Version    string `json:"version"` // of the program
	Study      string `json:"study"`   // hash of all that determines a run
	Name       string `json:"name"`
	Currency   string `json:"currency"`
	Cases      int    `json:"cases"`
	Replicates int    `json:"replicates"`
	Precision  string `json:"precision,omitempty"` // at which replicates stop early; empty if they do not
	Shard      *Shard `json:"shard,omitempty"`     // nil for the whole study
	Texts      Texts  `json:"texts"`
}

// Texts are the SHA-256 of what the user wrote, which is kept beside the runs: it
// may change where no run changes with it.
type Texts struct {
	Study    string `json:"study"`
	Scenario string `json:"scenario"`
}

// extends tells what keeps a folder made to one manifest from being filled up to
// another.
func (m *Manifest) extends(old *Manifest) error {
	switch {
	case m.Version != old.Version:
		return fmt.Errorf("it was made by version %s of the program, this is %s; name another folder, so that nothing is lost or mixed", old.Version, m.Version)
	case m.Study != old.Study:
		return fmt.Errorf("it holds results of another study, %q, or of this one before it was changed (%.12s, now %.12s); name another folder, so that nothing is lost or mixed: one grows by replicates, by samples of halton or sensitivity, and by --limit, and by nothing else", old.Name, old.Study, m.Study)
	case m.Shard.String() != old.Shard.String():
		return fmt.Errorf("it holds %s; name another folder", old.Shard)
	case m.Cases < old.Cases:
		return fmt.Errorf("it holds %d cases and %d are asked for; ask for as many at least, or name another folder", old.Cases, m.Cases)
	case m.Replicates < old.Replicates:
		return fmt.Errorf("it holds %d replicates and %d are asked for; ask for as many at least, or name another folder", old.Replicates, m.Replicates)
	case m.Precision != "" && old.Precision == "":
		return fmt.Errorf("all of its replicates are wanted, and precision %q is asked for; ask for none, or name another folder", m.Precision)
	case m.Precision != "" && m.Precision != old.Precision:
		return fmt.Errorf("its replicates stop at precision %q and %q is asked for; ask for the same or none, or name another folder", old.Precision, m.Precision)
	}
	return nil
}

// Folder is a folder of results.
type Folder struct {
	Path     string
	Manifest Manifest
}

// MostCases is how many cases a folder may be of.
const MostCases = 1_000_000

const (
	manifestName = "study.json"
	piecesName   = "pieces"
)

// Open makes a folder for results, or opens one that was begun. An error tells
// what keeps its results and the manifest's apart; nothing is changed then.
func Open(path string, m Manifest) (*Folder, error) {
	f := &Folder{path, m}
	// Listed before the manifest is looked for: another that opens the same folder
	// at the same time puts its manifest there first of all.
	found, err := os.ReadDir(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	old, err := readManifest(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		for _, entry := range found {
			if !strings.HasPrefix(entry.Name(), temporary) && entry.Name() != piecesName {
				return nil, fmt.Errorf("%s: it holds files and no %s, so no study's results; name a new or an empty folder", path, manifestName)
			}
		}
	case err != nil:
		return nil, err
	default:
		if err := m.extends(old); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	for _, folder := range []string{path, filepath.Join(path, piecesName)} {
		if err := os.Mkdir(folder, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, fmt.Errorf("%w; name a folder in one that exists and may be written to", err)
		}
	}
	return f, f.writeManifest()
}

// Read opens a folder of results to read them.
func Read(path string) (*Folder, error) {
	m, err := readManifest(path)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
			return nil, fmt.Errorf("%s holds no results of a study: there is no %s", path, manifestName)
		}
		return nil, err
	}
	return &Folder{path, *m}, nil
}

func readManifest(path string) (*Manifest, error) {
	name := filepath.Join(path, manifestName)
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var m Manifest
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&m); err != nil || !m.sound() {
		return nil, fmt.Errorf("%s is no description of a study's results; put back the one that was written, or name another folder", name)
	}
	return &m, nil
}

// sound tells whether the numbers are such as are written.
func (m *Manifest) sound() bool {
	return m.Cases >= 1 && m.Cases <= MostCases && m.Replicates >= 1 && m.Replicates <= scenarios.MostReplicates && (m.Shard == nil || m.Shard.sound())
}

func (f *Folder) writeManifest() error {
	text, err := json.MarshalIndent(f.Manifest, "", "  ")
	if err != nil {
		return err
	}
	return f.Write(manifestName, append(text, '\n'))
}

// pieceCases is how many cases share a piece: one in a study of up to a thousand
// cases, so that little is lost when one is killed; more in larger ones, so that
// files are not too many, but no more than memory holds with all replicates.
func pieceCases(cases, replicates int) int {
	const pieces, mostRuns = 512, 256
	size := 1 << max(bits.Len(uint(cases/pieces))-1, 0)
	return min(size, max(mostRuns/replicates, 1))
}

// spans are the pieces of the whole study.
func (m *Manifest) spans() []span {
	size := pieceCases(m.Cases, m.Replicates)
	var all []span
	for first := 0; first < m.Cases; first += size {
		all = append(all, span{first, min(first+size, m.Cases) - 1})
	}
	return all
}

// mine are the pieces that the folder is to hold.
func (m *Manifest) mine() []span {
	var mine []span
	for i, s := range m.spans() {
		if m.Shard.holds(i) {
			mine = append(mine, s)
		}
	}
	return mine
}

// Own is how many of the cases the folder is to hold: those of its shard.
func (m *Manifest) Own() int {
	own := 0
	for _, s := range m.mine() {
		own += s.Last - s.First + 1
	}
	return own
}

func (f *Folder) piece(s span) string { return filepath.Join(f.Path, piecesName, s.name()) }

// present lists the pieces there are, whatever their sizes, in order of cases.
// Hidden files are half-written ones, or a disk's own.
func (f *Folder) present() ([]span, error) {
	entries, err := os.ReadDir(filepath.Join(f.Path, piecesName))
	if err != nil {
		return nil, err
	}
	var all []span
	for _, e := range entries {
		var s span
		if n, _ := fmt.Sscanf(e.Name(), "%d-%d.jsonl.gz", &s.First, &s.Last); n == 2 && e.Name() == s.name() {
			all = append(all, s)
		} else if !strings.HasPrefix(e.Name(), ".") {
			return nil, fmt.Errorf("%s is no piece of a study; remove it", filepath.Join(f.Path, piecesName, e.Name()))
		}
	}
	return all, nil
}
