package scenarios

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// stand says of a node and all below it which factor of which study they are a
// value of.
func (n *node) stand(file, factor string) {
	n.file, n.factor = file, factor
	for _, below := range slices.Concat(n.keys, n.items) {
		below.stand(file, factor)
	}
}

// ofFactor is what a mistake in a value of a factor begins with.
func ofFactor(name string) string { return fmt.Sprintf("factor %q: ", name) }

// Case is the scenario of one case: the base with a value for each factor. Its
// mistakes name files without their folders, so that they are the same on every
// machine.
func (s *Study) Case(settings []Setting) (*Draft, error) {
	d := &Draft{file: filepath.Base(s.base.file), folder: s.base.folder, root: s.base.root.clone()}
	for i, f := range s.Factors {
		at := f.place(settings[i].Number)
		value := &node{shape: scalar, text: f.Text(settings[i]), line: at.line, column: at.column}
		value.stand(filepath.Base(s.file), f.Name)
		if f.Range == nil {
			value = f.Levels[settings[i].Level].value
		}
		for _, p := range f.paths {
			if _, err := d.root.set(p, value); err != nil {
				return nil, fmt.Errorf("%s%w", ofFactor(f.Name), err)
			}
		}
	}
	return d, nil
}

// Text is a factor's value in one case as results show it: a level's label, or
// a number with its unit.
func (f *Factor) Text(s Setting) string {
	if f.Range == nil {
		return f.Levels[s.Level].Label
	}
	return strings.TrimSpace(strconv.FormatFloat(s.Number, 'g', -1, 64) + " " + f.Range.Unit)
}

// Identity is a text of all that determines the runs of a case: the same text,
// the same runs. How many samples and replicates there are is not in it, but for
// a latin hypercube, whose samples their number determines. The error is that of
// a base scenario that is not sound.
func (s *Study) Identity() ([]byte, error) {
	base, err := s.base.Scenario()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "scenario %s\nsampling %s\nseed %d, own %t\n", base.SHA256, s.Sampling, s.Seed, s.OwnSeeds)
	if s.Sampling == LatinHypercube {
		fmt.Fprintf(&b, "samples %d\n", s.Samples)
	}
	for _, l := range s.Layouts {
		fmt.Fprintf(&b, "layout %q\n", l)
	}
	s.factors.write(&b, 0)
	for k, f := range s.Factors {
		if f.namesFiles() {
			s.writeFiles(&b, k)
		}
	}
	return b.Bytes(), nil
}

// writeFiles writes what the files that a factor's values name hold, as the hash of the
// scenario with each value, beside the first values of other factors. A value that makes no
// house beside these names none.
func (s *Study) writeFiles(b *bytes.Buffer, factor int) {
	settings := make([]Setting, len(s.Factors))
	for k, f := range s.Factors {
		if f.Range != nil {
			settings[k].Number = f.Range.From
		}
	}
	for level, l := range s.Factors[factor].Levels {
		settings[factor].Level = level
		d, err := s.Case(settings)
		if err != nil {
			continue
		}
		if made, err := d.Scenario(); err == nil {
			fmt.Fprintf(b, "%s %q: %s\n", s.Factors[factor].Name, l.Label, made.SHA256)
		}
	}
}

// namesFiles tells whether a factor varies where a scenario names a file.
func (f *Factor) namesFiles() bool {
	return slices.ContainsFunc(f.places, func(p path) bool {
		for _, c := range companions {
			if n := min(len(p), len(c.at)); slices.Equal(p[:n], c.at[:n]) {
				return true
			}
		}
		return false
	})
}

// Base is the house that is varied. The error is Errors.
func (s *Study) Base() (*Scenario, error) {
	return newReader(s.base.file, scenarioBegin).scenario(s.base.folder, s.base.root, s.base.source)
}
