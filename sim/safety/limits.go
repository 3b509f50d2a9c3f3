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
)

// Grows tells whether Legionella grows at a temperature [°C].
//
// It does from 25 to 45 °C (77 to 113 °F), and best from 32 to 42 °C. Outside it
// does not, which is not to say that it dies: between 45 and 60 °C it may outlast
// days. NaN gives false.
//
// Source: WHO, Legionella and the prevention of legionellosis, 2007 (read).
// Example: at 38 °C it grows.
func Grows(celsius float64) bool { return celsius >= 25 && celsius <= 45 }
