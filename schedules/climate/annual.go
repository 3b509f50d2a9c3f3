// Package climate makes the temperatures a house lives in: the mains, and the
// air or soil round its pipes.
//
// Not modelled: weather. A day is like the same day of any other year, there
// are no cold spells, and the mains do not warm in the house's own service
// line. A basement or slab does not feel the heat its pipes give it.
package climate

import (
	"fmt"
	"math"

	"pipelag/schedules"
)

const day = 86400.0 // [s]

// Annual is a temperature that swings once a year and once a day.
type Annual struct {
	Mean      float64 // over the year [°C]
	Amplitude float64 // half of warmest less coldest day, >= 0 [K]
	Coldest   int     // day of the minimum, 0 = 1 January, 364 = 31 December

	DailyAmplitude float64 // half of the day's range, >= 0 [K]
	DailyMinimum   float64 // hour of the day's minimum, 0 to 24 [h]
}

// Cycle is an Annual that has been checked.
type Cycle struct{ annual Annual }

// NewAnnual checks a and makes it a temperature. It refuses what is not
// finite, negative amplitudes, days and hours that do not exist, and years that
// pass below -60 °C or above 90 °C.
func NewAnnual(a Annual) (*Cycle, error) {
	for _, q := range []struct {
		name      string
		value     float64
		low, high float64
		unit      string
	}{
		{"mean", a.Mean, -60, 90, "°C"},
		{"amplitude", a.Amplitude, 0, 60, "K"},
		{"coldest day", float64(a.Coldest), 0, 364, "d"},
		{"daily amplitude", a.DailyAmplitude, 0, 40, "K"},
		{"hour of daily minimum", a.DailyMinimum, 0, 24, "h"},
		{"coldest of the year", a.Mean - a.Amplitude - a.DailyAmplitude, -60, 90, "°C"},
		{"warmest of the year", a.Mean + a.Amplitude + a.DailyAmplitude, -60, 90, "°C"},
	} {
		if err := within(q.name, q.value, q.low, q.high, q.unit); err != nil {
			return nil, err
		}
	}
	return &Cycle{a}, nil
}

// At is the temperature [°C] t seconds after the year began:
//
//	T = mean − amplitude·cos(2π (d − coldest − ½)/365) − daily·cos(2π (h − minimum)/24)
//
// with d the days and h the hours since the year began. The year's minimum
// falls at noon of the coldest day. Any t will do; the year repeats.
func (c *Cycle) At(t float64) float64 {
	a := c.annual
	temperature := a.Mean
	if a.Amplitude != 0 {
		temperature -= a.Amplitude * math.Cos(2*math.Pi*(t/day-float64(a.Coldest)-0.5)/schedules.DaysPerYear)
	}
	if a.DailyAmplitude != 0 {
		temperature -= a.DailyAmplitude * math.Cos(2*math.Pi*(t/3600-a.DailyMinimum)/24)
	}
	return temperature
}

// within refuses a value that is not a number between low and high.
func within(name string, value, low, high float64, unit string) error {
	if !(value >= low && value <= high) {
		return fmt.Errorf("%s is %g %s; it must be from %g to %g", name, value, unit, low, high)
	}
	return nil
}
