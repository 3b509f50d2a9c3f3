package limits

import (
	"strings"

	"pipelag/network/tubes"
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

// leastBore is that of the narrowest tube called 3/8 in, of PEX [m]: 0.350 in, ASTM F876
// at the average wall, read.
const leastBore = 0.00889

// Undersized tells whether a tube is below 3/8 in, the usual prescriptive minimum to any
// fixture; a size that is not nominal goes by its bore.
//
// Source: IPC 604.5, by way of a city code built on it; read.
func Undersized(t tubes.Tube) bool {
	if nominal, known := Nominal(t.Size); known {
		return nominal < 3.0/8*0.0254*(1-1e-9)
	}
	return t.Inside < leastBore*(1-1e-9)
}
