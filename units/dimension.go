// Package units reads and writes quantities: text with a unit on the outside,
// a float64 in SI units on the inside.
//
// A temperature and a difference of temperatures are two dimensions: 9 F is
// −12.8 °C as the one and 5 K as the other.
//
// Not modelled: prefixes in general (each accepted spelling is in the table),
// the international thermochemical Btu, imperial gallons, decimal commas.
package units

// Dimension is what a quantity measures, and so which units it may carry.
type Dimension uint8

// The dimensions, each with the SI unit of its float64.
const (
	Length       Dimension = iota // [m]
	Thickness                     // [m], a length that is written in inches or millimetres
	Area                          // [m²]
	Volume                        // [m³]
	Flow                          // [m³/s]
	Velocity                      // [m/s]
	Temperature                   // [°C]
	Difference                    // of temperatures [K]
	Pressure                      // [Pa]
	Power                         // [W]
	Energy                        // [J]
	Duration                      // [s]
	Mass                          // [kg]
	Conductance                   // [W/K]
	Conductivity                  // [W/(m K)]
	Resistance                    // to heat, of an area [m² K/W]
	Intensity                     // mass of carbon dioxide for energy used [kg/J]
	Share                         // of a whole [-]
	dimensions
)

// unit is one unit: a quantity of x units is x·factor + offset in SI.
type unit struct {
	factor    float64
	offset    float64
	spellings []string // the first is the one written
}

// Exact by definition.
// Source: NIST Special Publication 811 (2008), appendix B.8, from memory; each
// is fixed by a definition (inch 25.4 mm, US gallon 231 in³, pound
// 0.45359237 kg, standard gravity 9.80665 m/s², International Table
// Btu 1055.05585262 J), the US therm by 59 °F Btu (1.054804e8 J).
const (
	inch   = 0.0254
	foot   = 12 * inch
	gallon = 231 * inch * inch * inch
	pound  = 0.45359237
	psi    = pound * 9.80665 / (inch * inch)
	btu    = 1055.05585262
	therm  = 1.054804e8
	kwh    = 3.6e6
	hour   = 3600.0
	kelvin = 273.15
)

var lengths = []unit{
	{foot, 0, []string{"ft", "foot", "feet"}},
	{inch, 0, []string{"in", "inch", "inches"}},
	{1, 0, []string{"m"}},
	{0.01, 0, []string{"cm"}},
	{0.001, 0, []string{"mm"}},
}

// kind is everything known about a dimension.
type kind struct {
	name    string // with its article, as an error says it
	example string
	units   []unit
	written [2]string // by System, the unit written
	digits  int       // decimals written; −1 for three significant figures
}

