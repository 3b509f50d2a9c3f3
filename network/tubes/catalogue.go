package tubes

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
	//go:embed tubes.csv
	tubeTable []byte
	//go:embed walls.csv
	wallTable []byte
	//go:embed sleeves.csv
	sleeveTable []byte
)

// catalogue is what the embedded tables hold, read once.
type catalogue struct {
	tubes   []Tube
	sleeves []Material
}

// A table that cannot be read is a fault of the program, not of its user.
var known = sync.OnceValue(func() catalogue {
	c, err := readCatalogue(tubeTable, wallTable, sleeveTable)
	if err != nil {
		panic("tubes: embedded table: " + err.Error())
	}
	return c
})

// All lists every tube, in table order: kind by kind, small to large.
func All() []Tube { return slices.Clone(known().tubes) }

// kinds lists the kinds of tube, in table order.
func kinds() []string {
	var all []string
	for _, t := range known().tubes {
		if !slices.Contains(all, t.Kind) {
			all = append(all, t.Kind)
		}
	}
	return all
}

// Sizes lists the sizes of a kind, in table order; none for an unknown kind.
func Sizes(kind string) []string {
	var sizes []string
	kind = spoken(kind)
	for _, t := range known().tubes {
		if strings.ToLower(t.Kind) == kind {
			sizes = append(sizes, t.Size)
		}
	}
	return sizes
}

// Sleeves lists the insulating materials, in table order.
func Sleeves() []Material { return slices.Clone(known().sleeves) }

func readCatalogue(tubeText, wallText, sleeveText []byte) (catalogue, error) {
	walls, err := readMaterials(wallText)
	if err != nil {
		return catalogue{}, fmt.Errorf("walls: %w", err)
	}
	sleeves, err := readMaterials(sleeveText)
	if err != nil {
		return catalogue{}, fmt.Errorf("sleeves: %w", err)
	}
	found, err := readTubes(tubeText, walls)
	if err != nil {
		return catalogue{}, fmt.Errorf("tubes: %w", err)
	}
	return catalogue{tubes: found, sleeves: sleeves}, nil
}

// readRows checks the heading of a table and returns the rows under it, each
// with the number of cells the heading has.
func readRows(text []byte, heading ...string) ([][]string, error) {
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	if len(rows) < 2 || !slices.Equal(rows[0], heading) {
		return nil, fmt.Errorf("a table needs the heading %q and a row", heading)
	}
	return rows[1:], nil
}

func readMaterials(text []byte) ([]Material, error) {
	rows, err := readRows(text, "name", "conductivity", "density", "specific_heat", "emissivity", "roughness", "metal", "source", "status", "note")
	if err != nil {
		return nil, err
	}
	materials := make([]Material, 0, len(rows))
	for _, r := range rows {
		m := Material{Name: r[0], Metal: r[6] == "yes", Source: r[7], Status: r[8]}
		for i, to := range []*float64{&m.Conductivity, &m.Density, &m.SpecificHeat, &m.Emissivity, &m.Roughness} {
			if *to, err = strconv.ParseFloat(r[1+i], 64); err != nil {
				return nil, fmt.Errorf("material %q: %w", m.Name, err)
			}
		}
		if err := m.check(); err != nil {
			return nil, err
		}
		materials = append(materials, m)
	}
	return materials, nil
}

func readTubes(text []byte, walls []Material) ([]Tube, error) {
	rows, err := readRows(text, "kind", "size", "outside", "wall", "unit", "material", "standard", "source", "status", "note")
	if err != nil {
		return nil, err
	}
	list := make([]Tube, 0, len(rows))
	for _, r := range rows {
		name := r[0] + " " + r[1]
		outside, err := strconv.ParseFloat(r[2], 64)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		wall, err := strconv.ParseFloat(r[3], 64)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		// Written so that NaN is refused too.
		if !(wall > 0 && 2*wall < outside && outside < 1000) {
			return nil, fmt.Errorf("%s: a wall of %g in an outside diameter of %g", name, wall, outside)
		}
		var metre float64
		switch r[4] {
		case "in":
			metre = 0.0254
		case "mm":
			metre = 0.001
		default:
			return nil, fmt.Errorf("%s: unit %q is neither in nor mm", name, r[4])
		}
		i := slices.IndexFunc(walls, func(m Material) bool { return m.Name == r[5] })
		if i < 0 {
			return nil, fmt.Errorf("%s: unknown material %q", name, r[5])
		}
		list = append(list, Tube{
			Kind: r[0], Size: r[1],
			Outside: outside * metre, Inside: (outside - 2*wall) * metre,
			Material: walls[i], Standard: r[6], Source: r[7], Status: r[8],
		})
	}
	return list, nil
}
