// Package scenarios reads what a user writes: a house, its people, its climate
// and the layouts to compare, as YAML whose quantities are text with units.
//
// Reading is strict. Everything wrong in a file is reported at once, each with
// its place and what would be right; a Scenario that was read is sound.
//
// Not modelled: heaters of different kinds in one house.
package scenarios

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"pipelag/network/sizing"
	"pipelag/sim"
)

// Scenario is a file that was read and found sound.
type Scenario struct {
	Name       string
	SHA256     string // of its Source, and of the files it names, in hexadecimal
	Source     string // the file's text, with the names that its Companions have
	Companions []Companion
	Assumed    []Assumption
	warnings   []sim.Caution // what is doubtful
	house      sim.House
	plans      []*Plan // by layout of the house; nil for one that lists its pipes
	code       sizing.Code
	cold       float64 // fixture units of what draws cold water alone
	places     placesSaid
}

// Assumption is a value that the file leaves out and that matters.
type Assumption struct {
	Path   string // the key that would state it, such as heater.loss
	Value  string
	Why    string // where it comes from, and read or from memory
	Layout string // that it is of; empty where it is of none or of all
}

// House is what the scenario describes, ready to simulate. Its networks and
// schedule are shared between calls and not to be changed.
func (s *Scenario) House() sim.House {
	h := s.house
	h.Layouts = append([]sim.Layout(nil), h.Layouts...)
	h.Fixtures = append([]sim.Fixture(nil), h.Fixtures...)
	return h
}

// Warnings are what is doubtful about the scenario and those of its layouts that
// are given, one line each.
func (s *Scenario) Warnings(layouts ...sim.Layout) []string {
	var all []string
	for _, w := range s.warnings {
		if w.Layout == "" || slices.ContainsFunc(layouts, func(l sim.Layout) bool { return l.Network.Name == w.Layout }) {
			all = append(all, w.Text)
		}
	}
	return all
}

// Load reads a scenario's file. The error is Errors if the file was read and
// is wrong.
func Load(path string) (*Scenario, error) {
	return whole(LoadSound(path))
}

// LoadSound reads a scenario's file as Load does. Where nothing but layouts is
// wrong it gives the scenario of the others beside Errors.
func LoadSound(path string) (*Scenario, error) {
	data, err := firstBytes(path, maxFile+1) // one more than is allowed shows that it is too large
	if err != nil {
		return nil, err
	}
	return read(path, filepath.Dir(path), data)
}

// whole is a scenario without mistakes or none.
func whole(s *Scenario, err error) (*Scenario, error) {
	if err != nil {
		return nil, err
	}
	return s, nil
}

// firstBytes reads a file, or as much of it as it may have.
func firstBytes(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if about, err := f.Stat(); err == nil && about.IsDir() {
		return nil, fmt.Errorf("%s is a folder, and not a file", path)
	}
	return io.ReadAll(io.LimitReader(f, most))
}

// Parse reads a scenario from its text; name is what errors call the file. The
// error is Errors. Text from nowhere can refer to no other file.
func Parse(name string, data []byte) (*Scenario, error) {
	return whole(read(name, "", data))
}

// scenarioBegin is what a scenario begins with.
const scenarioBegin = "name:, people:, climate:, heater:, fixtures: and layouts:"

// read gives the scenario of the sound layouts beside what is wrong with others;
// nil where more is wrong or no layout is sound.
func read(name, folder string, data []byte) (*Scenario, error) {
	r := newReader(name, scenarioBegin)
	root := r.tree(data)
	if root == nil || len(r.mistakes) > 0 {
		return nil, r.err()
	}
	return r.scenario(folder, root, data)
}

// scenario makes a house of a tree and keeps its text.
func (r *reader) scenario(folder string, root *node, text []byte) (*Scenario, error) {
	var said house
	scenarioKeys.read(r, root, &said)
	b := &builder{
		reader: r, root: root, said: said, folder: folder, sum: &content{Hash: sha256.New()},
	}
	text, names := kept(text, root)
	b.made = &Scenario{Name: said.name.value, Source: string(text)}
	b.sum.Write(text)
	b.build()
	b.made.SHA256 = hex.EncodeToString(b.sum.Sum(nil))
	if b.shared > 0 || len(b.made.house.Layouts) == 0 {
		return nil, r.err()
	}
	for i, name := range names { // they were read in this order, all of them: else there is no scenario
		b.made.Companions = append(b.made.Companions, Companion{name, b.sum.parts[i+1]})
	}
	return b.made, r.err()
}