var kinds = [dimensions]kind{
	Length:    {"a length", "24 ft or 7.3 m", lengths, [2]string{"ft", "m"}, -1},
	Thickness: {"a thickness", "1/2 in or 13 mm", lengths, [2]string{"in", "mm"}, -1},
	Area: {"an area", "1500 ft2 or 140 m2", []unit{
		{foot * foot, 0, []string{"ft2", "ft²"}},
		{1, 0, []string{"m2", "m²"}},
	}, [2]string{"ft2", "m2"}, -1},
	Volume: {"a volume", "50 gal or 190 L", []unit{
		{gallon, 0, []string{"gal", "gallon", "gallons"}},
		{gallon / 128, 0, []string{"fl oz"}},
		{0.001, 0, []string{"L", "l", "litre", "litres", "liter", "liters"}},
		{1e-6, 0, []string{"mL", "ml"}},
		{1, 0, []string{"m3", "m³"}},
		{foot * foot * foot, 0, []string{"ft3", "ft³"}},
		{1000 * gallon, 0, []string{"kgal"}}, // of water bills
		{100 * foot * foot * foot, 0, []string{"CCF", "ccf", "HCF", "hcf"}},
		{1, 0, []string{"kL", "kl"}},
	}, [2]string{"gal", "L"}, -1},
	Flow: {"a flow", "1.5 gpm or 5.7 L/min", []unit{
		{gallon / 60, 0, []string{"gpm", "gal/min"}},
		{0.001 / 60, 0, []string{"L/min", "l/min"}},
		{0.001, 0, []string{"L/s", "l/s"}},
		{1 / hour, 0, []string{"m3/h", "m³/h"}},
		{1, 0, []string{"m3/s", "m³/s"}},
	}, [2]string{"gpm", "L/min"}, -1},
	Velocity: {"a velocity", "5 ft/s or 1.5 m/s", []unit{
		{foot, 0, []string{"ft/s"}},
		{1, 0, []string{"m/s"}},
	}, [2]string{"ft/s", "m/s"}, -1},
	Temperature: {"a temperature", "120 F or 49 C", []unit{
		{5.0 / 9, -160.0 / 9, []string{"F", "°F", "degF"}},
		{1, 0, []string{"C", "°C", "degC"}},
		{1, -kelvin, []string{"K"}},
	}, [2]string{"F", "C"}, 1},
	Difference: {"a temperature difference", "9 F or 5 K", []unit{
		{5.0 / 9, 0, []string{"F", "°F", "degF"}},
		{1, 0, []string{"K"}},
		{1, 0, []string{"C", "°C", "degC"}},
	}, [2]string{"F", "K"}, 1},
	Pressure: {"a pressure", "40 psi or 276 kPa", []unit{
		{psi, 0, []string{"psi"}},
		{1000, 0, []string{"kPa"}},
		{1, 0, []string{"Pa"}},
		{1e5, 0, []string{"bar"}},
	}, [2]string{"psi", "kPa"}, -1},
	Power: {"a power", "60 W", []unit{
		{1, 0, []string{"W"}},
		{1000, 0, []string{"kW"}},
		{btu / hour, 0, []string{"Btu/h"}},
	}, [2]string{"W", "W"}, -1},
	Energy: {"an energy", "12 kWh", []unit{
		{kwh, 0, []string{"kWh"}},
		{kwh / 1000, 0, []string{"Wh"}},
		{1000 * kwh, 0, []string{"MWh"}},
		{1e9, 0, []string{"GJ"}},
		{1e6, 0, []string{"MJ"}},
		{1000, 0, []string{"kJ"}},
		{1, 0, []string{"J"}},
		{therm, 0, []string{"therm", "therms"}},
		{1e6 * btu, 0, []string{"MMBtu", "mmBtu"}},
		{btu, 0, []string{"Btu"}},
	}, [2]string{"kWh", "kWh"}, -1},
	Duration: {"a duration", "20 min or 30 s", []unit{
		{86400, 0, []string{"d", "day", "days"}},
		{hour, 0, []string{"h", "hour", "hours"}},
		{60, 0, []string{"min", "minute", "minutes"}},
		{1, 0, []string{"s", "second", "seconds"}},
	}, [2]string{"s", "s"}, -1},
	Mass: {"a mass", "3 lb or 1.4 kg", []unit{
		{pound, 0, []string{"lb"}},
		{1, 0, []string{"kg"}},
		{0.001, 0, []string{"g"}},
	}, [2]string{"lb", "kg"}, -1},
	Conductance: {"a conductance", "6.6 Btu/(h F) or 3.5 W/K", []unit{
		{btu / hour * 9 / 5, 0, []string{"Btu/(h F)", "Btu/h-F", "Btu/h F"}},
		{1, 0, []string{"W/K"}},
	}, [2]string{"Btu/(h F)", "W/K"}, -1},
	Conductivity: {"a conductivity", "1.2 W/(m K)", []unit{
		{btu / hour * 9 / 5 * inch / (foot * foot), 0, []string{"Btu in/(h ft2 F)", "Btu-in/h-ft2-F"}},
		{btu / hour * 9 / 5 / foot, 0, []string{"Btu/(h ft F)", "Btu/h-ft-F"}},
		{1, 0, []string{"W/(m K)", "W/m-K", "W/mK"}},
	}, [2]string{"Btu in/(h ft2 F)", "W/(m K)"}, -1},
	Resistance: {"a thermal resistance", "3 ft2 h F/Btu or 0.53 m2 K/W", []unit{
		{foot * foot * hour * 5 / 9 / btu, 0, []string{"ft2 h F/Btu"}},
		{1, 0, []string{"m2 K/W"}},
	}, [2]string{"ft2 h F/Btu", "m2 K/W"}, -1},
	Intensity: {"a carbon intensity", "0.4 kg/kWh", []unit{
		{1 / kwh, 0, []string{"kg/kWh"}},
		{0.001 / kwh, 0, []string{"g/kWh"}},
		{0.001 / kwh, 0, []string{"kg/MWh"}},
		{1 / kwh, 0, []string{"t/MWh"}},
		{1e-9, 0, []string{"kg/GJ"}},
		{1e-9, 0, []string{"g/MJ"}},
		{1 / therm, 0, []string{"kg/therm", "kg/therms"}},
		{1e-6 / btu, 0, []string{"kg/MMBtu", "kg/mmBtu"}},
		{pound / kwh, 0, []string{"lb/kWh"}},
		{pound / (1000 * kwh), 0, []string{"lb/MWh"}},
		{pound / therm, 0, []string{"lb/therm", "lb/therms"}},
		{1e-6 * pound / btu, 0, []string{"lb/MMBtu", "lb/mmBtu"}},
	}, [2]string{"lb/kWh", "kg/kWh"}, -1},
	Share: {"a share", "5 %", []unit{
		{0.01, 0, []string{"%", "percent"}},
	}, [2]string{"%", "%"}, -1},
}

// String is the dimension with its article, as an error message says it.
func (d Dimension) String() string { return kinds[d].name }

// Example is a quantity or two of the dimension, as a user would write them.
func (d Dimension) Example() string { return kinds[d].example }

// find is the unit of a dimension that a spelling names.
func (d Dimension) find(spelling string) (unit, bool) {
	for _, u := range kinds[d].units {
		for _, s := range u.spellings {
			if s == spelling {
				return u, true
			}
		}
	}
	return unit{}, false
}

// Spellings are the units the dimension may be written in.
func (d Dimension) Spellings() []string {
	var all []string
	for _, u := range kinds[d].units {
		all = append(all, u.spellings...)
	}
	return all
}
