package records

import (
	"math"
	"time"

	"pipelag/schedules"
)

const (
	longestGap  = 3 * dayLength // without any draw before a warning [s]
	longestSpan = schedules.DaysPerYear * dayLength
)

// place turns times of day into seconds of the year.
func (t *table) place() {
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
		d.Start = float64(d.start.Sub(origin).Round(time.Microsecond).Microseconds()) / 1e6
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
	if n := len(t.draws); n > 0 {
		if end := t.draws[n-1]; end.Start-math.Floor(t.draws[0].Start/dayLength)*dayLength >= longestSpan {
			t.refuse(end.line, end.column, "is %d days or more after the first day; cut the log into years", schedules.DaysPerYear)
		}
	}
}
