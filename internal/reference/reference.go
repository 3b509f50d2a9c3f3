// Package reference reads the values from outside the program that tests check it
// against.
package reference

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// Row is one row of a table of values, by column.
type Row map[string]string

// Rows reads a table; each row must name its source and its status.
func Rows(t testing.TB, path string) []Row {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1, "%s is empty", path)
	var rows []Row
	for _, line := range lines[1:] {
		r := Row{}
		for i, cell := range line {
			r[lines[0][i]] = cell
		}
		require.NotEmpty(t, r["source"])
		require.NotEmpty(t, r["status"])
		rows = append(rows, r)
	}
	return rows
}

// Number is the number in a column.
func (r Row) Number(t testing.TB, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, column)
	return x
}
