package climate

import (
	"fmt"

	"gonum.org/v1/gonum/mat"

	"pipelag/schedules"
)

// Monthly is a smooth temperature with twelve given monthly means.
type Monthly struct {
	mean   float64     // over the year [°C]
	start  [13]float64 // of each month [d]
	sum    [13]float64 // of (T − mean) since the year began [K d]
	second [13]float64 // second derivative of the sum's spline [K/d]
}

// NewMonthly passes a smooth year through twelve monthly means [°C], January
// first, so that the mean over each month is the one given.
//
// The sum of degree-days since 1 January is known at the end of every month; a
// periodic cubic spline goes through it and its derivative is the temperature:
// continuous, with a continuous slope, and the same at both ends of the year.
// Joining mid-month values by lines would shave every summer and winter. It
// returns an error for a mean outside -60 to 90 °C.
func NewMonthly(means [12]float64) (*Monthly, error) {
	m := &Monthly{}
	var days [12]float64
	for i, mean := range means {
		if err := within(fmt.Sprintf("mean of month %d", i+1), mean, -60, 90, "°C"); err != nil {
			return nil, err
		}
		days[i] = float64(schedules.MonthDays[i])
		m.mean += mean * days[i] / schedules.DaysPerYear
	}
	for i, mean := range means {
		m.start[i+1] = m.start[i] + days[i]
		m.sum[i+1] = m.sum[i] + (mean-m.mean)*days[i]
	}
	// Continuity of slope at each knot i, with h the lengths of the months
	// before and after it:
	// h₋M₋ + 2(h₋+h₊)M + h₊M₊ = 6 (mean of the month after − of that before).
	a, b := mat.NewDense(12, 12, nil), mat.NewVecDense(12, nil)
	for i := range 12 {
		before := (i + 11) % 12
		after := (i + 1) % 12
		a.Set(i, before, days[before])
		a.Set(i, i, 2*(days[before]+days[i]))
		a.Set(i, after, days[i])
		b.SetVec(i, 6*(means[i]-means[before]))
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		return nil, fmt.Errorf("monthly means: %w", err) // the matrix is diagonally dominant
	}
	for i := range 13 {
		m.second[i] = x.AtVec(i % 12)
	}
	return m, nil
}

// At is the temperature [°C] t seconds after the year began; the year repeats.
func (m *Monthly) At(t float64) float64 {
	d := t / day
	for ; d < 0; d += schedules.DaysPerYear {
	}
	for ; d >= schedules.DaysPerYear; d -= schedules.DaysPerYear {
	}
	i := 0
	for d >= m.start[i+1] {
		i++
	}
	h := m.start[i+1] - m.start[i]
	left, right := d-m.start[i], m.start[i+1]-d
	slope := (m.sum[i+1]-m.sum[i])/h - (m.second[i+1]-m.second[i])*h/6
	return m.mean + slope + (m.second[i+1]*left*left-m.second[i]*right*right)/(2*h)
}
