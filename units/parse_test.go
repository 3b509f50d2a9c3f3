package units

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pipelag/internal/check"

	"pgregory.net/rapid"
)

func refuses(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %v", err, want)
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		want float64
	}{
		// Inch, foot, gallon, pound: exact by definition.
		{"24 ft", Length, 7.3152},
		{"7 ft 6 in", Length, 2.286},
		{"7 ft 6 1/2 in", Length, 2.2987},
		{"-7 ft 6 in", Length, -2.286},
		{"7.3 m", Length, 7.3},
		{"1 m 20 cm", Length, 1.2},
		{"  .5m ", Length, 0.5},
		{"1e1 m", Length, 10},
		{"-0 m", Length, 0},
		{"1/2 in", Thickness, 0.0127},
		{"1-1/2 in", Thickness, 0.0381},
		{"1 1/2 in", Thickness, 0.0381},
		{"1.5 gpm", Flow, 1.5 * 3.785411784e-3 / 60},
		{"1000 ft2", Area, 92.90304},
		{"5.7 L/min", Flow, 9.5e-5},
		{"1 gal", Volume, 3.785411784e-3},
		{"128 fl oz", Volume, 3.785411784e-3},
		{"50 L", Volume, 0.05},
		{"5 ft/s", Velocity, 1.524},
		// Celsius and Fahrenheit meet at −40, by definition of both.
		{"-40 F", Temperature, -40},
		{"212 F", Temperature, 100},
		{"49 C", Temperature, 49},
		{"49 °C", Temperature, 49},
		{"273.15 K", Temperature, 0},
		{"9 F", Difference, 5},
		{"9 F", Temperature, -115.0 / 9},
		{"5 K", Difference, 5},
		{"-9 F", Difference, -5},
		{"60 W", Power, 60},
		{"20 min", Duration, 1200},
		{"1 h 30 min", Duration, 5400},
		{"3.5 W/K", Conductance, 3.5},
		// By the definitions of foot and Btu 0.3048² × 3600 × 5/9 / 1055.05585262 m² K/W.
		{"3 ft2 h F/Btu", Resistance, 3 * 0.3048 * 0.3048 * 3600 * 5 / 9 / 1055.05585262},
		{"0.528 m2 K/W", Resistance, 0.528},
		{"1 kWh", Energy, 3.6e6},
		{"1 therm", Energy, 1.054804e8},
		// Of bills: thousands of US gallons, hundreds of cubic feet.
		{"1 kgal", Volume, 3.785411784},
		{"1 CCF", Volume, 2.8316846592},
		{"1 ccf", Volume, 2.8316846592},
		{"1 MWh", Energy, 3.6e9},
		{"1.2 W/(m K)", Conductivity, 1.2},
		{"1 GJ", Energy, 1e9},
		{"1 MMBtu", Energy, 1055.05585262e6},
		{"1 HCF", Volume, 2.8316846592},
		{"1 kL", Volume, 1},
		{"0.36 kg/kWh", Intensity, 1e-7},
		{"360 kg/MWh", Intensity, 1e-7},
		{"0.36 t/MWh", Intensity, 1e-7},
		{"360 g/kWh", Intensity, 1e-7},
		{"100 kg/GJ", Intensity, 1e-7},
		{"100 g/MJ", Intensity, 1e-7},
		{"10.54804 kg/therm", Intensity, 1e-7},
		{"1 lb/therm", Intensity, 0.45359237 / 1.054804e8},
		{"1 kg/MMBtu", Intensity, 1 / 1055.05585262e6},
		{"1 lb/MMBtu", Intensity, 0.45359237 / 1055.05585262e6},
		{"1 lb/MWh", Intensity, 0.45359237 / 3.6e9},
		{"5 %", Share, 0.05},
		{"5%", Share, 0.05},
		// NIST SP 811, appendix B.8, from memory, to the digits remembered.
		{"40 psi", Pressure, 40 * 6894.757293168},
	} {
		t.Run(c.text+" as "+c.d.String(), func(t *testing.T) {
			got, err := Parse(c.text, c.d)
			if err != nil {
				t.Fatal(err)
			}
			check.Alike(t, c.want, got, 1e-12)
		})
	}
}

