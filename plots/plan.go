package plots

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"

	"pipelag/units"
)

// Plan is where the pipes of a layout run. Places are x and y in plan and z up [m].
type Plan struct {
	Layout   string
	Heaters  [][3]float64
	Fixtures []PlanFixture
	Tubes    []PlanTube
	To       int     // fixture whose way is brought out
	Way      []int   // tubes on that way
	Length   float64 // of that way [m]
	Stored   float64 // on that way [m³]
}

// PlanFixture is a tap and where it is.
type PlanFixture struct {
	Name string
	At   [3]float64
}

// PlanTube is a tube and the places from its beginning by its turns to its end.
type PlanTube struct {
	Name   string  // kind and size
	Volume float64 // of water in a length of it [m³/m]
	Return bool    // leads back to the heater
	Route  [][3]float64
}

// NewPlan draws a layout in plan and, below it, in elevation as seen along y.
func NewPlan(s Set, p Plan) (*Figure, error) {
	s.Years = 0 // nothing here is drawn by lot
	if err := p.check(s); err != nil {
		return nil, err
	}
	p = p.shown(s)
	f := &Figure{width: s.Width.length()}
	unit := s.unit(units.Length)
	f.header = []string{"pipe", "tube", column("volume", s.unit(units.Volume)+" per "+unit), "return", "on_way"}
	for _, end := range []string{"from", "to"} {
		for _, axis := range []string{"x", "y", "z"} {
			f.header = append(f.header, column(end+"_"+axis, unit))
		}
	}
	for i, t := range p.Tubes {
		for k := 1; k < len(t.Route); k++ {
			row := []string{fmt.Sprint(i + 1), t.Name, number(holding(s.System, t.Volume)), fmt.Sprint(t.Return), fmt.Sprint(slices.Contains(p.Way, i))}
			for _, at := range t.Route[k-1 : k+1] {
				row = append(row, number(at[0]), number(at[1]), number(at[2]))
			}
			f.rows = append(f.rows, row)
		}
	}
	to := p.Fixtures[p.To].Name
	dashed := ""
	if slices.ContainsFunc(p.Tubes, func(t PlanTube) bool { return t.Return }) {
		dashed = "Dashes are the return line."
	}
	f.caption = s.caption("Plan and elevation of "+p.Layout+".",
		"A tube's colour tells its size, its thickness what a length of it holds; tubes along one line are drawn side by side.", dashed,
		fmt.Sprintf("Brought out is the way to %s: %s of tube holding %s.", to, s.format(p.Length, units.Length), s.format(p.Stored, units.Volume)))

	d := newDrawing(p, s)
	f.height = d.height()
	f.draw = d.draw
	return f, nil
}

// holding is the water in a length of tube [m³/m] in a system's units.
func holding(y units.System, volume float64) float64 {
	return y.Convert(volume, units.Volume) / y.Convert(1, units.Length)
}

// holds writes the water in a length of tube [m³/m] with its unit, and in the other
// system too where the axes have both.
func (s Set) holds(volume float64) string {
	text := func(y units.System) string {
		return fmt.Sprintf("%.3g %s/%s", holding(y, volume), y.Unit(units.Volume), y.Unit(units.Length))
	}
	if s.opposite(units.Volume) != nil {
		return text(s.System) + " (" + text(s.other()) + ")"
	}
	return text(s.System)
}

func (p Plan) check(s Set) error {
	if _, err := s.layout(p.Layout); err != nil {
		return err
	}
	if len(p.Tubes) == 0 || len(p.Fixtures) == 0 || len(p.Heaters) == 0 {
		return ErrNoData
	}
	if p.To < 0 || p.To >= len(p.Fixtures) {
		return fmt.Errorf("the way to fixture %d of %d", p.To, len(p.Fixtures))
	}
	if err := finite("the way of "+p.Layout, p.Length, p.Stored); err != nil {
		return err
	}
	for _, i := range p.Way {
		if i < 0 || i >= len(p.Tubes) {
			return fmt.Errorf("tube %d of %d is on the way", i, len(p.Tubes))
		}
	}
	for _, at := range p.Heaters {
		if err := finite("the place of a heater", at[:]...); err != nil {
			return err
		}
	}
	for _, f := range p.Fixtures {
		if err := finite("the place of "+f.Name, f.At[:]...); err != nil {
			return err
		}
	}
	for i, t := range p.Tubes {
		if len(t.Route) == 0 {
			return fmt.Errorf("tube %d, %s, has no route; a plan needs to know where pipes run", i, t.Name)
		}
		if err := finite("the volume of "+t.Name, t.Volume); err != nil {
			return err
		}
		if t.Volume <= 0 {
			return fmt.Errorf("%s holds %g; it must be above 0", t.Name, t.Volume)
		}
		for _, at := range t.Route {
			if err := finite("the route of "+t.Name, at[:]...); err != nil {
				return err
			}
		}
	}
	return nil
}

// shown is a copy with its places in the set's units.
func (p Plan) shown(s Set) Plan {
	length := func(x float64) float64 { return s.System.Convert(x, units.Length) }
	place := func(at [3]float64) [3]float64 { return [3]float64{length(at[0]), length(at[1]), length(at[2])} }
	p.Heaters, p.Fixtures, p.Tubes, p.Way = slices.Clone(p.Heaters), slices.Clone(p.Fixtures), slices.Clone(p.Tubes), slices.Clone(p.Way)
	for i := range p.Heaters {
		p.Heaters[i] = place(p.Heaters[i])
	}
	for i := range p.Fixtures {
		p.Fixtures[i].At = place(p.Fixtures[i].At)
	}
	for i := range p.Tubes {
		t := &p.Tubes[i]
		t.Route = slices.Clone(t.Route)
		for k := range t.Route {
			t.Route[k] = place(t.Route[k])
		}
	}
	return p
}

// tubeSize is one of the sizes that a plan holds.
type tubeSize struct {
	name   string
	volume float64 // of water in a length of it [m³/m]
	colour color.NRGBA
	width  vg.Length
}

// sizes are the sizes of a plan, the widest first.
func (p Plan) sizes() []tubeSize {
	var all []tubeSize
	most := 0.0
	for _, t := range p.Tubes {
		most = max(most, t.Volume)
		if !slices.ContainsFunc(all, func(s tubeSize) bool { return s.name == t.Name }) {
			all = append(all, tubeSize{name: t.Name, volume: t.Volume})
		}
	}
	slices.SortStableFunc(all, func(a, b tubeSize) int {
		return cmp.Or(cmp.Compare(b.volume, a.volume), cmp.Compare(a.name, b.name))
	})
	for i := range all {
		all[i].colour = ramp(i, len(all))
		all[i].width = thinnest + (thickest-thinnest)*vg.Length(all[i].volume/most)
	}
	return all
}

// Thickness of tubes as printed.
const (
	thinnest = vg.Length(0.5)
	thickest = vg.Length(3.4)
)

// reach is the least and greatest of the places along an axis, and no less than a
// little.
func (p Plan) reach(axis int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	take := func(at [3]float64) { low, high = min(low, at[axis]), max(high, at[axis]) }
	for _, at := range p.Heaters {
		take(at)
	}
	for _, f := range p.Fixtures {
		take(f.At)
	}
	for _, t := range p.Tubes {
		for _, at := range t.Route {
			take(at)
		}
	}
	return low, high
}

// brought is the ground of the way that is brought out: light enough for every
// tube to be seen on it.
var brought = layoutColours[7]
