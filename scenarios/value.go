package scenarios

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"pipelag/units"
)

// quantity is text with a unit, between low and high in SI.
func quantity[T any](d units.Dimension, low, high float64, to func(*T) *said[float64]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if x, ok := r.quantity(n, d, low, high); ok {
				*to(into) = said[float64]{x, n}
			}
		},
		schema: func() schema { return quantitySchema(d) },
	}
}

func (r *reader) quantity(n *node, d units.Dimension, low, high float64) (float64, bool) {
	if !r.scalar(n, d.Example()) {
		return 0, false
	}
	x, err := units.Parse(n.text, d)
	if err != nil {
		r.advise(n, err, "give another value")
		return 0, false
	}
	if !(x >= low && x <= high) {
		r.fault(n, fmt.Sprintf("%q is out of range", n.text), fmt.Sprintf("give %s from %s to %s", d,
			units.Both(low, d), units.Both(high, d)))
		return 0, false
	}
	return x, true
}

// refused says why what was to be a number is not taken.
func refused(err error, what string) string {
	if errors.Is(err, strconv.ErrSyntax) {
		return "not " + what
	}
	return "out of range"
}

// count is a whole number.
func count[T any](low, high int, to func(*T) *said[int]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, strconv.Itoa(low)) {
				return
			}
			x, err := strconv.Atoi(n.text)
			if err != nil || x < low || x > high {
				r.fault(n, fmt.Sprintf("%q is %s", n.text, refused(err, "a whole number")), fmt.Sprintf("give a whole number from %d to %d", low, high))
				return
			}
			*to(into) = said[int]{x, n}
		},
		schema: func() schema { return schema{"type": "integer", "minimum": low, "maximum": high} },
	}
}

// factor is a bare number without dimension.
func factor[T any](low, high float64, to func(*T) *said[float64]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, "1") {
				return
			}
			x, err := strconv.ParseFloat(n.text, 64)
			if err != nil || !(x >= low && x <= high) {
				r.fault(n, fmt.Sprintf("%q is %s", n.text, refused(err, "a number")), fmt.Sprintf("give a number from %g to %g", low, high))
				return
			}
			*to(into) = said[float64]{x, n}
		},
		schema: func() schema { return schema{"type": "number", "minimum": low, "maximum": high} },
	}
}

// maxName is the longest name [characters]: it must fit a table and a legend.
const maxName = 60

// short tells whether a text can be a name.
func short(s string) bool {
	return strings.TrimSpace(s) != "" && utf8.RuneCountInString(s) <= maxName && !strings.ContainsFunc(s, func(c rune) bool { return !unicode.IsGraphic(c) })
}

// text is a name or other short text.
func text[T any](example string, to func(*T) *said[string]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, example) {
				return
			}
			if !short(n.text) {
				r.fault(n, "not a short text", fmt.Sprintf("write 1 to %d characters on one line", maxName))
				return
			}
			*to(into) = said[string]{n.text, n}
		},
		schema: func() schema { return schema{"type": []string{"string", "number"}, "examples": []string{example}} },
	}
}

// choice is one of a few words.
func choice[T any](words []string, to func(*T) *said[string]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, words[0]) {
				return
			}
			for _, w := range words {
				if n.text == w {
					*to(into) = said[string]{w, n}
					return
				}
			}
			r.fault(n, fmt.Sprintf("unknown value %q", n.text), suggest(n.text, "values", words))
		},
		schema: func() schema { return schema{"enum": words} },
	}
}

// yesNo is true or false.
func yesNo[T any](to func(*T) *said[bool]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, "true") {
				return
			}
			if n.text != "true" && n.text != "false" {
				r.fault(n, fmt.Sprintf("%q is neither true nor false", n.text), "write true or false")
				return
			}
			*to(into) = said[bool]{n.text == "true", n}
		},
		schema: func() schema { return schema{"type": "boolean"} },
	}
}

// months is twelve temperatures, January first.
func months[T any](to func(*T) *said[[12]float64]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if n.shape != list || len(n.items) != 12 {
				r.fault(n, "months that are not twelve temperatures", "write twelve, January first, such as [46 F, 45 F, …]")
				return
			}
			var m [12]float64
			good := true
			for i, item := range n.items {
				var ok bool
				m[i], ok = r.quantity(item, units.Temperature, 0, 40)
				good = good && ok
			}
			if good {
				*to(into) = said[[12]float64]{m, n}
			}
		},
		schema: func() schema {
			return schema{"type": "array", "minItems": 12, "maxItems": 12, "items": quantitySchema(units.Temperature)}
		},
	}
}

