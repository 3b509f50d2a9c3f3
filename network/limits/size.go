package limits

import (
	"strings"

	"pipelag/units"
)

// Nominal is a nominal size in inches, such as 3/4 or 1-1/4, as a length [m];
// false for a metric size, which names outside diameter and wall.
func Nominal(size string) (float64, bool) {
	if strings.ContainsAny(size, "x×") {
		return 0, false
	}
	x, err := units.Parse(size+" in", units.Thickness)
	return x, err == nil && x > 0
}
