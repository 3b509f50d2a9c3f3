package tables

import (
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"

	"github.com/parquet-go/parquet-go"
)

// rowGroup is how many rows are held in memory before they are written.
const rowGroup = 20_000

type parquetWriter struct {
	w       *parquet.GenericWriter[any]
	columns []Column
	row     parquet.Row
	held    int
}

// NewParquet begins a Parquet table. Columns of text always have a value; those
// of numbers may lack some.
func NewParquet(w io.Writer, columns []Column) (Writer, error) {
	schema, err := schemaOf(columns)
	if err != nil {
		return nil, err
	}
	return &parquetWriter{
		w:       parquet.NewGenericWriter[any](w, schema, parquet.Compression(&parquet.Snappy), parquet.CreatedBy("pipelag", "", "")),
		columns: columns,
	}, nil
}

// schemaOf keeps the columns in their order, as a schema does that is made of a
// struct's fields.
func schemaOf(columns []Column) (*parquet.Schema, error) {
	fields := make([]reflect.StructField, len(columns))
	for i, c := range columns {
		if c.Name == "" || c.Name == "-" || strings.ContainsAny(c.Name, ",`\"") {
			return nil, fmt.Errorf("%q cannot be the name of a Parquet column; write a name without commas and quotes", c.Name)
		}
		field := reflect.StructField{Name: fmt.Sprintf("C%d", i)}
		switch c.Kind {
		case Text:
			field.Type, field.Tag = reflect.TypeFor[string](), reflect.StructTag(fmt.Sprintf(`parquet:"%s,dict"`, c.Name))
		case Number:
			field.Type, field.Tag = reflect.TypeFor[*float64](), reflect.StructTag(fmt.Sprintf(`parquet:"%s,optional"`, c.Name))
		case Integer:
			field.Type, field.Tag = reflect.TypeFor[*int64](), reflect.StructTag(fmt.Sprintf(`parquet:"%s,optional"`, c.Name))
		default:
			return nil, fmt.Errorf("column %q is of no known kind, %q", c.Name, c.Kind)
		}
		fields[i] = field
	}
	return parquet.SchemaOf(reflect.New(reflect.StructOf(fields)).Interface()), nil
}

// Row writes a row; cells that are no numbers where numbers stand are an error.
func (p *parquetWriter) Row(cells []string) error {
	p.row = p.row[:0]
	for i, c := range p.columns {
		v, level := parquet.NullValue(), 0
		switch text := cells[i]; {
		case c.Kind == Text:
			v = parquet.ByteArrayValue([]byte(text))
		case text == "":
		case c.Kind == Integer:
			n, err := strconv.ParseInt(text, 10, 64)
			if err != nil {
				return fmt.Errorf("column %s: %w", c.Name, err)
			}
			v, level = parquet.Int64Value(n), 1
		default:
			x, err := strconv.ParseFloat(text, 64)
			if err != nil {
				return fmt.Errorf("column %s: %w", c.Name, err)
			}
			v, level = parquet.DoubleValue(x), 1
		}
		p.row = append(p.row, v.Level(0, level, i))
	}
	if _, err := p.w.WriteRows([]parquet.Row{p.row}); err != nil {
		return err
	}
	if p.held++; p.held == rowGroup {
		p.held = 0
		return p.w.Flush()
	}
	return nil
}

// Close ends the table.
func (p *parquetWriter) Close() error { return p.w.Close() }
