package tables

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/parquet-go/parquet-go"
	"pgregory.net/rapid"
)

var columns = []Column{
	{"layout", Text},
	{"case", Integer},
	{"purged_L", Number},
	{"a factor", Number},
}

// written is a table of rows in one format.
func written(t interface{ Fatal(...any) }, begin func(io.Writer, []Column) (Writer, error), rows [][]string) []byte {
	var b bytes.Buffer
	w, err := begin(&b, columns)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		if err := w.Row(row); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// readParquet reads a table back as its columns' names and its cells.
func readParquet(t interface{ Fatal(...any) }, text []byte) ([]string, [][]string) {
	f, err := parquet.OpenFile(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, c := range f.Root().Columns() {
		names = append(names, c.Name())
	}
	var rows [][]string
	for _, group := range f.RowGroups() {
		reader := group.Rows()
		buffer := make([]parquet.Row, 7)
		for {
			n, err := reader.ReadRows(buffer)
			for _, r := range buffer[:n] {
				row := make([]string, len(names))
				for _, v := range r {
					switch {
					case v.IsNull():
					case v.Kind() == parquet.Double:
						row[v.Column()] = strconv.FormatFloat(v.Double(), 'g', -1, 64)
					case v.Kind() == parquet.Int64:
						row[v.Column()] = strconv.FormatInt(v.Int64(), 10)
					default:
						row[v.Column()] = string(v.ByteArray())
					}
				}
				rows = append(rows, row)
			}
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		if err := reader.Close(); err != nil {
			t.Fatal(err)
		}
	}
	return names, rows
}

// TestReadBack: both formats give the columns in their order and every cell
// again, unknown ones too.
func TestReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) []string {
			number := rapid.SampledFrom([]string{"", "0", "-1.5", "1e-300", strconv.FormatFloat(math.Pi, 'g', -1, 64)})
			return []string{rapid.StringMatching(`[a-z, "é]{0,9}`).Draw(t, "text"), strconv.Itoa(rapid.Int().Draw(t, "n")), number.Draw(t, "x"), number.Draw(t, "y")}
		}), 0, 30).Draw(t, "rows")
		names := []string{"layout", "case", "purged_L", "a factor"}

		got, cells := readParquet(t, written(t, NewParquet, rows))
		if !slices.Equal(got, names) || !slices.EqualFunc(cells, rows, slices.Equal) {
			t.Fatalf("Parquet: %q %q", got, cells)
		}
		all, err := csv.NewReader(bytes.NewReader(written(t, NewCSV, rows))).ReadAll()
		if err != nil || !slices.Equal(all[0], names) || !slices.EqualFunc(all[1:], rows, slices.Equal) {
			t.Fatalf("CSV: %q %v", all, err)
		}
	})
}

// TestRowGroups: a table longer than is held in memory is read back whole, and
// is the same bytes twice.
func TestRowGroups(t *testing.T) {
	rows := make([][]string, 2*rowGroup+5)
	for i := range rows {
		rows[i] = []string{"wide", strconv.Itoa(i), strconv.Itoa(i % 7), ""}
	}
	text := written(t, NewParquet, rows)
	if _, cells := readParquet(t, text); !slices.EqualFunc(cells, rows, slices.Equal) {
		t.Errorf("%d rows of %d", len(cells), len(rows))
	}
	if !bytes.Equal(text, written(t, NewParquet, rows)) {
		t.Error("not the same bytes twice")
	}
}

func TestRefuses(t *testing.T) {
	for _, bad := range []Column{{Name: "a,b", Kind: "string"}, {Name: "", Kind: "number"}, {Name: "-", Kind: "string"}, {Name: "a", Kind: "date"}} {
		if _, err := NewParquet(io.Discard, []Column{bad}); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
	w, err := NewParquet(io.Discard, columns)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range [][]string{{"", "1.5", "", ""}, {"", "", "x", ""}} {
		if err := w.Row(row); err == nil {
			t.Errorf("%q is taken", row)
		}
	}
}

func BenchmarkParquetRow(b *testing.B) {
	b.ReportAllocs()
	w, err := NewParquet(io.Discard, columns)
	if err != nil {
		b.Fatal(err)
	}
	for range b.N {
		if err := w.Row([]string{"wide", "12", "3.25", ""}); err != nil {
			b.Fatal(err)
		}
	}
}
