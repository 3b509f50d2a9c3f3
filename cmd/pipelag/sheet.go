package main

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// pageWidth is what fits a terminal and a printed page [characters].
const pageWidth = 100

// cell is a number and what follows it; the numbers of a column end below one
// another.
type cell struct{ number, after string }

// sheet is a table of text: a label in front of each row, a head over each
// column.
type sheet struct {
	title string
	heads []string
	rows  []sheetRow
}

type sheetRow struct {
	label string
	cells []cell
}

func (s *sheet) add(label string, cells []cell) {
	s.rows = append(s.rows, sheetRow{label, cells})
}

// write adds the sheet to a page; columns that do not fit go below the others,
// with their labels again.
func (s *sheet) write(b *bytes.Buffer) {
	if len(s.rows) == 0 {
		return
	}
	label := 0
	for _, r := range s.rows {
		label = max(label, utf8.RuneCountInString(r.label))
	}
	fmt.Fprintf(b, "\n%s\n", s.title)
	for first := 0; first < len(s.heads); {
		if first > 0 {
			b.WriteByte('\n')
		}
		end, width := first, label
		for end < len(s.heads) && (end == first || width+gap+s.width(end) <= pageWidth) {
			width += gap + s.width(end)
			end++
		}
		s.writeColumns(b, label, first, end)
		first = end
	}
}

// gap is the space between two columns.
const gap = 2

func (s *sheet) writeColumns(b *bytes.Buffer, label, first, end int) {
	line := strings.Repeat(" ", label)
	for k := first; k < end; k++ {
		number, _ := s.widths(k)
		// The head ends where the numbers end, unless it is too wide for that.
		reach := max(number, utf8.RuneCountInString(s.heads[k]))
		line += strings.Repeat(" ", gap) + right(s.heads[k], reach) + strings.Repeat(" ", s.width(k)-reach)
	}
	writeLine(b, line)
	for _, r := range s.rows {
		line := left(r.label, label)
		for k := first; k < end; k++ {
			number, after := s.widths(k)
			body := right(r.cells[k].number, number) + left(r.cells[k].after, after)
			line += strings.Repeat(" ", gap) + right(body, s.width(k))
		}
		writeLine(b, line)
	}
}

func writeLine(b *bytes.Buffer, line string) {
	b.WriteString(strings.TrimRight(line, " "))
	b.WriteByte('\n')
}

// widths are those of a column's numbers and of what follows them.
func (s *sheet) widths(column int) (number, after int) {
	for _, r := range s.rows {
		number = max(number, utf8.RuneCountInString(r.cells[column].number))
		after = max(after, utf8.RuneCountInString(r.cells[column].after))
	}
	return number, after
}

func (s *sheet) width(column int) int {
	number, after := s.widths(column)
	return max(number+after, utf8.RuneCountInString(s.heads[column]))
}

func left(text string, width int) string {
	return text + strings.Repeat(" ", max(width-utf8.RuneCountInString(text), 0))
}

func right(text string, width int) string {
	return strings.Repeat(" ", max(width-utf8.RuneCountInString(text), 0)) + text
}

// writeNote adds a paragraph to a page: a mark in front, the lines below it
// indented.
func writeNote(b *bytes.Buffer, mark, text string) {
	indent := utf8.RuneCountInString(mark)
	line, empty := mark, true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > pageWidth {
			writeLine(b, line)
			line, empty = strings.Repeat(" ", indent), true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	writeLine(b, line)
}

// capital is a text, not empty, that begins with a capital.
func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}
