// Package statistics measures a schedule in the ways that decide how pipes
// behave, and puts what is published beside each figure.
//
// What is measured is wishes: the water used, without what runs while
// somebody waits. Published statistics were mostly metered with the waiting in them, and
// the open data they are compared with are one person's total water, cold taps
// included: shapes may be compared, levels not.
package statistics

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"pipelag/schedules"
	"pipelag/schedules/published"
)

const dayLength = 86400.0 // [s]

// Sample is what is measured: the replicate years from First on, and of each
// the days from From on.
type Sample struct {
	First, Years int
	From, Days   int // Days 0: the whole year; days past 31 December are January's again
}

// Statistics is what was measured over a sample.
type Statistics struct {
	Sample
	Uses   [schedules.Uses]Use
	Shapes []Shape // of the uses that were seen

	Gaps       []float64 // share of gaps no longer than each limit of published.Gaps
	ShortDraws []float64 // share of draws no longer than each limit of published.ShortDraws
	SmallDraws []float64 // share of draws below each limit of published.SmallDraws

	DrawsPerDay Mean    // of all uses
	Dispersion  float64 // variance over mean of the number of draws in a day, all uses
	Volume      Mean    // of all uses [m³/d]
	VolumeSD    float64 // of the volumes of days [m³]
	Skewness    float64 // of the volumes of days
}

// Use is what was measured of one end use.
type Use struct {
	DrawsPerDay          Mean
	Volume               Mean    // used; machines: hot [m³/d]
	Duration, DurationSD float64 // [s]
	Flow, FlowSD         float64 // [m³/s]
}

// Mean is a mean over years with its standard error, which is 0 when there is
// but one year.
type Mean struct{ Value, Error float64 }

// Measure takes the statistics of a sample of a schedule's years.
func Measure(s schedules.Schedule, seed uint64, of Sample) (*Statistics, error) {
	if of.Days == 0 {
		of.Days = schedules.DaysPerYear
	}
	if of.First < 0 || of.Years < 1 || of.From < 0 || of.From >= schedules.DaysPerYear || of.Days < 0 || of.Days > schedules.DaysPerYear {
		return nil, fmt.Errorf("a sample of %d years from %d on and %d days from %d on; give 1 year or more and days of one year", of.Years, of.First, of.Days, of.From)
	}
	m := newMeasurement()
	var wishes []schedules.Wish
	for r := range of.Years {
		year := s.Year(seed, of.First+r)
		m.clear()
		for i := range of.Days {
			d := (of.From + i) % schedules.DaysPerYear
			wishes = year.Day(d, wishes[:0])
			// Past New Year's Eve the clock runs on, so that gaps keep their length.
			m.day(wishes, float64(of.From+i-d)*dayLength)
		}
		m.year(of.Days)
	}
	return m.statistics(of), nil
}

// measurement is what is kept while years go by; it does not grow with draws.
type measurement struct {
	use              [schedules.Uses]tally
	hours            []hourly        // by subject
	fills            map[int]float64 // by machine: when its last fill began [s]
	yearDraws        [schedules.Uses][]float64
	yearVolume       [schedules.Uses][]float64
	allDraws, all    []float64 // by year
	draws, volume    [schedules.Uses]float64
	end              float64 // of the latest draw at a tap; NaN before the first [s]
	gaps             []float64
	short, small     []float64
	gapCount, tapped float64
	dayDraws         moments
	dayAll           moments // [L]
}

// tally sums over the draws of one use.
type tally struct {
	duration, flow moments
}

// moments are those of a sample, about zero.
type moments struct{ n, sum, square, cube float64 }

func (m *moments) add(x float64) {
	m.n++
	m.sum += x
	m.square += x * x
	m.cube += x * x * x
}

func (m *moments) mean() float64 { return m.sum / math.Max(1, m.n) }

func (m *moments) variance() float64 {
	mean := m.mean()
	return math.Max(0, m.square/math.Max(1, m.n)-mean*mean)
}

func (m *moments) skewness() float64 {
	mean, v := m.mean(), m.variance()
	if v == 0 {
		return 0
	}
	return (m.cube/m.n - 3*mean*m.square/m.n + 2*mean*mean*mean) / math.Pow(v, 1.5)
}

func newMeasurement() *measurement {
	return &measurement{
		hours: make([]hourly, len(subjects)),
		fills: make(map[int]float64),
		gaps:  make([]float64, len(published.Gaps())),
		short: make([]float64, len(published.ShortDraws())),
		small: make([]float64, len(published.SmallDraws())),
	}
}

