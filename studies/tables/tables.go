// Package tables writes rows for other programs, as CSV and as Parquet, one at a
// time, so that a table may be larger than memory.
//
// Not modelled: nested values, dates.
package tables

import (
	"encoding/csv"
	"io"
)

// Kind is what a column's cells are, by the name that table schemas use.
type Kind string

// The kinds.
const (
	Text    Kind = "string"
	Number  Kind = "number"
	Integer Kind = "integer"
)

// Column is a column of a table.
type Column struct {
	Name string
	Kind Kind
}

// Writer takes the rows of one table. A cell is text, as CSV has it; an empty one
// in a column of numbers is one that is not known.
type Writer interface {
	Row(cells []string) error
	Close() error // once, after the last row; what it writes to stays open
}

type csvWriter struct{ w *csv.Writer }

// NewCSV begins a CSV table with the columns' names.
func NewCSV(w io.Writer, columns []Column) (Writer, error) {
	c := csvWriter{csv.NewWriter(w)}
	names := make([]string, len(columns))
	for i, column := range columns {
		names[i] = column.Name
	}
	return c, c.Row(names)
}

// Row writes a row.
func (c csvWriter) Row(cells []string) error { return c.w.Write(cells) }

// Close ends the table.
func (c csvWriter) Close() error {
	c.w.Flush()
	return c.w.Error()
}
