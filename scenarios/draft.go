package scenarios

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Draft is a scenario as a tree of text, before a house is made of it, so that a
// study can put other values in their places.
type Draft struct {
	file, folder string
	root         *node
	source       []byte // as the user wrote it; nil once values are put in
}

// draft reads the text of a scenario as far as its YAML goes.
func draft(file, folder string, data []byte) (*Draft, error) {
	r := newReader(file, scenarioBegin)
	root := r.tree(data)
	if root == nil || len(r.mistakes) > 0 {
		return nil, r.err()
	}
	return &Draft{file, folder, root, data}, nil
}

func loadDraft(path string) (*Draft, error) {
	data, err := firstBytes(path, maxFile+1)
	if err != nil {
		return nil, err
	}
	return draft(path, filepath.Dir(path), data)
}

// Scenario makes a house of the draft. The error is Errors, each with its place:
// that of a value put in is where the study says it.
func (d *Draft) Scenario() (*Scenario, error) {
	return newReader(d.file, scenarioBegin).scenario(d.folder, d.root, d.Text())
}

// Text is the draft as YAML that reads as the same tree, without comments.
func (d *Draft) Text() []byte {
	var b bytes.Buffer
	d.root.write(&b, 0)
	return b.Bytes()
}

// write adds a node in block style, at the end of a line that holds its key or
// its dash.
func (n *node) write(b *bytes.Buffer, depth int) {
	indent := strings.Repeat("  ", depth)
	switch {
	case n.shape == mapping && len(n.items) > 0:
		for i, key := range n.keys {
			if i > 0 || depth == 0 {
				b.WriteString(indent)
			}
			b.WriteString(key.scalarText() + ":")
			n.items[i].writeBelow(b, depth+1)
		}
	case n.shape == list && len(n.items) > 0:
		for i, item := range n.items {
			if i > 0 {
				b.WriteString(indent)
			}
			b.WriteString("-")
			if item.shape == mapping && len(item.items) > 0 {
				b.WriteByte(' ')
				item.write(b, depth+1)
			} else {
				item.writeBelow(b, depth+1)
			}
		}
	default:
		b.WriteString(n.scalarText() + "\n")
	}
}

// writeBelow adds what stands under a key: one value on its line, else on lines
// of its own.
func (n *node) writeBelow(b *bytes.Buffer, depth int) {
	switch {
	case (n.shape == mapping || n.shape == list) && len(n.items) > 0:
		b.WriteString("\n" + strings.Repeat("  ", depth))
	case n.shape != empty:
		b.WriteByte(' ')
	}
	n.write(b, depth)
}

// plainText needs no quotes in YAML, whatever stands round it.
var plainText = regexp.MustCompile(`^[A-Za-z0-9](?:[A-Za-z0-9 _./+%()-]*[A-Za-z0-9%)])?$`)

func (n *node) scalarText() string {
	switch {
	case n.shape == empty:
		return ""
	case n.shape == mapping:
		return "{}"
	case n.shape == list:
		return "[]"
	case plainText.MatchString(n.text) && !strings.EqualFold(n.text, "null"):
		return n.text
	}
	text, err := json.Marshal(n.text)
	if err != nil {
		panic("scenarios: text is not JSON: " + err.Error()) // a string always is
	}
	return strings.ReplaceAll(string(text), "\u0085", `\u0085`) // a line break to YAML, not to JSON
}

func (n *node) clone() *node {
	c := *n
	c.items = make([]*node, len(n.items))
	for i, item := range n.items {
		c.items[i] = item.clone()
	}
	c.keys = slices.Clone(n.keys)
	return &c
}

// path leads to a place in a scenario: keys with points between, and in square
// brackets the name or number (from 1) of an item of a list, or * for all there are:
// layouts[home run, 3/8].runs.size. A name may hold anything but ]. and ][, for a
// bracket ends where the path ends or a next step begins.
type path []string

const pathRight = "write a path such as heater.setpoint or layouts[home run].runs.size"

// bracketEnd is the ] that ends a step, with what follows it.
var bracketEnd = regexp.MustCompile(`\](?:[.\[]|$)`)

