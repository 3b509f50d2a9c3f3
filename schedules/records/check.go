package records

import (
	"math"
	"slices"
	"time"

	"pipelag/schedules"
)

const longestGap = 3 * dayLength // without any draw before a warning [s]

// clock turns times of day into seconds from the 1 January before the first draw.
func (t *table) clock() {
	if len(t.draws) == 0 {
		if len(t.errs) == 0 {
			t.refuse(2, 1, "no draws; a log needs at least one")
		}
		return
	}
	low, high := math.MaxInt, math.MinInt
	for _, d := range t.draws {
		_, offset := d.start.Zone()
		low, high = min(low, offset), max(high, offset)
	}
	zone := time.FixedZone("", low)
	first := t.draws[0].start.In(zone)
	origin := time.Date(first.Year(), 1, 1, 0, 0, 0, 0, zone)
	for i := range t.draws {
		d := &t.draws[i]
		if _, offset := d.start.Zone(); offset > low+3600 {
			t.refuse(d.line, d.column, "its zone is more than an hour from another in the file; a log is of one place")
		}
		d.start = d.start.In(zone).Round(time.Microsecond)
		d.Start = float64(d.start.Sub(origin).Microseconds()) / 1e6
	}
}

// check looks at each draw beside the others.
func (t *table) check() {
	last := make([]int, len(t.fixtures)) // draw that ran last at each fixture, from 1
	for i, d := range t.draws {
		name := t.fixtures[d.Fixture].Name
		if i > 0 {
			before := t.draws[i-1]
			if d.Start < before.Start {
				t.refuse(d.line, d.column, "starts before the draw of line %d; put draws in order of time", before.line)
				continue
			}
			if gap := d.Start - before.Start; gap > longestGap {
				t.warn("%s:%d: no draw for %.1f days before this", t.name, d.line, gap/dayLength)
			}
		}
		if n := last[d.Fixture]; n > 0 {
			before := t.draws[n-1]
			switch end := before.Start + length(before.Wish); {
			case d.Start == before.Start:
				t.refuse(d.line, d.column, "%s starts again at the time of line %d; draws must not be repeated", name, before.line)
			case d.Start < end-1e-6:
				t.refuse(d.line, d.column, "%s is still running from line %d for another %.3g s", name, before.line, end-d.Start)
			}
		}
		last[d.Fixture] = i + 1
	}
}

// calendar puts the draws of leap years on their days in a year of 365, and leaves
// out those of 29 February and those that run into it, which would meet the first of March.
func (t *table) calendar() {
	if len(t.draws) == 0 {
		return
	}
	first := t.draws[0]
	onLeapDay := func(d draw) bool {
		end := d.start.Add(time.Duration(length(d.Wish) * float64(time.Second)))
		return d.start.Month() == time.February && (d.start.Day() == 29 || end.Month() == time.February && end.Day() == 29)
	}
	all := len(t.draws)
	t.draws = slices.DeleteFunc(t.draws, onLeapDay)
	n := len(t.draws)
	if n == 0 {
		t.refuse(first.line, first.column, "all draws are on 29 February, which a simulated year of %d days lacks; add those of other days", schedules.DaysPerYear)
		return
	}
	if n < all {
		t.warn("%s: draws of 29 February, and into it, are left out, for a simulated year has %d days: %d of them", t.name, schedules.DaysPerYear, all-n)
	}
	for i := range t.draws {
		d := &t.draws[i]
		years, on := d.start.Year()-first.start.Year(), inCommonYear(d.start)
		d.Start = float64(int64(years)*schedules.DaysPerYear*dayLength*1e6+on.Microseconds()) / 1e6
	}
	began := math.Floor(t.draws[0].Start/dayLength) * dayLength
	if end := t.draws[n-1]; end.Start-began >= schedules.DaysPerYear*dayLength {
		t.refuse(end.line, end.column, "is %d days or more after the first day; cut the log into years", schedules.DaysPerYear)
	}
}

// inCommonYear is how long after New Year a time is in a year of 365 days.
func inCommonYear(t time.Time) time.Duration {
	const year = 2025
	on := time.Date(year, t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
	return on.Sub(time.Date(year, time.January, 1, 0, 0, 0, 0, time.UTC))
}
