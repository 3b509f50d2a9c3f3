package household

import (
	"fmt"

	"pipelag/schedules"
)

// seasonPerKelvin is how much more mixed water people use for each kelvin that
// the mains are below their yearly mean [1/K].
//
// Source: derived. The monthly factors on hot water of UK SAP (1.10 in January, 0.90 in
// July; from memory) swing by 10 %, the mains of SAP 10.2 Table J1 by 5.2 K about 13 °C (read).
// Mixing 40.6 °C of water of 52 °C takes 1.06 % more of it for each kelvin, 5.5 % in
// all, which the engine sees to. The other 4.5 % in 5.2 K are people's.
const seasonPerKelvin = 0.0087

// newSeason is the factor on each day's use:
//
//	f = 1 + 0.0087 (mean − T)
//
//	mains  its temperature T at noon, from 0 to 100 [°C]; nil: no season
//
// Over the year f has a mean of one, so that yearly volumes stay as published.
// Mains outside the range give an error.
//
// Example: 5 K below the mean, 1.044.
func newSeason(mains schedules.Temperature) (f [schedules.DaysPerYear]float64, err error) {
	mean := 0.0
	for d := range f {
		if mains == nil {
			f[d] = 1
			continue
		}
		f[d] = mains.At((float64(d) + 0.5) * dayLength)
		if !(f[d] >= 0 && f[d] <= 100) {
			return f, fmt.Errorf("mains: %g °C on day %d; must be from 0 to 100", f[d], d)
		}
		mean += f[d] / schedules.DaysPerYear
	}
	if mains != nil {
		for d, t := range f {
			// Rounded, for the same draws on any processor.
			f[d] = rounded(1+seasonPerKelvin*(mean-t), 1e6)
		}
	}
	return f, nil
}
