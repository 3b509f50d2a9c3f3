package safety

// Temperatures at which somebody may be scalded [°C].
const (
	// BathingMost is the most that bathing outlets may give: 120 °F.
	// Source: ASSE 1016 and 1070, US CPSC (read).
	BathingMost = 48.9
	// ColdLineMost is the most that may enter the cold line from a loop that
	// comes back through it: 104 °F. Source: IECC R403.5.2 and C404.8 (read).
	ColdLineMost = 40.0
)

// Temperatures that matter to Legionella [°C].
const (
	// StoreLeast and ReturnLeast are what a store and a loop's return should hold:
	// 140 °F and 124 °F. Source: ASHRAE Guideline 12-2000, 4.1.6 (read).
	StoreLeast  = 60.0
	ReturnLeast = 51.0
	// It grows between these, and best between the next two: 77 to 113 °F and
	// 90 to 108 °F. Source: WHO, Legionella and the prevention of legionellosis,
	// 2007 (read).
	GrowthFrom = 25.0
	GrowthTo   = 45.0
	BestFrom   = 32.0
	BestTo     = 42.0
)

// Growth is what a temperature means to Legionella.
type Growth uint8

// The kinds of growth, the least first.
const (
	NoGrowth Growth = iota // too cold or too hot
	Grows
	GrowsBest
)

// GrowthAt tells whether Legionella grows at a temperature [°C].
//
// Outside 25 to 45 °C it does not, which is not to say that it dies: between 45
// and 60 °C it may outlast days. NaN gives NoGrowth.
//
// Source: WHO 2007, as above (read). Example: at 38 °C it grows best.
func GrowthAt(celsius float64) Growth {
	switch {
	case celsius >= BestFrom && celsius <= BestTo:
		return GrowsBest
	case celsius >= GrowthFrom && celsius <= GrowthTo:
		return Grows
	default:
		return NoGrowth
	}
}
