// Package sizing turns fixtures into the flow a pipe must be able to pass, and
// chooses tubes that pass it at the pressure there is.
//
// Demand is the codes' own, from fixture units: a flow that is rarely exceeded
// in a building of many fixtures. Not modelled: flush valves, continuous draws
// (hose bibbs, irrigation), public use, and later estimates of peak demand.
package sizing

import (
	"bytes"
	_ "embed" // the tables are part of the program
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
)

var (
	//go:embed fixture_units.csv
	unitTable []byte
	//go:embed demand.csv
	demandTable []byte
)

const gpm = 3.785411784e-3 / 60 // US gallon per minute [m³/s], exact by definition

// Code is a plumbing code's fixture units and the curve that goes with them.
type Code struct {
	Name  string
	units []weight
	curve []point
}

// weight is the fixture units of a use, and where they stand.
type weight struct {
	use        string
	hot, total float64
	source     string
}

// point is a flow at a sum of fixture units.
type point struct{ units, flow float64 }

// A table that cannot be read is a fault of the program, not of its user.
var codes = sync.OnceValue(func() []Code {
	list, err := readCodes(unitTable, demandTable)
	if err != nil {
		panic("sizing: embedded table: " + err.Error())
	}
	return list
})

// FindCode returns a code by name; the error lists those there are.
func FindCode(name string) (Code, error) {
	var names []string
	for _, c := range codes() {
		if strings.EqualFold(c.Name, name) {
			return c, nil
		}
		names = append(names, c.Name)
	}
	return Code{}, fmt.Errorf("no fixture units of %q; there are those of %s", name, strings.Join(names, ", "))
}

func readCodes(unitText, demandText []byte) ([]Code, error) {
	var list []Code
	code := func(name string) *Code {
		i := slices.IndexFunc(list, func(c Code) bool { return c.Name == name })
		if i < 0 {
			i = len(list)
			list = append(list, Code{Name: name})
		}
		return &list[i]
	}
	units, err := csv.NewReader(bytes.NewReader(unitText)).ReadAll()
	if err != nil {
		return nil, err
	}
	for _, r := range units[1:] {
		hot, err := strconv.ParseFloat(r[3], 64)
		if err != nil {
			return nil, err
		}
		total, err := strconv.ParseFloat(r[4], 64)
		if err != nil {
			return nil, err
		}
		c := code(r[0])
		source := r[5] + ", " + r[6]
		if r[6] == "memory" {
			source = r[5] + ", from memory"
		}
		c.units = append(c.units, weight{r[1], hot, total, source})
	}
	demand, err := csv.NewReader(bytes.NewReader(demandText)).ReadAll()
	if err != nil {
		return nil, err
	}
	for _, r := range demand[1:] {
		x, err := strconv.ParseFloat(r[1], 64)
		if err != nil {
			return nil, err
		}
		y, err := strconv.ParseFloat(r[2], 64)
		if err != nil {
			return nil, err
		}
		c := code(r[0])
		if c.curve == nil {
			c.curve = []point{{}}
		}
		if last := c.curve[len(c.curve)-1]; !(x > last.units && y*gpm > last.flow) {
			return nil, fmt.Errorf("%s demand at %g fixture units does not rise", r[0], x)
		}
		c.curve = append(c.curve, point{x, y * gpm})
	}
	return list, nil
}

// Units are the fixture units of a use: of its hot-water branch, and of hot and
// cold together.
func (c Code) Units(use string) (hot, total float64, err error) {
	var uses []string
	for _, w := range c.units {
		if w.use == use {
			return w.hot, w.total, nil
		}
		uses = append(uses, w.use)
	}
	return 0, 0, fmt.Errorf("no fixture units for %q in %s; there are those for %s", use, c.Name, strings.Join(uses, ", "))
}

// Toilet is the fixture units of a flush-tank toilet, which takes cold water alone,
// and where they stand.
func (c Code) Toilet() (units float64, source string) {
	for _, w := range c.units {
		if w.use == "toilet" {
			return w.total, w.source
		}
	}
	panic("sizing: no fixture units for a toilet in " + c.Name) // a table of the program
}

// Demand is the flow [m³/s] of a sum of fixture units, on the straight line
// between the rows of the code's table; from 0 to the first row it rises from no
// flow at all. Beyond the last row is an error.
//
// Source: IPC table E103.3(3), mostly from memory, and 77 Ill. Adm. Code 890
// table N, read; both for flush tanks. Example: 12 units take 16 gpm by IPC.
func (c Code) Demand(units float64) (float64, error) {
	last := c.curve[len(c.curve)-1]
	if !(units >= 0 && units <= last.units) {
		return 0, fmt.Errorf("%.4g fixture units; the table of %s goes from 0 to %g", units, c.Name, last.units)
	}
	i, exact := slices.BinarySearchFunc(c.curve, units, func(p point, u float64) int {
		switch {
		case p.units < u:
			return -1
		case p.units > u:
			return 1
		}
		return 0
	})
	if exact {
		return c.curve[i].flow, nil
	}
	a, b := c.curve[i-1], c.curve[i]
	return a.flow + (b.flow-a.flow)*(units-a.units)/(b.units-a.units), nil
}