func TestParseRefuses(t *testing.T) {
	const length = "; write a length with its unit, such as 24 ft or 7.3 m"
	for _, c := range []struct {
		text string
		d    Dimension
		want string
	}{
		{"", Length, "an empty value" + length},
		{"24", Length, `"24" has no unit` + length},
		{"24 ft/s", Length, `"24 ft/s" is a velocity` + length},
		{"24 gal", Length, `"24 gal" is a volume` + length},
		{"24 furlong", Length, `"24 furlong" is in an unknown unit "furlong"` + length + " (known units: ft, in, m, cm, mm)"},
		{"6 in 7 ft", Length, `"6 in 7 ft" is more than one quantity` + length},
		{"7 ft 6", Length, `"7 ft 6" has no unit` + length},
		{"7 ft -6 in", Length, `"7 ft -6 in" does not begin with a number` + length},
		{"7,3 m", Length, `"7,3 m" has a comma in its number, which takes a point` + length},
		{"NaN m", Length, `"NaN m" is not a finite number` + length},
		{"-.inf m", Length, `"-.inf m" is not a finite number` + length},
		{"1e999 m", Length, `"1e999 m" is too large a number` + length},
		{"1e308 d", Duration, `"1e308 d" is too large a number; write a duration with its unit, such as 20 min or 30 s`},
		{"1/0 in", Length, `"1/0 in" divides by zero` + length},
		{"0x10 m", Length, `"0x10 m" is in an unknown unit "x"` + length + " (known units: ft, in, m, cm, mm)"},
		{"--5 m", Length, `"--5 m" does not begin with a number` + length},
		{"-+5 m", Length, `"-+5 m" does not begin with a number` + length},
		{"five feet", Length, `"five feet" does not begin with a number` + length},
		{strings.Repeat("1", 200) + " m", Length, "a value of 202 characters" + length},
		{"-500 F", Temperature, `"-500 F" is below absolute zero; write a temperature with its unit, such as 120 F or 49 C`},
		{"9", Difference, `"9" has no unit; write a temperature difference with its unit, such as 9 F or 5 K`},
		{"9 psi", Temperature, `"9 psi" is a pressure; write a temperature with its unit, such as 120 F or 49 C`},
		{"0.05", Share, `"0.05" has no unit; write a share with its unit, such as 5 %`},
	} {
		t.Run(c.text, func(t *testing.T) {
			_, err := Parse(c.text, c.d)
			refuses(t, err, c.want)
		})
	}
}

func TestParsePrice(t *testing.T) {
	got, currency, err := ParsePrice("0.16 USD/kWh", Energy)
	if err != nil || currency != "USD" {
		t.Fatal(currency, err)
	}
	check.Alike(t, 0.16, got*3.6e6, 1e-12)

	got, currency, err = ParsePrice("0.01 EUR/gal", Volume)
	if err != nil || currency != "EUR" {
		t.Fatal(currency, err)
	}
	check.Alike(t, 0.01/3.785411784e-3, got, 1e-12)

	got, _, err = ParsePrice("3 USD/kgal", Volume)
	if err != nil {
		t.Fatal(err)
	}
	check.Alike(t, 3/3.785411784, got, 1e-12)
	_, _, err = ParsePrice("3 USD/barrel", Volume)
	refuses(t, err, `"3 USD/barrel" is in an unknown unit "barrel"; write a price with its currency and unit, such as 4 USD/m3 (known units: gal, fl oz, L, mL, m3, ft3, kgal, CCF, kL)`)

	for text, want := range map[string]string{
		"0.16":         `"0.16" is not a price; write a price with its currency and unit, such as 0.16 USD/kWh`,
		"0.16 USD/m3":  `"0.16 USD/m3" is a price for a volume; write a price with its currency and unit, such as 0.16 USD/kWh`,
		"NaN USD/kWh":  `"NaN USD/kWh" is not a finite number; write a price with its currency and unit, such as 0.16 USD/kWh`,
		"1 2 USD/kWh":  `"1 2 USD/kWh" is not a price; write a price with its currency and unit, such as 0.16 USD/kWh`,
		"-0.1 USD/kWh": `"-0.1 USD/kWh" is a price below 0; write a price with its currency and unit, such as 0.16 USD/kWh`,
	} {
		_, _, err := ParsePrice(text, Energy)
		refuses(t, err, want)
	}
}

func TestParseNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"100": 100, " 2.5 ": 2.5, "-3": -3, "−3": -3, "+1e2": 100, ".5": 0.5, "1/8": 0.125, "1-1/2": 1.5, "-0": 0,
	} {
		got, err := ParseNumber(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
		}
		check.Alike(t, want, got, 1e-15)
	}
	for text, want := range map[string]string{
		"":        `"" does not begin with a number`,
		"cheap":   `"cheap" does not begin with a number`,
		"NaN":     `"NaN" is not a finite number`,
		"-Inf":    `"-Inf" is not a finite number`,
		"1e999":   `"1e999" is too large a number`,
		"0x1p-3":  `"0x1p-3" is more than a number`,
		"1_000":   `"1_000" is more than a number`,
		"1,5":     `"1,5" has a comma in its number, which takes a point`,
		"5 USD":   `"5 USD" is more than a number`,
		"1/0":     `"1/0" divides by zero`,
		"infinit": `"infinit" is not a finite number`,
	} {
		_, err := ParseNumber(text)
		refuses(t, err, want+"; write a number, such as 100")
	}
	_, err := ParseNumber(strings.Repeat("1", maxText+1))
	refuses(t, err, "a value of 101 characters; write a number, such as 100")
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		s    System
		si   float64
		d    Dimension
		want string
	}{
		{US, 7.3152, Length, "24.0 ft"},
		{SI, 7.3152, Length, "7.32 m"},
		{US, 0.0127, Thickness, "0.500 in"},
		{US, 0, Length, "0 ft"},
		{SI, 9.996, Length, "10.0 m"},
		{SI, 9.994, Length, "9.99 m"},
		{SI, -99.96, Length, "-100 m"},
		{SI, 999.96, Length, "1000 m"}, // the units digit is always there
		{US, 48.888888, Temperature, "120.0 F"},
		{SI, -0.01, Temperature, "0 C"},
		{SI, 1234567, Energy, "0.343 kWh"},
		{SI, 12345.6, Power, "12346 W"},
		{US, 5, Difference, "9.0 F"},
	} {
		if got := c.s.Format(c.si, c.d); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestBoth(t *testing.T) {
	for want, got := range map[string]string{
		"7.32 m (24.0 ft)": Both(7.3152, Length),
		"60.0 s":           Both(60, Duration),
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestSpan(t *testing.T) {
	for want, seconds := range map[string]float64{
		"0.5 s": 0.5, "59 s": 59, "1 min": 60, "20 min": 1200, "1.5 h": 5400, "2.25 d": 194400,
	} {
		if got := Span(seconds); got != want {
			t.Errorf("%g s: got %q, want %q", seconds, got, want)
		}
	}
}

func TestRoughly(t *testing.T) {
	for seconds, want := range map[float64]string{
		0.2: "1 s", 89: "89 s", 90: "2 min", 5399: "90 min", 5400: "2 h", 345599: "96 h", 345600: "4 days",
		3.1536e10: "365000 days", // a thousand years
	} {
		if got := Roughly(seconds); got != want {
			t.Errorf("%g s is %q, want %q", seconds, got, want)
		}
	}
}

// TestRoundTrip holds that what is written can be read, and is the value to
// the digits written.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := System(rapid.IntRange(0, 1).Draw(t, "system"))
		d := Dimension(rapid.IntRange(0, int(dimensions)-1).Draw(t, "dimension"))
		si := rapid.Float64Range(-200, 1e6).Draw(t, "value")
		got, err := Parse(s.Format(si, d), d)
		if err != nil {
			t.Fatal(err)
		}
		x := s.Convert(si, d)
		tolerance := math.Max(0.005*math.Abs(x), 0.51e-9)
		if d == Temperature || d == Difference {
			tolerance = 0.0501
		}
		if !(math.Abs(s.Convert(got, d)-x) <= tolerance) {
			t.Fatalf("%v wrote %q, read %v", si, s.Format(si, d), got)
		}
	})
}

// TestSpellings holds that a spelling means one unit, and that what a System
// writes is one of them.
func TestSpellings(t *testing.T) {
	for d := range dimensions {
		seen := map[string]bool{}
		for _, u := range kinds[d].units {
			for _, s := range u.spellings {
				if seen[s] {
					t.Errorf("%q twice for %v", s, d)
				}
				seen[s] = true
			}
		}
		for _, s := range []System{US, SI} {
			if !seen[s.Unit(d)] {
				t.Errorf("%q is not read for %v", s.Unit(d), d)
			}
		}
		for _, example := range strings.Split(d.Example(), " or ") {
			if _, err := Parse(example, d); err != nil {
				t.Error(err)
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"24 ft", "7 ft 6 in", "1-1/2 in", "NaN m", "1e999 s", "−5 C", "5 %", "1 h 30 min", "3 W/(m K)"} {
		f.Add(s, uint8(0))
		f.Add(s, uint8(Duration))
	}
	f.Fuzz(func(t *testing.T, text string, d uint8) {
		dimension := Dimension(d % uint8(dimensions))
		x, err := Parse(text, dimension)
		if err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
			t.Errorf("%q gave %v", text, x)
		}
		if err != nil && !strings.Contains(err.Error(), "; ") {
			t.Errorf("%q: %v does not say what would be right", text, err)
		}
		_, _, _ = ParsePrice(text, Energy)
	})
}

func ExampleParse() {
	metres, _ := Parse("7 ft 6 in", Length)
	_, err := Parse("24", Length)
	fmt.Println(metres)
	fmt.Println(err)
	// Output:
	// 2.286
	// "24" has no unit; write a length with its unit, such as 24 ft or 7.3 m
}

func ExampleSystem_Format() {
	fmt.Println(US.Format(0.0001, Flow), "or", SI.Format(0.0001, Flow))
	// Output: 1.59 gpm or 6.00 L/min
}
