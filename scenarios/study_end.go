package scenarios

import (
	"errors"
	"fmt"
	"strings"
)

// AtEnd puts what is wrong with a case that has a factor at the end x of its range
// where the study says that end. An error that is no Errors says behind a semicolon what
// would be right, if it does.
func (s *Study) AtEnd(factor int, x float64, wrong error) Errors {
	f := &s.Factors[factor]
	at := f.place(x)
	var mistakes Errors
	if !errors.As(wrong, &mistakes) {
		what, right, advised := strings.Cut(wrong.Error(), "; ")
		if !advised {
			right = "let the range end where one can"
		}
		mistakes = Errors{{What: what, Right: right}}
	}
	var all Errors
	for _, m := range mistakes {
		what, itsOwn := strings.CutPrefix(m.What, ofFactor(f.Name))
		if !itsOwn && m.File != "" {
			what = fmt.Sprintf("%s:%d:%d: %s", m.File, m.Line, m.Column, m.What)
		}
		all = append(all, Mistake{
			File: s.file, Line: at.line, Column: at.column,
			What:  fmt.Sprintf("%swith %s no house can be made: %s", ofFactor(f.Name), f.Text(Setting{Number: x}), what),
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
