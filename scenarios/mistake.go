package scenarios

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"pipelag/internal/spelling"
)

// Mistake is one thing wrong in a file and what would be right in its place.
type Mistake struct {
	File         string
	Line, Column int // from 1
	What, Right  string
}

// String is the mistake on one line: where, what is wrong; what would be right.
func (m Mistake) String() string {
	return fmt.Sprintf("%s:%d:%d: %s; %s", m.File, m.Line, m.Column, m.What, m.Right)
}

// Errors is all that is wrong in a file, in the file's order.
type Errors []Mistake

// Error has one line for each mistake.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, m := range e {
		lines[i] = m.String()
	}
	return strings.Join(lines, "\n")
}

// reader walks a file and gathers what is wrong with it.
type reader struct {
	file     string
	begin    string // what a file begins with, for one that is empty
	mistakes Errors
	noted    map[Mistake]bool
	faults   int // mistakes met, those noted already among them
}

func newReader(file, begin string) *reader {
	return &reader{file: file, begin: begin, noted: map[Mistake]bool{}}
}

// fault notes a mistake at a node. One that several layouts share is noted
// once.
func (r *reader) fault(at *node, what, right string) {
	if at.factor != "" {
		what = ofFactor(at.factor) + what
	}
	r.note(Mistake{File: cmp.Or(at.file, r.file), Line: at.line, Column: at.column, What: what, Right: right})
}

// elsewhere notes a mistake in another file, at a place there, that its reader tells in a
// text, with what would be right or without.
func (r *reader) elsewhere(place Mistake, text, otherwise string) {
	var advised bool
	if place.What, place.Right, advised = strings.Cut(text, "; "); !advised {
		place.Right = otherwise
	}
	r.note(place)
}

func (r *reader) note(m Mistake) {
	r.faults++
	if !r.noted[m] {
		r.noted[m] = true
		r.mistakes = append(r.mistakes, m)
	}
}

// advise notes an error from another package, which may be of several lines and
// may say what would be right.
func (r *reader) advise(at *node, err error, otherwise string) {
	what, right, advised := strings.Cut(strings.ReplaceAll(err.Error(), "\n", ", "), "; ")
	if !advised {
		right = otherwise
	}
	r.fault(at, what, right)
}

// err is every mistake in the file's order, or nil.
func (r *reader) err() error {
	if len(r.mistakes) == 0 {
		return nil
	}
	slices.SortStableFunc(r.mistakes, func(a, b Mistake) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return r.mistakes
}

// nearest is the name most like the one asked for, if any is like it at all.
func nearest(asked string, names []string) (string, bool) {
	const longest = 100 // letters that are worth the comparison
	letters := utf8.RuneCountInString(asked)
	best, least := "", 1+letters/3
	for _, name := range names {
		if apart := utf8.RuneCountInString(name) - letters; letters > longest || max(apart, -apart) > least {
			continue
		}
		if n := spelling.Edits(strings.ToLower(asked), strings.ToLower(name)); n <= least {
			best, least = name, n-1
		}
	}
	return best, best != ""
}

// suggest says which of the names a wrong one may have meant. Where one holds a comma all
// are in quotes, to be told apart.
func suggest(asked, what string, names []string) string {
	shown := slices.Clone(names)
	if slices.ContainsFunc(names, func(name string) bool { return strings.Contains(name, ",") }) {
		for i := range shown {
			shown[i] = strconv.Quote(shown[i])
		}
	}
	known := "known " + what + ": " + strings.Join(shown, ", ")
	if len(names) == 0 {
		known = "there are no " + what
	}
	if name, ok := nearest(asked, names); ok {
		return fmt.Sprintf("write %q (%s)", name, known)
	}
	return known
}
