package main

import (
	"math"
	"testing"

	"pipelag/sim"
)

func TestEstimate(t *testing.T) {
	for _, c := range []struct {
		name       string
		mean, half float64
		finest     int
		text, wide string
	}{
		{"one figure", 36.71, 0.80, -9, "36.7", "0.8"},
		{"two figures", 824.31, 12.4, -9, "824", "12"},
		{"hundreds", 19310, 345, -9, "19300", "300"},
		{"mean to four figures", 561.4132, 0.0821, -9, "561.4", "0.1"},
		{"narrower than shown", 219.0012, 0.00001, -9, "219.0", ""},
		{"exactly known", 219, 0, -9, "219.0", ""},
		{"one year", 2414.4, math.NaN(), -9, "2414", ""},
		{"nothing", 0, 0, -9, "0", ""},
		{"rounding", -1.8e-11, 2e-11, -1, "0", ""},
		{"no minus before zero", -0.01, 0.4, -1, "0", "0.4"},
		{"a figure more in front", 99.996, 0.0007, -9, "100.0", ""},
		{"wider than the mean", 501.3, 4321, -9, "1000", "4000"},
		{"wider than a mean that begins with 1", 1421, 3567, -9, "1000", "4000"},
		{"far wider than the mean", -0.0128, 0.43, -9, "0", "0.4"},
		{"wider than no mean", 0, 4321, -9, "0", "4000"},
		{"below zero", -1286.2, 26.3, -9, "-1286", "26"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text, wide := estimate(c.mean, c.half, c.finest)
			if text != c.text || wide != c.wide {
				t.Errorf("%s ± %s, want %s ± %s", text, wide, c.text, c.wide)
			}
		})
	}
}

// TestQuantitiesShown holds the list to be whole, in order, and its units to be
// those of the keys.
func TestQuantitiesShown(t *testing.T) {
	if len(quantitiesShown) != sim.Quantities {
		t.Fatalf("%d of %d quantities", len(quantitiesShown), sim.Quantities)
	}
	for i, s := range quantitiesShown {
		if s.quantity != sim.Quantity(i) {
			t.Errorf("%q stands at %d", s.label, i)
		}
		si, err := s.parse("250")
		if err != nil {
			t.Fatal(err)
		}
		if back := s.inKeyUnit(si); math.Abs(back-250) > 1e-9 || math.IsNaN(back) {
			t.Errorf("250 in the unit of %s comes back as %g", s.quantity.Key(), back)
		}
	}
}

func TestThreeFigures(t *testing.T) {
	for want, x := range map[string]float64{"1210": 1213.4, "3.70": 3.7, "-0.547": -0.54712, "0": 0, "21.0": 20.96, "10.0": 9.996, "-1.00": -0.9996, "1000": 999.6} {
		if got := threeFigures(x); got != want {
			t.Errorf("%g: got %q, want %q", x, got, want)
		}
	}
}

// TestBracketed puts in brackets what may be no difference, and nothing that has no
// interval.
func TestBracketed(t *testing.T) {
	for name, c := range map[string]struct {
		of   cell
		i    sim.Interval
		want cell
	}{
		"may be none": {cell{"-1", "±2"}, sim.Interval{Mean: -1, Low: -3, High: 1}, cell{"(-1", "±2)"}},
		"is one":      {cell{"-4", "±2"}, sim.Interval{Mean: -4, Low: -6, High: -2}, cell{"-4", "±2"}},
		"unknown":     {cell{"-4", ""}, sim.Interval{Mean: -4, Low: math.NaN(), High: math.NaN()}, cell{"-4", ""}},
	} {
		if got := c.of.bracketed(c.i); got != c.want {
			t.Errorf("%s: got %v, want %v", name, got, c.want)
		}
	}
}
