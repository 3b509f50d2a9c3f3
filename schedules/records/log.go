// Package records reads and writes recorded draws as CSV, strictly: everything
// that is wrong with a file is reported at once, each with its line and column.
//
// The columns, in any order, named in the first line:
//
//	start            ISO 8601 with zone, to the microsecond: 2026-01-31T07:15:02.5+01:00
//	fixture          a fixture of the house, by name
//	kind             washing, brief, filling or appliance
//	flow_L_per_min   at the spout, hot and cold together
//	duration_s       length of use or opening; this or volume_L, the other being left empty
//	volume_L         water used; appliance: hot
//	temperature_C    wanted at the spout; not for an appliance (40.6)
//	usable_C         hot side from which the wait is over (the fixture's)
//	patience_s       washing: longest wait (240)
//	step_in_s        washing: from usable until somebody steps in (0)
//	hot_share        brief: hot side's share of the flow (1)
//
// The first four are needed in every row, then duration or volume. Of the rest a
// column may be left out and a cell empty; what it then means stands in
// brackets. A cell that its kind does not use must be empty.
//
// Clock: a simulated day has 24 hours and no summer time. Times are counted from the
// 1 January before the first draw by the smallest offset from UTC in the file, its
// standard time. So the two hours of the same name in autumn are told apart by
// their offsets, gaps keep their length, and summer draws stand an hour earlier than on
// the wall. A simulated year has 365 days: draws of 29 February, and into it, are left
// out, with a warning, and those after it stand on their own days.
//
// A log of eleven months or more is a year, and the days it lacks are empty. A shorter
// one is played again and again, in whole days from its first to its last, its own
// days staying where they are in the calendar; a warning says so. Repeated, it
// knows nothing of other weeks than its own, and weekdays shift unless it is whole
// weeks long. A draw that runs past the last midnight may meet the first one
// of the next round. Every replicate is the same.
//
// Not modelled: telling kinds apart from a meter's trace. A metered draw includes what
// ran while somebody waited, so metered showers entered as washings wait twice.
package records

import (
	"math"
	"slices"

	"pipelag/schedules"
)

const (
	dayLength = 86400.0
	wholeYear = 330 // days from which a log is taken for a year with empty days
)

// Log is recorded draws as a schedule.
type Log struct {
	wishes   []schedules.Wish
	first    int   // day of the year on which the log begins
	days     []int // index of the first wish of each of its days, and the end
	warnings []string
}

// Warnings says what is doubtful about the log, one line each.
func (l *Log) Warnings() []string { return slices.Clone(l.warnings) }

// First is the day of the year, from 0, on which the log begins.
func (l *Log) First() int { return l.first }

// Days is how many days the log covers, from its first draw to its last.
func (l *Log) Days() int { return len(l.days) - 1 }

// Year is the log itself, whatever the seed and replicate.
func (l *Log) Year(uint64, int) schedules.Year { return l }

// Day appends what was recorded on day d, or on the day of the log that stands
// for it.
func (l *Log) Day(d int, into []schedules.Wish) []schedules.Wish {
	span := l.Days()
	if span >= wholeYear {
		span = schedules.DaysPerYear
	}
	at := ((d-l.first)%span + span) % span
	if at >= l.Days() {
		return into
	}
	shift := float64(d-l.first-at) * dayLength
	for _, w := range l.wishes[l.days[at]:l.days[at+1]] {
		w.Start = microseconds(w.Start + shift)
		into = append(into, w)
	}
	return into
}

// newLog indexes wishes, ordered by start and not empty, by day.
func newLog(wishes []schedules.Wish) *Log {
	day := func(w schedules.Wish) int { return int(math.Floor(w.Start / dayLength)) }
	l := &Log{wishes: wishes, first: day(wishes[0])}
	for i, w := range wishes {
		for len(l.days) <= day(w)-l.first {
			l.days = append(l.days, i)
		}
	}
	l.days = append(l.days, len(wishes))
	return l
}

// length is how long a wish runs, waiting apart [s].
func length(w schedules.Wish) float64 {
	if w.Kind == schedules.Washing || w.Kind == schedules.Brief {
		return w.Duration
	}
	return w.Volume / w.Flow
}

// microseconds rounds a time [s] to what a log resolves.
func microseconds(t float64) float64 { return math.Round(t*1e6) / 1e6 }
