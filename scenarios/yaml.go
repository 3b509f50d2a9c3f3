package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

const (
	// maxFile is the largest scenario or study read [bytes]; a house of a hundred
	// fixtures and layouts takes a tenth of it.
	maxFile = 256 << 10
	// maxDepth is how deep lists and mappings may stand in one another; the
	// format needs seven.
	maxDepth = 16
)

// node is a place in the file: a mapping of keys to items, a list of items, or
// text.
type node struct {
	file, factor string // the study's and the name of its factor, where it is a value of one
	shape        shape
	text         string
	line, column int
	keys, items  []*node
}

type shape uint8

const (
	empty shape = iota
	scalar
	list
	mapping
)

// String names the shape as mistakes do.
func (s shape) String() string {
	return [...]string{"nothing", "a single value", "a list", "a mapping of keys"}[s]
}

// tree reads the text of one YAML document. It gives nil after a mistake that
// leaves nothing to go on with.
func (r *reader) tree(data []byte) *node {
	if len(data) > maxFile {
		r.fault(&node{line: 1, column: 1}, fmt.Sprintf("the file is larger than %d kB", maxFile>>10),
			"a scenario or a study is far smaller; is this the right file?")
		return nil
	}
	if at, what := unreadable(data); at != nil {
		r.fault(at, what, "save the file as plain UTF-8 text")
		return nil
	}
	var documents []yaml.Node
	if err := yaml.Load(data, &documents, yaml.WithAllDocuments()); err != nil {
		r.syntax(data, err)
		return nil
	}
	if len(documents) > 1 {
		second := documents[1]
		r.fault(&node{line: second.Line, column: second.Column}, "a second document begins here",
			"a file holds one document: remove the --- or make two files")
		return nil
	}
	var root *node
	if len(documents) == 1 && len(documents[0].Content) == 1 {
		root = r.convert(documents[0].Content[0], 0)
	}
	if root == nil || root.shape == empty {
		r.fault(&node{line: 1, column: 1}, "the file is empty", "begin with "+r.begin)
		return nil
	}
	return root
}

// convert copies a YAML node, refusing what a scenario does not use.
func (r *reader) convert(from *yaml.Node, depth int) *node {
	n := &node{text: from.Value, line: max(from.Line, 1), column: max(from.Column, 1)}
	switch {
	case depth > maxDepth:
		r.fault(n, fmt.Sprintf("more than %d levels of nesting", maxDepth), "write it flatter")
		return n
	case from.Anchor != "":
		r.fault(n, fmt.Sprintf("an anchor &%s", from.Anchor), "write the value out; a layout takes over another's with like:")
	case from.Kind == yaml.AliasNode:
		r.fault(n, fmt.Sprintf("an alias *%s", from.Value), "write the value out; a layout takes over another's with like:")
		return n
	case from.Style&yaml.TaggedStyle != 0:
		r.fault(n, fmt.Sprintf("a tag %s", from.Tag), "write the value alone")
	}
	switch from.Kind {
	case yaml.MappingNode:
		n.shape = mapping
	case yaml.SequenceNode:
		n.shape = list
	default:
		n.shape = scalar
		if from.Tag == "!!null" {
			n.shape = empty
		}
	}
	for i, child := range from.Content {
		c := r.convert(child, depth+1)
		if n.shape == mapping && i%2 == 0 {
			n.keys = append(n.keys, c)
			continue
		}
		n.items = append(n.items, c)
	}
	return n
}

// syntax notes where the YAML itself cannot be read.
func (r *reader) syntax(data []byte, err error) {
	at := &node{line: 1, column: 1}
	what := err.Error()
	var one *yaml.LoadError
	if errors.As(err, &one) {
		at.line, at.column, what = max(one.Mark.Line, 1), max(one.Mark.Column, 1), one.Message
	}
	lines := bytes.Split(data, []byte("\n"))
	if at.line <= len(lines) {
		line := lines[at.line-1]
		indent := line[:len(line)-len(bytes.TrimLeft(line, " \t"))]
		if tab := bytes.IndexByte(indent, '\t'); tab >= 0 {
			at.column = tab + 1
			r.fault(at, "a tab in the indentation", "indent with spaces")
			return
		}
	}
	r.fault(at, "not YAML: "+strings.TrimPrefix(what, "yaml: "),
		"check the indentation, the colons and the brackets up to here")
}

// unreadable finds the first byte that is not text.
func unreadable(data []byte) (*node, string) {
	at := &node{line: 1, column: 1}
	for i := 0; i < len(data); {
		c, size := utf8.DecodeRune(data[i:])
		switch {
		case c == utf8.RuneError && size == 1:
			return at, "a byte that is not UTF-8"
		case c < ' ' && c != '\t' && c != '\n' && c != '\r', c >= 0x7f && c < 0xa0 && c != 0x85, c == 0xfffe, c == 0xffff:
			return at, fmt.Sprintf("a control character %U", c)
		case c == '\n':
			at.line++
			at.column = 0
		}
		at.column++
		i += size
	}
	return nil, ""
}
