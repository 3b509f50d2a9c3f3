package units

import (
	"fmt"
	"strconv"
	"strings"

	"pipelag/internal/decimal"
)

// System is the family of units that results are written in.
type System uint8

// The systems.
const (
	US System = iota
	SI
)

// ParseSystem reads us or si.
func ParseSystem(text string) (System, error) {
	switch text {
	case "us":
		return US, nil
	case "si":
		return SI, nil
	}
	return 0, fmt.Errorf("unknown system of units %q; us and si are known", text)
}

// String is the system's name on the command line.
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "si"
}

// Unit is the unit in which the system writes a dimension.
func (s System) Unit(d Dimension) string { return kinds[d].written[s] }

// Convert is an SI value in the system's unit for the dimension.
func (s System) Convert(si float64, d Dimension) float64 {
	u, _ := d.find(kinds[d].written[s])
	return (si - u.offset) / u.factor
}

// Number writes an SI value in the system's unit, without naming the unit:
// temperatures to a tenth, all else to three significant figures but never
// fewer than the units digit or more than nine decimals.
func (s System) Number(si float64, d Dimension) string {
	x := s.Convert(si, d)
	digits := kinds[d].digits
	if digits < 0 {
		digits = min(max(-decimal.Last(x, 3), 0), 9)
	}
	text := strconv.FormatFloat(x, 'f', digits, 64)
	if strings.Trim(text, "-0.") == "" {
		return "0"
	}
	return text
}

// Format writes an SI value with the system's unit.
func (s System) Format(si float64, d Dimension) string {
	return s.Number(si, d) + " " + s.Unit(d)
}

// Both writes an SI value in SI, and in brackets in US units where they differ.
func Both(si float64, d Dimension) string {
	metric, us := SI.Format(si, d), US.Format(si, d)
	if metric == us {
		return metric
	}
	return metric + " (" + us + ")"
}

// Roughly writes a time [s] in whole units of its size, 1 s at the least.
func Roughly(t float64) string {
	const minute, hour, day = 60, 3600, 86400
	switch {
	case t < 90:
		return fmt.Sprintf("%.0f s", max(t, 1))
	case t < 90*minute:
		return fmt.Sprintf("%.0f min", t/minute)
	case t < 4*day:
		return fmt.Sprintf("%.0f h", t/hour)
	}
	return fmt.Sprintf("%.0f days", t/day)
}

// Span writes a time [s] in the unit that suits it, to three figures at most.
func Span(t float64) string {
	for _, u := range []struct {
		size float64
		name string
	}{{86400, "d"}, {3600, "h"}, {60, "min"}} {
		if t >= u.size {
			return fmt.Sprintf("%.3g %s", t/u.size, u.name)
		}
	}
	return fmt.Sprintf("%.3g s", t)
}
