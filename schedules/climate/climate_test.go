package climate

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pipelag/internal/check"
	"pipelag/internal/reference"
	"pipelag/schedules"
)

func celsius(f float64) float64 { return (f - 32) / 1.8 }

// The worked values of testdata/mains.csv, each with its source and status.
func TestMainsWorkedValues(t *testing.T) {
	rows := reference.Rows(t, "testdata/mains.csv")
	require.Greater(t, len(rows), 9)
	for _, row := range rows {
		m, err := NewMains(celsius(row.Number(t, "air_mean_F")), row.Number(t, "air_span_F")/1.8, false)
		require.NoError(t, err)
		var got float64
		low, high, mean := math.Inf(1), math.Inf(-1), 0.0
		for n := range 365 {
			v := m.At((float64(n)+0.5)*day)*1.8 + 32
			low, high, mean = math.Min(low, v), math.Max(high, v), mean+v/365
		}
		what := row["day_or_statistic"]
		switch what {
		case "min":
			got = low
		case "max":
			got = high
		case "mean":
			got = mean
		default: // a day of the year, from 1
			got = m.At((row.Number(t, "day_or_statistic")-0.5)*day)*1.8 + 32
		}
		check.Within(t, row.Number(t, "mains_F"), got, row.Number(t, "tolerance_F"), row["air_mean_F"]+" "+what)
	}
}

func TestMainsSouthIsHalfAYearAway(t *testing.T) {
	north, err := NewMains(12, 18, false)
	require.NoError(t, err)
	south, err := NewMains(12, 18, true)
	require.NoError(t, err)
	for d := range 182 {
		check.Within(t, north.At(float64(d)*day), south.At((float64(d)+182.5)*day), 1e-9, "opposite day")
	}
}

func TestMainsNeverFreezes(t *testing.T) {
	m, err := NewMains(-8, 55, false)
	require.NoError(t, err)
	for d := range 365 {
		require.GreaterOrEqual(t, m.At(float64(d)*day), 0.0)
	}
}

// The mean over every month is the one given, whatever the twelve are. The
// temperature is quadratic within a month, so Simpson's rule is exact.
func TestMonthlyKeepsTheMeans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var means [12]float64
		for i := range means {
			means[i] = rapid.Float64Range(-20, 40).Draw(t, "mean")
		}
		m, err := NewMonthly(means)
		require.NoError(t, err)
		start := 0.0
		for i := range means {
			days := float64(schedules.MonthDays[i])
			const inside = 1e-9 // of a month, to stay clear of the neighbour
			a, b := start+days*inside, start+days*(1-inside)
			got := (m.At(a*day) + 4*m.At((a+b)/2*day) + m.At(b*day)) / 6
			check.Within(t, means[i], got, 1e-6, "month")
			check.Within(t, m.At((start-1e-7)*day), m.At((start+1e-7)*day), 1e-3, "continuous")
			start += days
		}
	})
}

// UK SAP 10.2 Table J1, mains (read as quoted): mean 13.00, amplitude 5.20.
func TestMonthlyOfMeasuredMains(t *testing.T) {
	m, err := NewMonthly([12]float64{8.0, 8.2, 9.3, 12.7, 14.6, 16.7, 18.4, 17.6, 16.6, 14.3, 11.1, 8.5})
	require.NoError(t, err)
	low, high := math.Inf(1), math.Inf(-1)
	for d := range 365 {
		low, high = math.Min(low, m.At(float64(d)*day)), math.Max(high, m.At(float64(d)*day))
	}
	// The curve must pass outside the coldest and warmest monthly means, a little.
	require.True(t, low < 8.0 && low > 7.5 && high > 18.4 && high < 19.0, "%g to %g", low, high)
}

func TestAnnual(t *testing.T) {
	c, err := NewAnnual(Annual{Mean: 15, Amplitude: 8, Coldest: 40, DailyAmplitude: 3, DailyMinimum: 5})
	require.NoError(t, err)
	check.Within(t, 15-8*math.Cos(2*math.Pi*(5.0-12)/24/365)-3, c.At(40*day+5*3600), 1e-12, "coldest morning")
	mean := 0.0
	for h := range 365 * 24 {
		mean += c.At(float64(h)*3600) / (365 * 24)
	}
	check.Within(t, 15, mean, 1e-9, "mean")
	fixed, err := NewAnnual(Annual{Mean: 14.4})
	require.NoError(t, err)
	require.Equal(t, 14.4, fixed.At(1e7))
}

func TestRefusals(t *testing.T) {
	bad := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1000}
	for _, v := range bad {
		_, err := NewMains(v, 10, false)
		require.Error(t, err)
		_, err = NewMains(10, v, false)
		require.Error(t, err)
		_, err = NewAnnual(Annual{Mean: v})
		require.Error(t, err)
		_, err = NewMonthly([12]float64{3: v})
		require.Error(t, err)
		_, err = NewAnnual(Annual{Amplitude: v})
		require.Error(t, err)
		_, err = NewAnnual(Annual{DailyAmplitude: v})
		require.Error(t, err)
		_, err = NewAnnual(Annual{DailyMinimum: v})
		require.Error(t, err)
	}
	_, err := NewAnnual(Annual{Coldest: 365})
	require.EqualError(t, err, "coldest day is 365 d; it must be from 0 to 364")
	_, err = NewAnnual(Annual{Amplitude: -1})
	require.Error(t, err)
}

// 10 °C outdoors, 25 K from the coldest to the warmest monthly mean: 15 January.
func ExampleNewMains() {
	m, err := NewMains(10, 25, false)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f °C\n", m.At(14.5*86400))
	// Output: 8.3 °C
}

func ExampleNewMonthly() {
	m, err := NewMonthly([12]float64{8.0, 8.2, 9.3, 12.7, 14.6, 16.7, 18.4, 17.6, 16.6, 14.3, 11.1, 8.5})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f °C at midsummer\n", m.At(172*86400))
	// Output: 17.2 °C at midsummer
}
