// Package safety holds what is published on scalding by hot water and on the
// growth of Legionella in it.
//
// Not modelled: how long a person stays in the water, water that cools on the
// way from the spout, counts of bacteria, disinfectants, and what pipes are
// made of. It judges no plumbing: local codes and licensed practice decide.
package safety

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
)

//go:embed burn.csv
var burnCSV []byte

// Burn is how long water takes to burn an adult's skin [s].
type Burn struct {
	Second float64 // to a burn of the second degree
	Third  float64 // of the third, which is a serious one
}

// BurnTableEnds is the temperature beyond which water burns sooner than BurnAt says [°C].
const BurnTableEnds = 60.0

type burnRow struct{ celsius, second, third float64 }

var burns = read(burnCSV)

// BurnAt is the time to a burn at a temperature of the water.
//
//	ln t  straight in temperature between the rows of the table
//
// celsius [°C]. Below 45 °C, where the table begins, +Inf: over three hours, if
// at all. From BurnTableEnds on its last row, 3 and 5 s: hotter water takes less.
// A child's thin skin burns in less time than an adult's. NaN gives NaN.
//
// Source: table after A. R. Moritz and F. C. Henriques, Studies of thermal
// injury II, Am. J. Pathol. 23 (1947), as quoted by later tables (read; the paper
// was not). Other tables differ by up to a factor of two: the US CPSC's leaflet
// has 5 min at 120 °F, 30 s at 130 °F and 6 s at 140 °F (read).
// Example: at 54.4 °C (130 °F) 23 s to the second degree and 42 s to the third.
func BurnAt(celsius float64) Burn {
	switch last := burns[len(burns)-1]; {
	case math.IsNaN(celsius):
		return Burn{celsius, celsius}
	case celsius < burns[0].celsius:
		return Burn{math.Inf(1), math.Inf(1)}
	case celsius >= last.celsius:
		return Burn{last.second, last.third}
	}
	i := 1
	for burns[i].celsius <= celsius {
		i++
	}
	a, b := burns[i-1], burns[i]
	x := (celsius - a.celsius) / (b.celsius - a.celsius)
	between := func(a, b float64) float64 { return a * math.Pow(b/a, x) }
	return Burn{between(a.second, b.second), between(a.third, b.third)}
}

// read parses the embedded table; one that does not parse is a bug.
func read(table []byte) []burnRow {
	rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("burn table: %v", err))
	}
	var all []burnRow
	for _, r := range rows[1:] {
		var v [3]float64
		for i, k := range [...]int{0, 2, 3} {
			if v[i], err = strconv.ParseFloat(r[k], 64); err != nil {
				panic(fmt.Sprintf("burn table: %v", err))
			}
		}
		all = append(all, burnRow{v[0], v[1], v[2]})
	}
	return all
}
