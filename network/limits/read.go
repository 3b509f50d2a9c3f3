package limits

import (
	"bytes"
	_ "embed" // the table is part of the program
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"sync"

	"pipelag/network/tubes"
	"pipelag/units"
)

//go:embed limits.csv
var limitTable []byte

// A table that cannot be read is a fault of the program, not of its user.
var standard = sync.OnceValue(func() Book {
	b, err := Read(bytes.NewReader(limitTable))
	if err != nil {
		panic("limits: embedded table: " + err.Error())
	}
	return b
})

// Standard is the book that comes with the program.
func Standard() Book { return slices.Clone(standard()) }

var heading = []string{"quantity", "material", "use", "size", "above", "value", "flow", "code", "clause", "source", "status", "note"}

// Read reads limits from a table of comma-separated values with the columns
//
//	quantity,material,use,size,above,value,flow,code,clause,source,status,note
//
// whose values carry units (50 ft, 0.5 gal, 5 ft/s, 20 psi). All that is wrong is
// reported at once, by line.
func Read(r io.Reader) (Book, error) {
	table := csv.NewReader(r)
	table.FieldsPerRecord = -1
	var book Book
	var wrong []error
	for first := true; ; first = false {
		row, err := table.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			err = fmt.Errorf("line %d: %w", broken.Line, broken.Err)
		}
		if err != nil {
			return nil, errors.Join(append(wrong, fmt.Errorf("limits: %w", err))...)
		}
		line, _ := table.FieldPos(0)
		if first {
			row[0] = strings.TrimPrefix(row[0], "\ufeff") // spreadsheets write a mark there
			if !slices.Equal(row, heading) {
				return nil, fmt.Errorf("limits: line %d: the columns are %s; they must be %s", line, strings.Join(row, ","), strings.Join(heading, ","))
			}
			continue
		}
		l, err := parse(row)
		if err != nil {
			wrong = append(wrong, fmt.Errorf("limits: line %d: %w", line, err))
		}
		book = append(book, l)
	}
	if len(book) == 0 && len(wrong) == 0 {
		return nil, errors.New("limits: the table has no rows; give the columns' names and a limit on each line")
	}
	return book, errors.Join(wrong...)
}

func parse(row []string) (Limit, error) {
	if len(row) != len(heading) {
		return Limit{}, fmt.Errorf("%d cells; give %d, one for each column, if empty", len(row), len(heading))
	}
	q := slices.IndexFunc(about[:], func(a struct {
		name      string
		dimension units.Dimension
	},
	) bool {
		return a.name == row[0]
	})
	if q < 0 {
		var names []string
		for _, a := range about {
			names = append(names, a.name)
		}
		return Limit{}, fmt.Errorf("unknown quantity %q; write one of %s", row[0], strings.Join(names, ", "))
	}
	l := Limit{
		Quantity: Quantity(q), Material: row[1], Use: row[2], Size: row[3],
		Code: row[7], Clause: row[8], Source: row[9], Status: row[10], Note: row[11],
	}
	var err error
	if l.Value, err = units.Parse(row[5], l.Quantity.Dimension()); err != nil {
		return l, err
	}
	if row[4] != "" {
		if l.Above, err = units.Parse(row[4], units.Temperature); err != nil {
			return l, err
		}
	}
	if row[6] != "" {
		if l.Flow, err = units.Parse(row[6], units.Flow); err != nil {
			return l, err
		}
	}
	switch {
	case row[4] != "" && !(l.Above > 0 && l.Above < 100):
		return l, fmt.Errorf("a limit above %q; hot water lies between 0 C and 100 C (32 F and 212 F)", row[4])
	case row[6] != "" && !(l.Flow > 0 && l.Flow <= mostFlow):
		return l, fmt.Errorf("a limit at %q; a fixture takes above 0 and up to 60 L/min (15.9 gpm)", row[6])
	case !(l.Value > 0) || math.IsInf(l.Value, 1):
		return l, fmt.Errorf("a limit of %q; it lies above 0", row[5])
	case l.Code == "" || l.Clause == "" || l.Status == "":
		return l, errors.New("a limit without code, clause or status; name where it stands and whether that was read")
	case !slices.Contains(statuses, l.Status):
		return l, fmt.Errorf("unknown status %q; write one of %s", l.Status, strings.Join(statuses, ", "))
	case l.Quantity == LengthBySize && l.Size == "":
		return l, errors.New("a length by size without a size; name the nominal size")
	}
	return l, l.fits(row)
}

// mostFlow is the most that a fixture takes in a scenario [m³/s].
const mostFlow = 60e-3 / 60

// statuses are what may stand behind a figure.
var statuses = []string{"read", "derived", "computed", "memory", "user"}

// fits refuses what would match nothing, in the columns that say what a limit is on.
func (l Limit) fits(row []string) error {
	var uses, materials []string
	switch l.Quantity {
	case Velocity:
		materials = materialNames()
	case Thickness:
	case Resistance:
		uses = []string{Unconditioned, Buried, ToManifold, InLoop}
	default:
		uses = []string{"bath", "bidet", "clothes washer", "dishwasher", "kitchen", "laundry sink", "lavatory", "shower"}
	}
	sized := l.Quantity == LengthBySize || l.Quantity == Resistance
	for _, of := range []struct {
		column string
		asked  bool // of this quantity
		known  []string
	}{
		{"material", materials != nil, materials},
		{"use", uses != nil, uses},
		{"size", sized, nil},
		{"above", l.Quantity == Velocity, nil},
		{"flow", l.Quantity == Pressure, nil},
	} {
		text := row[slices.Index(heading, of.column)]
		switch {
		case text == "":
		case !of.asked:
			return fmt.Errorf("%s of %q for %s, which does not go by it; leave it empty", of.column, text, l.Quantity)
		case of.known != nil && !slices.Contains(of.known, text):
			return fmt.Errorf("unknown %s %q; write one of %s, or nothing for any", of.column, text, strings.Join(of.known, ", "))
		}
	}
	if _, known := Nominal(l.Size); sized && l.Size != "" && !known {
		return fmt.Errorf("no nominal size %q; write inches without the unit, such as 3/4 or 1-1/4", l.Size)
	}
	return nil
}

// materialNames are those that tubes are made of.
func materialNames() []string {
	var names []string
	for _, t := range tubes.All() {
		if !slices.Contains(names, t.Material.Name) {
			names = append(names, t.Material.Name)
		}
	}
	return names
}
