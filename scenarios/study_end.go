package scenarios

import (
	"fmt"
	"strings"
)

// AtEnd puts what is wrong with a case that has a factor at the end x of its range
// where the study says that end.
func (s *Study) AtEnd(factor int, x float64, wrong Errors) Errors {
	f := &s.Factors[factor]
	at := f.place(x)
	var all Errors
	for _, m := range wrong {
		what, ofFactor := strings.CutPrefix(m.What, fmt.Sprintf("factor %q: ", f.Name))
		if !ofFactor {
			what = fmt.Sprintf("%s:%d:%d: %s", m.File, m.Line, m.Column, m.What)
		}
		all = append(all, Mistake{
			File: s.file, Line: at.line, Column: at.column,
			What:  fmt.Sprintf("factor %q: with %s no house can be made: %s", f.Name, f.Text(Setting{Number: x}), what),
			Right: m.Right,
		})
	}
	return all
}

// place is where the study says a number of a factor: one of its ends, or else the
// factor.
func (f *Factor) place(x float64) *node {
	switch {
	case f.Range == nil:
	case x == f.Range.From:
		return f.Range.fromAt
	case x == f.Range.To:
		return f.Range.toAt
	}
	return f.at
}
