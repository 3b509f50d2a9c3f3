package verify

import (
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
)

//go:embed published/*.csv
var published embed.FS

// record is one row of a published table, by column.
type record map[string]string

// records reads a table; one that does not parse is a bug.
func records(name string) []record {
	file, err := published.Open("published/" + name)
	if err != nil {
		panic(fmt.Sprintf("verify: %v", err))
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("verify: %s: %v", name, err))
	}
	var list []record
	for _, row := range rows[1:] {
		r := record{}
		for i, cell := range row {
			r[rows[0][i]] = cell
		}
		list = append(list, r)
	}
	return list
}

func (r record) number(column string) float64 {
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		panic(fmt.Sprintf("verify: column %s: %v", column, err))
	}
	return v
}

// tolerance is empty where the table is shown and not judged.
func (r record) tolerance() float64 {
	if r["tolerance"] == "" {
		return noTolerance
	}
	return r.number("tolerance")
}

func (r record) source() Source { return Source{r["source"], r["status"], r["note"]} }
