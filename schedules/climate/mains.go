package climate

import (
	"errors"
	"math"

	"pipelag/schedules"
)

// Mains is the temperature of the cold water by the correlation of Burch and
// Christensen.
type Mains struct {
	mean      float64 // [°C]
	amplitude float64 // [K]
	lag       float64 // [d]
	southern  bool
}

// NewMains estimates the mains temperature from that of the air:
//
//	T(n) = (mean + 6 °F) + ratio·(span/2)·sin(360/365·(n − 15 − lag) − 90°)
//	ratio = 0.4 + 0.01 (mean − 44 °F)
//	lag   = 35 − 1.0 (mean − 44 °F)   [d]
//
// with n the day of the year from 1. In the southern hemisphere the last term
// is +90°. Water does not fall below 0 °C.
//
//	mean      annual mean of the outdoor dry bulb, -10 to 35 [°C]
//	span      warmest less coldest monthly mean (not hourly range), 0 to 60 [K]
//	southern  whether July is winter
//
// Outside the ranges it returns an error. In maritime climates the amplitude
// may be little over half of what is measured (UK SAP 10.2 Table J1: 5.2 K
// against 2.9 K); give the twelve monthly means where they are known. The
// published 0.986° a day is taken as 360°/365, so that the year closes.
//
// Source: J. Burch and C. Christensen, Towards development of an algorithm for
// mains water temperature, Proc. ASES 2007; offset, linear amplitude and lag
// read in its abstract, constants read where quoted (ANSI/RESNET/ICC 301).
//
// Example: mean 50 °F, span 45 °F: 46.9 °F (8.3 °C) on 15 January, and over the
// year from 45.6 to 66.3 °F about 56.0 °F.
func NewMains(mean, span float64, southern bool) (*Mains, error) {
	err := errors.Join(
		within("annual mean of the air", mean, -10, 35, "°C"),
		within("range of the monthly means", span, 0, 60, "K"))
	if err != nil {
		return nil, err
	}
	above := mean*1.8 + 32 - 44 // [°F]
	return &Mains{
		mean:      mean + 6/1.8,
		amplitude: (0.4 + 0.01*above) * span / 2,
		lag:       35 - above,
		southern:  southern,
	}, nil
}

// At is the temperature [°C] t seconds after the year began. Day n of the
// correlation is taken at its noon.
func (m *Mains) At(t float64) float64 {
	n := t/day + 0.5
	wave := -math.Cos(2 * math.Pi * (n - 15 - m.lag) / schedules.DaysPerYear)
	if m.southern {
		wave = -wave
	}
	return math.Max(0, m.mean+m.amplitude*wave)
}
