package scenarios

import (
	"bytes"
	"hash"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"
)

// Companion is a file that a scenario names: what it is called where the scenario is
// kept, and what it holds.
type Companion struct {
	Name string
	Text []byte
}

// companions are where a scenario names files, in the order in which they are read.
var companions = []struct {
	at   path
	what string
}{{path{"limits", "file"}, "limits"}, {path{"draws", "record"}, "record"}}

// resultNames are what files beside a kept scenario are called, without endings.
var resultNames = []string{
	"annual", "assumed", "datapackage", "differences", "failures", "fixtures", "months", "pieces", "report",
	"runs", "scenario", "sensitivity", "study", "summary", "takeoff", "target", "years",
}

// content is what a scenario is made of, in the order in which it is read: its text
// and the files that it names. It keeps what is written to it, which is not to be
// changed afterwards, beside the hash of it all.
type content struct {
	hash.Hash
	parts [][]byte
}

// Write takes in the next part, and never fails.
func (c *content) Write(part []byte) (int, error) {
	c.parts = append(c.parts, part)
	return c.Hash.Write(part)
}

// kept is a scenario's text as it is kept, where all files that it names lie beside
// it, and their names there: their own, or longer ones where a result or another of
// them is called so. The text is changed where it names a file otherwise; one that was
// kept is kept the same.
func kept(text []byte, root *node) ([]byte, []string) {
	var names []string
	for _, c := range companions {
		at := root.find(c.at)
		if at == nil || at.shape != scalar {
			continue
		}
		name := filepath.Base(at.text)
		for taken(name, names) {
			name = c.what + "-" + name
		}
		names = append(names, name)
		if name != at.text {
			text, root = edited(text, root, c.at, name)
		}
	}
	return text, names
}

// taken tells whether a result or one of some files is called so, on any disk.
func taken(name string, names []string) bool {
	is := func(text string) func(string) bool {
		return func(other string) bool { return strings.EqualFold(other, text) }
	}
	return slices.ContainsFunc(resultNames, is(strings.TrimSuffix(name, filepath.Ext(name)))) || slices.ContainsFunc(names, is(name))
}

// find is what lies at a path of keys, or nil.
func (n *node) find(p path) *node {
	for _, step := range p {
		if n = n.below(step); n == nil {
			return nil
		}
	}
	return n
}

// edited is a text and its tree with another value at a path, and all else as it was
// written, comments included. Where the old value does not stand there on one line as
// it reads, the text is the tree's, without comments.
func edited(text []byte, root *node, p path, value string) ([]byte, *node) {
	at := root.find(p)
	tree := root.clone()
	if _, err := tree.set(p, &node{shape: scalar, text: value}); err != nil {
		panic("scenarios: nothing is at a path at which something was found: " + err.Error())
	}
	want := (&Draft{root: tree}).Text()
	begin := offset(text, at.line, at.column)
	for _, written := range []string{at.text, `"` + at.text + `"`, "'" + at.text + "'"} {
		rest, found := bytes.CutPrefix(text[begin:], []byte(written))
		if !found {
			continue
		}
		changed := slices.Concat(text[:begin], []byte((&node{shape: scalar, text: value}).scalarText()), rest)
		if d, err := draft("", "", changed); err == nil && bytes.Equal(d.Text(), want) {
			return changed, d.root
		}
	}
	return want, tree
}

// offset is where a line and a column, in characters from 1, are in a text, or its end.
func offset(text []byte, line, column int) int {
	at := 0
	for ; line > 1; line-- {
		next := bytes.IndexByte(text[at:], '\n')
		if next < 0 {
			return len(text)
		}
		at += next + 1
	}
	for ; column > 1 && at < len(text); column-- {
		_, size := utf8.DecodeRune(text[at:])
		at += size
	}
	return at
}