func (m *measurement) clear() {
	m.end = math.NaN()
	clear(m.fills)
	m.draws, m.volume = [schedules.Uses]float64{}, [schedules.Uses]float64{}
}

var gapLimits, shortLimits, smallLimits = published.Gaps(), published.ShortDraws(), published.SmallDraws()

// day takes up one day's wishes; later is added to their starts.
func (m *measurement) day(wishes []schedules.Wish, later float64) {
	litres := 0.0
	for i := range wishes {
		w := &wishes[i]
		start := w.Start + later
		volume, duration := w.Volume, w.Duration
		if w.Kind == schedules.Washing || w.Kind == schedules.Brief {
			volume = w.Flow * w.Duration
		} else {
			duration = w.Volume / w.Flow
		}
		t := &m.use[w.Use]
		t.duration.add(duration)
		t.flow.add(w.Flow)
		clock := math.Mod(w.Start, dayLength)
		if w.Kind != schedules.Appliance || m.cycle(w.Fixture, start, clock) {
			m.hours[subjectOf[w.Use]].add(int(clock / 3600))
		}
		m.draws[w.Use]++
		m.volume[w.Use] += volume
		litres += volume * 1000
		if w.Kind == schedules.Appliance {
			continue
		}
		m.tapped++
		for i, limit := range shortLimits {
			if duration <= limit.Limit {
				m.short[i]++
			}
		}
		for i, limit := range smallLimits {
			if volume < limit.Limit {
				m.small[i]++
			}
		}
		if gap := start - m.end; gap < dayLength {
			m.gapCount++
			for i, limit := range gapLimits {
				if gap <= limit.Limit {
					m.gaps[i]++
				}
			}
		}
		if end := start + duration; !(end <= m.end) {
			m.end = end
		}
	}
	for i := range m.hours {
		m.hours[i].endDay()
	}
	m.dayDraws.add(float64(len(wishes)))
	m.dayAll.add(litres)
}

// cycle takes note of a fill and tells whether it begins a cycle.
func (m *measurement) cycle(machine int, start, clock float64) bool {
	last, seen := m.fills[machine]
	m.fills[machine] = start
	if !seen || start-last > clock { // the first of its day
		return clock > cycleGap && (!seen || start-last > cycleGap)
	}
	return start-last > cycleGap
}

func (m *measurement) year(days int) {
	n := float64(days)
	draws, volume := 0.0, 0.0
	for u := range m.draws {
		m.yearDraws[u] = append(m.yearDraws[u], m.draws[u]/n)
		m.yearVolume[u] = append(m.yearVolume[u], m.volume[u]/n)
		draws += m.draws[u] / n
		volume += m.volume[u] / n
	}
	m.allDraws = append(m.allDraws, draws)
	m.all = append(m.all, volume)
}

func (m *measurement) statistics(of Sample) *Statistics {
	s := &Statistics{
		Sample:      of,
		Shapes:      m.shapes(),
		Gaps:        m.gaps,
		ShortDraws:  m.short,
		SmallDraws:  m.small,
		DrawsPerDay: meanOf(m.allDraws),
		Volume:      meanOf(m.all),
		VolumeSD:    math.Sqrt(m.dayAll.variance()) / 1000,
		Skewness:    m.dayAll.skewness(),
	}
	if mean := m.dayDraws.mean(); mean > 0 {
		s.Dispersion = m.dayDraws.variance() / mean
	}
	for i := range s.Gaps {
		s.Gaps[i] /= math.Max(1, m.gapCount)
	}
	for i := range s.ShortDraws {
		s.ShortDraws[i] /= math.Max(1, m.tapped)
	}
	for i := range s.SmallDraws {
		s.SmallDraws[i] /= math.Max(1, m.tapped)
	}
	for u := range s.Uses {
		t := &m.use[u]
		s.Uses[u] = Use{
			DrawsPerDay: meanOf(m.yearDraws[u]),
			Volume:      meanOf(m.yearVolume[u]),
			Duration:    t.duration.mean(), DurationSD: math.Sqrt(t.duration.variance()),
			Flow: t.flow.mean(), FlowSD: math.Sqrt(t.flow.variance()),
		}
	}
	return s
}

func meanOf(years []float64) Mean {
	if len(years) == 1 {
		return Mean{Value: years[0]}
	}
	mean, sd := stat.MeanStdDev(years, nil)
	return Mean{mean, sd / math.Sqrt(float64(len(years)))}
}
