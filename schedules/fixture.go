package schedules

import (
	"errors"
	"fmt"
)

// Fixture is a tap or machine as its users know it; its place in a list is the
// Fixture of a Wish.
type Fixture struct {
	Name   string
	Use    Use
	Flow   float64 // rated, hot and cold together [m³/s]
	Usable float64 // hot-side temperature from which the wait is over [°C]
}

// CheckFixtures returns all that is wrong with a house's fixtures, or nil.
func CheckFixtures(fixtures []Fixture) error {
	var errs []error
	if len(fixtures) == 0 {
		errs = append(errs, errors.New("no fixtures; a house needs at least one"))
	}
	seen := make(map[string]bool, len(fixtures))
	for i, f := range fixtures {
		complain := func(format string, args ...any) {
			errs = append(errs, fmt.Errorf("fixture %q: %s", f.Name, fmt.Sprintf(format, args...)))
		}
		if f.Name == "" {
			complain("number %d has no name", i+1)
		}
		if seen[f.Name] {
			complain("the name is taken; each fixture needs its own")
		}
		seen[f.Name] = true
		if int(f.Use) >= Uses {
			complain("end use %d is unknown", f.Use)
		}
		if !(f.Flow >= 1e-6 && f.Flow <= 2e-3) {
			complain("flow is %g L/s; it must be from 0.001 to 2", f.Flow*1000)
		}
		if !(f.Usable >= 0 && f.Usable <= 100) {
			complain("usable temperature is %g °C; it must be from 0 to 100", f.Usable)
		}
	}
	return errors.Join(errs...)
}
