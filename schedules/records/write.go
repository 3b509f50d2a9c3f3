package records

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"time"

	"pipelag/schedules"
)

const timeLayout = "2006-01-02T15:04:05.999999Z07:00"

// columns are the names of the columns, in the order in which they are written.
var columns = []string{
	"start", "fixture", "kind", "flow_L_per_min", "duration_s", "volume_L",
	"temperature_C", "usable_C", "patience_s", "step_in_s", "hot_share",
}

// Write exports a year of draws. The year begins at origin, whose zone is kept
// through the year. If origin is the 1 January of a year of 365 days and the draws span
// eleven months, what Read makes of it is the same year: to the microsecond in start, to
// the last bit in everything else.
func Write(w io.Writer, year schedules.Year, fixtures []schedules.Fixture, origin time.Time) error {
	out := csv.NewWriter(w)
	if err := out.Write(columns); err != nil {
		return err
	}
	origin = origin.In(fixedZone(origin))
	var wishes []schedules.Wish
	record := make([]string, len(columns))
	for d := range schedules.DaysPerYear {
		wishes = year.Day(d, wishes[:0])
		for _, wish := range wishes {
			if wish.Fixture < 0 || wish.Fixture >= len(fixtures) {
				return fmt.Errorf("day %d: a draw at fixture %d of %d", d, wish.Fixture, len(fixtures))
			}
			fill(record, wish, fixtures, origin)
			if err := out.Write(record); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

func fill(record []string, w schedules.Wish, fixtures []schedules.Fixture, origin time.Time) {
	clear(record)
	start := origin.Add(time.Duration(math.Round(w.Start*1e6)) * time.Microsecond)
	record[0] = start.Format(timeLayout)
	record[1] = fixtures[w.Fixture].Name
	record[2] = w.Kind.String()
	record[3] = cell(w.Flow, perMinute)
	record[7] = cell(w.Usable, 1)
	if w.Kind != schedules.Appliance {
		record[6] = cell(w.Mixed, 1)
	}
	switch w.Kind {
	case schedules.Washing:
		record[4] = cell(w.Duration, 1)
		record[8] = cell(w.Patience, 1)
		record[9] = cell(w.StepIn, 1)
	case schedules.Brief:
		record[4] = cell(w.Duration, 1)
		record[10] = cell(w.HotShare, 1)
	default:
		record[5] = cell(w.Volume, litres)
	}
}

// fixedZone is the zone in force at t, without its changes.
func fixedZone(t time.Time) *time.Location {
	name, offset := t.Zone()
	return time.FixedZone(name, offset)
}