// day is a day of the year, such as Feb 10, as a number from 0 for January 1.
func day[T any](to func(*T) *said[int]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, "Feb 10") {
				return
			}
			date, err := time.Parse("Jan 2 2006", strings.TrimSpace(n.text)+" 2025") // a year of 365 days
			if err != nil {
				r.fault(n, fmt.Sprintf("%q is not a day of a year of 365 days", n.text), "write month and day, such as Feb 10")
				return
			}
			*to(into) = said[int]{date.YearDay() - 1, n}
		},
		schema: func() schema {
			return schema{"type": "string", "pattern": "^(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) [0-9]{1,2}$", "examples": []string{"Feb 10"}}
		},
	}
}

// farthest is how far from the origin things may stand [m].
const farthest = 500

// place is three lengths: x and y in plan, z up.
func place[T any](to func(*T) *said[[3]float64]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if n.shape != list || len(n.items) != 3 {
				r.fault(n, "a place that is not three lengths", "write [x, y, z], such as [24 ft, 8 ft, 3 ft]")
				return
			}
			var p [3]float64
			good := true
			for i, item := range n.items {
				var ok bool
				p[i], ok = r.quantity(item, units.Length, -farthest, farthest)
				good = good && ok
			}
			if good {
				*to(into) = said[[3]float64]{p, n}
			}
		},
		schema: func() schema {
			return schema{"type": "array", "minItems": 3, "maxItems": 3, "items": quantitySchema(units.Length)}
		},
	}
}

// places are several.
func places[T any](to func(*T) *said[[][3]float64]) value[T] {
	one := place(func(p *said[[3]float64]) *said[[3]float64] { return p })
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if n.shape != list || len(n.items) == 0 || len(n.items) > mostPlaces {
				r.fault(n, "no list of places", fmt.Sprintf("write 1 to %d, such as [[24 ft, 8 ft, 3 ft]]", mostPlaces))
				return
			}
			all := said[[][3]float64]{at: n}
			for _, item := range n.items {
				var p said[[3]float64]
				if one.read(r, item, &p); p.at != nil {
					all.value = append(all.value, p.value)
				}
			}
			*to(into) = all
		},
		schema: func() schema {
			return schema{"type": "array", "minItems": 1, "maxItems": mostPlaces, "items": one.schema()}
		},
	}
}

// words are several short texts.
func words[T any](example string, most int, to func(*T) *said[[]string]) value[T] {
	one := text(example, func(s *said[string]) *said[string] { return s })
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if n.shape != list || len(n.items) == 0 || len(n.items) > most {
				r.fault(n, "no list of texts", fmt.Sprintf("write 1 to %d, such as [%s]", most, example))
				return
			}
			all := said[[]string]{at: n}
			for _, item := range n.items {
				var s said[string]
				if one.read(r, item, &s); s.at != nil {
					all.value = append(all.value, s.value)
				}
			}
			*to(into) = all
		},
		schema: func() schema {
			return schema{"type": "array", "minItems": 1, "maxItems": most, "items": one.schema()}
		},
	}
}

// money is a price and its currency, per SI unit of what is priced.
type money struct {
	amount   float64
	currency string
}

// price is a price for what d measures, up to most for one SI unit.
func price[T any](d units.Dimension, most float64, to func(*T) *said[money]) value[T] {
	example := "0.16 USD/kWh"
	if d == units.Volume {
		example = "4 USD/m3"
	}
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, example) {
				return
			}
			x, currency, err := units.ParsePrice(n.text, d)
			if err != nil {
				r.advise(n, err, "give another value")
				return
			}
			if !(x <= most) {
				r.fault(n, fmt.Sprintf("%q is out of range", n.text), "give a price that somebody pays")
				return
			}
			*to(into) = said[money]{money{x, currency}, n}
		},
		schema: func() schema {
			return schema{"type": "string", "pattern": "^[0-9.]+ [A-Z]{3}/.+$", "examples": []string{example}}
		},
	}
}
