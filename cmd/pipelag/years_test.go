package main

import (
	"encoding/csv"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// recomputed FOLDER: the means of a run's annual numbers and differences and their
// 95 % intervals follow from its years, three of each layout.
func recomputed(ts *testscript.TestScript, _ bool, args []string) {
	table := func(name string) []map[string]string {
		all, err := csv.NewReader(strings.NewReader(ts.ReadFile(filepath.Join(args[0], name)))).ReadAll()
		ts.Check(err)
		var rows []map[string]string
		for _, cells := range all[1:] {
			row := make(map[string]string)
			for i, name := range all[0] {
				row[name] = cells[i]
			}
			rows = append(rows, row)
		}
		return rows
	}
	value := func(row map[string]string, key string) float64 {
		x, err := strconv.ParseFloat(row[key], 64)
		ts.Check(err)
		return x
	}
	years := make(map[string][3]map[string]string)
	for _, row := range table("years.csv") {
		of := years[row["layout"]]
		of[int(value(row, "year"))-1] = row
		years[row["layout"]] = of
	}
	// hold holds an estimate against the numbers of three years.
	hold := func(row map[string]string, key string, x [3]float64) {
		mean := (x[0] + x[1] + x[2]) / 3
		squares, size := 0.0, 0.0
		for _, x := range x {
			squares += (x - mean) * (x - mean)
			size = max(size, math.Abs(x))
		}
		// Student's t has for two degrees of freedom the exact distribution
		// 1/2 + t/(2 √(2 + t²)), which is 0.975 where t² = 2·0.95²/(1 − 0.95²).
		half := math.Sqrt(2*0.95*0.95/(1-0.95*0.95)) * math.Sqrt(squares/2/3)
		for end, want := range map[string]float64{"": mean, "_low": mean - half, "_high": mean + half} {
			if got := value(row, key+end); !(math.Abs(got-want) <= 1e-9*max(size, 1)) {
				ts.Fatalf("%s%s of %s is %v, by its years %v", key, end, row["layout"], got, want)
			}
		}
	}
	annual, differences := table("annual.csv"), table("differences.csv")
	if len(annual) != len(years) || len(differences) != len(years)-1 {
		ts.Fatalf("%d layouts have years, %d have a mean, %d a difference", len(years), len(annual), len(differences))
	}
	numbers := func(layout, key string) (x [3]float64) {
		for k, row := range years[layout] {
			x[k] = value(row, key)
		}
		return x
	}
	for _, s := range quantitiesShown {
		key := s.quantity.Key()
		for _, row := range annual {
			hold(row, key, numbers(row["layout"], key))
		}
		for _, row := range differences {
			x, against := numbers(row["layout"], key), numbers(row["against"], key)
			for k := range x {
				x[k] -= against[k]
			}
			hold(row, key, x)
		}
	}
}
