package units

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// number is digits with a point and an exponent if need be, or a fraction, or
// a whole and a fraction (1-1/2 or 1 1/2).
var number = regexp.MustCompile(`^(?:(?:(\d{1,9})[- ])?(\d{1,9})/(\d{1,9})|(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,4})?)`)

// maxText is the longest quantity worth reading [bytes].
const maxText = 100

// Parse reads a quantity such as 24 ft, 7 ft 6 in, 1/2 in, 1.5 gpm or 49 C and
// gives it in the dimension's SI unit.
//
// Lengths and durations may be sums of falling units (7 ft 6 in, 1 h 30 min).
// A bare number, another dimension's unit, NaN, infinity and a value that
// overflows are refused; the error says what is wrong and what would be right,
// with a semicolon between.
func Parse(text string, d Dimension) (float64, error) {
	body := strings.TrimSpace(text)
	right := "; write " + d.String() + " with its unit, such as " + d.Example()
	switch {
	case body == "":
		return 0, errors.New("an empty value" + right)
	case len(body) > maxText:
		return 0, fmt.Errorf("a value of %d characters%s", len(body), right)
	}
	sign, rest := signed(body)
	sum, last := 0.0, math.Inf(1)
	for first := true; first || rest != ""; first = false {
		x, n, err := leading(rest)
		if err != nil {
			return 0, fmt.Errorf("%q %w%s", body, err, right)
		}
		var name string
		name, rest = cutUnit(rest[n:], d)
		if name == "" {
			return 0, fmt.Errorf("%q has no unit%s", body, right)
		}
		u, err := d.named(name, body, "is", right)
		if err != nil {
			return 0, err
		}
		if !first && u.factor >= last {
			return 0, fmt.Errorf("%q is more than one quantity%s", body, right)
		}
		last = u.factor
		sum += x*u.factor + sign*u.offset
	}
	if d == Temperature && sign*sum < -kelvin {
		return 0, fmt.Errorf("%q is below absolute zero%s", body, right)
	}
	return finite(body, sign*sum, right)
}

// ParseNumber reads a number by itself, written as that of a quantity is. NaN and
// infinity are refused.
func ParseNumber(text string) (float64, error) {
	const right = "; write a number, such as 100"
	body := strings.TrimSpace(text)
	if len(body) > maxText {
		return 0, fmt.Errorf("a value of %d characters%s", len(body), right)
	}
	sign, rest := signed(body)
	x, n, err := leading(rest)
	if err != nil {
		return 0, fmt.Errorf("%q %w%s", body, err, right)
	}
	if n < len(rest) {
		return 0, fmt.Errorf("%q is more than a number%s", body, right)
	}
	return finite(body, sign*x, right)
}

// signed takes the sign off a number.
func signed(body string) (sign float64, rest string) {
	for _, minus := range []string{"-", "−"} {
		if after, ok := strings.CutPrefix(body, minus); ok {
			return -1, strings.TrimSpace(after)
		}
	}
	return 1, strings.TrimSpace(strings.TrimPrefix(body, "+"))
}

// sums tells whether a quantity may be written as a sum of falling units.
func sums(d Dimension) bool { return d == Length || d == Thickness || d == Duration }

func finite(body string, x float64, right string) (float64, error) {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return 0, fmt.Errorf("%q is too large a number%s", body, right)
	}
	return x + 0, nil // −0 becomes 0
}

// leading is the number that text begins with and how many bytes it takes.
func leading(text string) (x float64, n int, err error) {
	m := number.FindStringSubmatch(text)
	if m == nil {
		lower := strings.ToLower(text)
		for _, word := range []string{"nan", ".nan", "inf", ".inf"} {
			if strings.HasPrefix(lower, word) {
				return 0, 0, errors.New("is not a finite number")
			}
		}
		return 0, 0, errors.New("does not begin with a number")
	}
	if m[3] != "" {
		whole, _ := strconv.ParseFloat("0"+m[1], 64)
		over, _ := strconv.ParseFloat(m[2], 64)
		under, _ := strconv.ParseFloat(m[3], 64)
		if under == 0 {
			return 0, 0, errors.New("divides by zero")
		}
		return whole + over/under, len(m[0]), nil
	}
	x, err = strconv.ParseFloat(m[0], 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, 0, errors.New("is too large a number")
	}
	if strings.HasPrefix(text[len(m[0]):], ",") {
		return 0, 0, errors.New("has a comma in its number, which takes a point")
	}
	return x, len(m[0]), nil
}

// cutUnit splits text into the unit it begins with and what follows. In a
// dimension whose quantities are sums the unit ends where the next number
// begins.
func cutUnit(text string, d Dimension) (name, rest string) {
	text = strings.TrimSpace(text)
	if sums(d) {
		if i := strings.IndexAny(text, " 0123456789"); i >= 0 && !strings.ContainsAny(text[:i], "/(") {
			return text[:i], strings.TrimSpace(text[i:])
		}
	}
	return text, ""
}

// named finds the unit that a quantity names; the error says what the quantity is instead.
func (d Dimension) named(name, body, is, right string) (unit, error) {
	if u, ok := d.find(name); ok {
		return u, nil
	}
	if of, known := measuredIn(name); known {
		return unit{}, fmt.Errorf("%q %s %s%s", body, is, of, right)
	}
	return unit{}, fmt.Errorf("%q is in an unknown unit %q%s%s", body, name, right, d.known())
}

// measuredIn is the first dimension that knows a unit, if there is one.
func measuredIn(name string) (Dimension, bool) {
	for d := range dimensions {
		if _, ok := d.find(name); ok {
			return d, true
		}
	}
	return 0, false
}

// known lists the units of a dimension, each by its first spelling, for the end of an
// error.
func (d Dimension) known() string {
	var all []string
	for _, u := range kinds[d].units {
		all = append(all, u.spellings[0])
	}
	return " (known units: " + strings.Join(all, ", ") + ")"
}

// price is a number, a currency's three letters and what it pays for.
var price = regexp.MustCompile(`^(.+?) *([A-Z]{3})/(.+)$`)

// ParsePrice reads a price such as 0.16 USD/kWh or 4 EUR/m3 for one SI unit
// (m³ or J) of what d measures, and the currency it is in.
func ParsePrice(text string, d Dimension) (perSI float64, currency string, err error) {
	body := strings.TrimSpace(text)
	right := "; write a price with its currency and unit, such as 0.16 USD/kWh"
	if d == Volume {
		right = "; write a price with its currency and unit, such as 4 USD/m3"
	}
	m := price.FindStringSubmatch(body)
	if m == nil || len(body) > maxText {
		return 0, "", fmt.Errorf("%q is not a price%s", body, right)
	}
	if strings.HasPrefix(m[1], "-") || strings.HasPrefix(m[1], "−") {
		return 0, "", fmt.Errorf("%q is a price below 0%s", body, right)
	}
	x, n, err := leading(m[1])
	if err != nil {
		return 0, "", fmt.Errorf("%q %w%s", body, err, right)
	}
	if n != len(m[1]) {
		return 0, "", fmt.Errorf("%q is not a price%s", body, right)
	}
	u, err := d.named(m[3], body, "is a price for", right)
	if err != nil {
		return 0, "", err
	}
	x, err = finite(body, x/u.factor, right)
	return x, m[2], err
}