func parsePath(text string) (path, error) {
	var p path
	rest := text
	for rest != "" {
		var step string
		if rest[0] == '[' {
			end := bracketEnd.FindStringIndex(rest)
			if end == nil {
				wrong := "no ] after ["
				if last := strings.LastIndexByte(rest, ']'); last >= 0 {
					wrong = fmt.Sprintf("%q after ]", rest[last+1:])
				}
				return nil, fmt.Errorf("path %q has %s; %s", text, wrong, pathRight)
			}
			step, rest = strings.TrimSpace(rest[1:end[0]]), rest[end[0]+1:]
		} else {
			rest = strings.TrimPrefix(rest, ".")
			end := strings.IndexAny(rest, ".[")
			if end < 0 {
				end = len(rest)
			}
			step, rest = strings.TrimSpace(rest[:end]), rest[end:]
		}
		if step == "" {
			return nil, fmt.Errorf("path %q has an empty step; %s", text, pathRight)
		}
		p = append(p, step)
	}
	if p == nil {
		return nil, fmt.Errorf("an empty path; %s", pathRight)
	}
	return p, nil
}

// String is the path as it would be written, with what is not a plain word in brackets.
func (p path) String() string {
	var b strings.Builder
	for i, step := range p {
		switch {
		case !plainStep.MatchString(step):
			b.WriteString("[" + step + "]")
		case i > 0:
			b.WriteString("." + step)
		default:
			b.WriteString(step)
		}
	}
	return b.String()
}

var plainStep = regexp.MustCompile(`^[A-Za-z_-][A-Za-z0-9_-]*$`)

// set puts a copy of a value at each place that a path means, so that what is then
// set within one shows in no other, and lists the places, each by its own names. A key
// that its mapping lacks is added where the path ends, for the reader to judge; any step
// before must be there.
func (n *node) set(p path, value *node) ([]path, error) {
	last := len(p) == 1
	found := n.at(p[0])
	if len(found) == 0 {
		if last && n.shape == mapping && p[0] != "*" {
			n.keys = append(n.keys, &node{file: value.file, factor: value.factor, shape: scalar, text: p[0], line: value.line, column: value.column})
			n.items = append(n.items, value.clone())
			return []path{p}, nil
		}
		return nil, fmt.Errorf("nothing in the scenario is called %q here; %s", p[0], suggest(p[0], "names", n.names()))
	}
	var places []path
	names := n.names()
	for _, i := range found {
		if last {
			n.items[i] = value.clone()
			places = append(places, path{names[i]})
			continue
		}
		if p[0] == "*" && !n.items[i].leads(p[1:]) {
			continue
		}
		within, err := n.items[i].set(p[1:], value)
		if err != nil {
			return nil, err
		}
		for _, place := range within {
			places = append(places, append(path{names[i]}, place...))
		}
	}
	return places, nil
}

// leads tells whether all steps of a path but the last are there.
func (n *node) leads(p path) bool {
	return len(p) == 1 || slices.ContainsFunc(n.at(p[0]), func(i int) bool { return n.items[i].leads(p[1:]) })
}

// at lists the items that a step of a path means.
func (n *node) at(step string) []int {
	if step == "*" {
		all := make([]int, len(n.items))
		for i := range all {
			all[i] = i
		}
		return all
	}
	if i := slices.Index(n.names(), step); i >= 0 {
		return []int{i}
	}
	if i, err := strconv.Atoi(step); err == nil && n.shape == list && i >= 1 && i <= len(n.items) {
		return []int{i - 1}
	}
	return nil
}

// below is what a mapping holds under a key, or nil.
func (n *node) below(key string) *node {
	if i := slices.Index(n.names(), key); i >= 0 && n.shape == mapping {
		return n.items[i]
	}
	return nil
}

// names are a mapping's keys, or the names of a list's items, in order.
func (n *node) names() []string {
	var names []string
	if n.shape == mapping {
		for _, key := range n.keys {
			names = append(names, key.text)
		}
		return names
	}
	for i, item := range n.items {
		name := strconv.Itoa(i + 1)
		if k := slices.Index(item.names(), "name"); item.shape == mapping && k >= 0 {
			name = item.items[k].text
		}
		names = append(names, name)
	}
	return names
}
