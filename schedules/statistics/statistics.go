// Package statistics measures a schedule in the ways that decide how pipes
// behave, and puts what is published beside each figure.
//
// What is measured is wishes: the water used, without what runs while
// somebody waits. Published statistics were mostly metered with the waiting in them, and
// the open data they are compared with are one person's total water, cold taps
// included: shapes may be compared, levels not.
package statistics

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"

	"pipelag/schedules"
	"pipelag/schedules/published"
)

const daysInYear = 365

// Statistics is what was measured over some years.
type Statistics struct {
	Years int
	Uses  [schedules.Uses]Use

	Gaps       []float64 // share of gaps no longer than each limit of published.Gaps
	ShortDraws []float64 // share of draws no longer than each limit of published.ShortDraws
	SmallDraws []float64 // share of draws below each limit of published.SmallDraws

	DrawsPerDay Mean    // of all uses
	Dispersion  float64 // variance over mean of the number of draws in a day, all uses
	Volume      Mean    // of all uses [m³/d]
	Skewness    float64 // of the volumes of days
}

// Use is what was measured of one end use.
type Use struct {
	DrawsPerDay          Mean
	Volume               Mean        // used; machines: hot [m³/d]
	Duration, DurationSD float64     // [s]
	Flow, FlowSD         float64     // [m³/s]
	Hours                [24]float64 // share of starts in each hour
	Kinds                [4]float64  // share of draws by Kind
}

// Mean is a mean over years with its standard error, which is 0 when there is
// but one year.
type Mean struct{ Value, Error float64 }

// Measure takes the statistics of the first so many replicate years.
func Measure(s schedules.Schedule, seed uint64, years int) (*Statistics, error) {
	if years < 1 {
		return nil, errors.New("statistics need at least one year")
	}
	m := newMeasurement()
	var wishes []schedules.Wish
	for r := range years {
		year := s.Year(seed, r)
		m.clear()
		for d := range daysInYear {
			wishes = year.Day(d, wishes[:0])
			m.day(d, wishes)
		}
		m.year()
	}
	return m.statistics(years), nil
}

// measurement is what is kept while years go by; it does not grow with draws.
type measurement struct {
	use              [schedules.Uses]tally
	yearDraws        [schedules.Uses][]float64
	yearVolume       [schedules.Uses][]float64
	allDraws, all    []float64 // by year
	draws, volume    [schedules.Uses]float64
	end              float64 // of the latest draw at a tap; NaN before the first [s]
	gaps             []float64
	short, small     []float64
	gapCount, tapped float64
	dayDraws, dayAll moments
}

// tally sums over the draws of one use.
type tally struct {
	duration, flow moments
	hours          [24]float64
	kinds          [4]float64
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
		gaps:  make([]float64, len(published.Gaps())),
		short: make([]float64, len(published.ShortDraws())),
		small: make([]float64, len(published.SmallDraws())),
	}
}

func (m *measurement) clear() {
	m.end = math.NaN()
	m.draws, m.volume = [schedules.Uses]float64{}, [schedules.Uses]float64{}
}

var gapLimits, shortLimits, smallLimits = published.Gaps(), published.ShortDraws(), published.SmallDraws()

func (m *measurement) day(d int, wishes []schedules.Wish) {
	litres := 0.0
	for i := range wishes {
		w := &wishes[i]
		volume, duration := w.Volume, w.Duration
		if w.Kind == schedules.Washing || w.Kind == schedules.Brief {
			volume = w.Flow * w.Duration
		} else {
			duration = w.Volume / w.Flow
		}
		t := &m.use[w.Use]
		t.duration.add(duration)
		t.flow.add(w.Flow)
		t.kinds[w.Kind]++
		t.hours[min(23, max(0, int((w.Start-float64(d)*86400)/3600)))]++
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
		if gap := w.Start - m.end; gap < 86400 {
			m.gapCount++
			for i, limit := range gapLimits {
				if gap <= limit.Limit {
					m.gaps[i]++
				}
			}
		}
		if end := w.Start + duration; !(end <= m.end) {
			m.end = end
		}
	}
	m.dayDraws.add(float64(len(wishes)))
	m.dayAll.add(litres)
}

func (m *measurement) year() {
	draws, volume := 0.0, 0.0
	for u := range m.draws {
		m.yearDraws[u] = append(m.yearDraws[u], m.draws[u]/daysInYear)
		m.yearVolume[u] = append(m.yearVolume[u], m.volume[u]/daysInYear)
		draws += m.draws[u] / daysInYear
		volume += m.volume[u] / daysInYear
	}
	m.allDraws = append(m.allDraws, draws)
	m.all = append(m.all, volume)
}

func (m *measurement) statistics(years int) *Statistics {
	s := &Statistics{
		Years:       years,
		Gaps:        m.gaps,
		ShortDraws:  m.short,
		SmallDraws:  m.small,
		DrawsPerDay: meanOf(m.allDraws),
		Volume:      meanOf(m.all),
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
		count := math.Max(1, t.flow.n)
		for h, n := range t.hours {
			s.Uses[u].Hours[h] = n / count
		}
		for k, n := range t.kinds {
			s.Uses[u].Kinds[k] = n / count
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
