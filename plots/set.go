package plots

import (
	"errors"
	"fmt"
	"image/color"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"

	"pipelag/sim"
	"pipelag/units"
)

// Width is how much of a page's width a figure takes.
type Width uint8

// The widths.
const (
	OneColumn  Width = iota // 88 mm
	TwoColumns              // 180 mm
)

// ParseWidth reads one or two, as in columns.
func ParseWidth(text string) (Width, error) {
	switch text {
	case "one":
		return OneColumn, nil
	case "two":
		return TwoColumns, nil
	}
	return 0, fmt.Errorf("unknown width %q; one and two columns are known", text)
}

func (w Width) length() vg.Length {
	if w == OneColumn {
		return 88 * vg.Millimeter
	}
	return 180 * vg.Millimeter
}

// Set is what the figures of one article share. A layout has the colour of its
// place in Layouts in every figure of the set, whichever others are shown.
type Set struct {
	System   units.System
	Opposite bool // axes of the other system too, on the opposite sides
	Width    Width
	Layouts  []string
	Currency string

	// Where the data come from, for the captions.
	Scenario, Version string
	Of                string // how many cases or homes of it are shown; empty for the one house
	Seed              uint64
	Years             int // 0 if nothing random was drawn
}

// NewSet is the set of a result and of whatever else belongs to its house.
func NewSet(r *sim.Result, system units.System, width Width) Set {
	s := Set{
		System: system, Width: width, Currency: r.Currency,
		Scenario: r.Scenario.Name, Version: r.Version, Seed: r.Seed, Years: r.Years,
	}
	for i := range r.Layouts {
		s.Layouts = append(s.Layouts, r.Layouts[i].Name)
	}
	return s
}

// entry is one thing shown, by the name and colour it goes by.
type entry struct {
	name   string
	colour color.NRGBA
	place  int // in the order of colours
}

// layout is the entry of a layout, which must be of the set.
func (s Set) layout(name string) (entry, error) {
	i := slices.Index(s.Layouts, name)
	if i < 0 {
		return entry{}, fmt.Errorf("layout %q is not of this set; %s", name, known("layouts", s.Layouts))
	}
	return entry{name, layoutColours[i%len(layoutColours)], i}, nil
}

// layouts are the entries of all layouts of a result.
func (s Set) layouts(r *sim.Result) ([]entry, error) {
	if len(r.Layouts) == 0 {
		return nil, errors.New("the result holds no layout")
	}
	all := make([]entry, len(r.Layouts))
	for i := range r.Layouts {
		e, err := s.layout(r.Layouts[i].Name)
		if err != nil {
			return nil, err
		}
		all[i] = e
	}
	return all, nil
}

// ramped are entries that have an order instead of a layout's colour.
func ramped(names []string) []entry {
	all := make([]entry, len(names))
	for i, name := range names {
		all[i] = entry{name, ramp(i, len(names)), 0}
	}
	return all
}

// caption says what is shown, how to read it, and where it comes from.
func (s Set) caption(what ...string) string {
	var b strings.Builder
	if s.Scenario != "" {
		b.WriteString(s.Scenario)
		if s.Of != "" {
			b.WriteString(", " + s.Of)
		}
		b.WriteString(". ")
	}
	for _, w := range what {
		if w != "" {
			b.WriteString(w + " ")
		}
	}
	switch {
	case s.Years == 1:
		fmt.Fprintf(&b, "One simulated year, seed %d, pipelag %s.", s.Seed, s.Version)
	case s.Years > 1:
		fmt.Fprintf(&b, "%d simulated years, seed %d, pipelag %s.", s.Years, s.Seed, s.Version)
	default:
		fmt.Fprintf(&b, "pipelag %s.", s.Version)
	}
	return b.String()
}

// intervals is what a caption says of the intervals over a result's years; one
// year has none.
func (s Set) intervals(shown string) string {
	if s.Years == 1 {
		return "One year alone gives no interval."
	}
	return shown
}

// format writes an SI value with its unit, and in the other system too where
// the axes have both.
func (s Set) format(si float64, d units.Dimension) string {
	text := s.System.Format(si, d)
	if s.opposite(d) != nil {
		text += " (" + s.other().Format(si, d) + ")"
	}
	return text
}

// unit is the system's unit as an axis names it.
func (s Set) unit(d units.Dimension) string {
	u := s.System.Unit(d)
	if d == units.Temperature {
		return "°" + u
	}
	return u
}

// known ends an error by what would have been right.
func known(what string, names []string) string {
	return what + " known are: " + strings.Join(names, "; ")
}
