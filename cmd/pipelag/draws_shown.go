package main

import (
	"bytes"
	"fmt"
	"strings"
	"time"

	"pipelag/plots"
	"pipelag/scenarios"
	"pipelag/schedules"
	"pipelag/schedules/patterns"
	"pipelag/schedules/records"
	"pipelag/schedules/statistics"
)

// newYear is the first midnight of the year that days are dated in and a log is
// written in: households' weeks are those of 2026, and its zone does not matter.
var newYear = time.Date(2026, time.January, 1, 0, 0, 0, 0, time.UTC)

// drawsShown is a schedule and what is to be shown of it.
type drawsShown struct {
	*drawsOptions
	scenario *scenarios.Scenario
	fixtures []schedules.Fixture
	schedule schedules.Schedule
	origin   string // whose draws they are
	first    int    // day that listings begin with
	people   bool   // whether it is a household, which knows weekdays and targets
	warnings []string

	year *statistics.Statistics // of the one year shown
	many *statistics.Statistics // of all years; nil unless asked for
}

func newDrawsShown(s *scenarios.Scenario, o *drawsOptions) (*drawsShown, error) {
	house := s.House()
	d := &drawsShown{drawsOptions: o, scenario: s, schedule: house.Schedule, warnings: s.Warnings()}
	for _, f := range house.Fixtures {
		d.fixtures = append(d.fixtures, schedules.Fixture{Name: f.Name, Use: f.Use, Flow: f.Flow, Usable: f.Usable})
	}
	if o.imported != "" {
		log, err := readLog(o.imported, d.fixtures)
		if err != nil {
			return nil, err
		}
		d.schedule, d.warnings = log, log.Warnings()
	}
	one := statistics.Sample{First: o.replicate, Years: 1}
	many := one
	switch schedule := d.schedule.(type) {
	case *records.Log:
		d.origin, d.first = "a log of "+counted(schedule.Days(), "day"), schedule.First()
		one = statistics.Sample{Years: 1, From: schedule.First(), Days: schedule.Days()}
		many = one
	case *patterns.Pattern:
		d.origin = schedule.Name()
		one = statistics.Sample{Years: 1, Days: 1}
		many = one
	default:
		d.origin, d.people = fmt.Sprintf("seed %d, replicate %d", o.seed, o.replicate), true
		many.Years = statisticsYears
	}
	var err error
	if d.year, err = statistics.Measure(d.schedule, o.seed, one); err != nil {
		return nil, failed(err)
	}
	if o.statistics {
		if d.many, err = statistics.Measure(d.schedule, o.seed, many); err != nil {
			return nil, failed(err)
		}
	}
	return d, nil
}

// readLog reads recorded draws; all that is wrong with them stands one a line.
func readLog(path string, fixtures []schedules.Fixture) (*records.Log, error) {
	text, err := scenarios.ReadRecord(path)
	if err != nil {
		return nil, fmt.Errorf("--import: %w", err)
	}
	log, err := records.Read(bytes.NewReader(text), path, fixtures)
	if err != nil {
		return nil, fmt.Errorf("%s found\n%w", counted(strings.Count(err.Error(), "\n")+1, "mistake"), err)
	}
	return log, nil
}

// target is what the volumes are meant to be, or nil.
func (d *drawsShown) target() statistics.Target {
	target, _ := d.schedule.(statistics.Target)
	return target
}

// day is the wishes of the day that is so many after the first.
func (d *drawsShown) day(after int) (day int, wishes []schedules.Wish) {
	day = (d.first + after) % schedules.DaysPerYear
	return day, d.schedule.Year(d.seed, d.replicate).Day(day, nil)
}

// date names a day; the weekday is a household's only.
func (d *drawsShown) date(day int) string {
	if d.people {
		return newYear.AddDate(0, 0, day).Format("Monday, 2 January")
	}
	return newYear.AddDate(0, 0, day).Format("2 January")
}

// export is the year's draws as CSV.
func (d *drawsShown) export() ([]byte, error) {
	var b bytes.Buffer
	err := records.Write(&b, d.schedule.Year(d.seed, d.replicate), d.fixtures, newYear)
	return b.Bytes(), failed(err)
}

// firstWeek is the first seven days.
func (d *drawsShown) firstWeek() plots.Week {
	first := min(d.first, schedules.DaysPerYear-7)
	var names []string
	for _, f := range d.fixtures {
		names = append(names, f.Name)
	}
	var wishes []schedules.Wish
	year := d.schedule.Year(d.seed, d.replicate)
	for day := range 7 {
		wishes = year.Day(first+day, wishes)
	}
	return plots.Week{Fixtures: names, Wishes: wishes, First: first}
}

// week is a figure of the first seven days.
func (d *drawsShown) week() ([]byte, error) {
	figure, err := plots.NewWeek(plots.Set{
		System: d.units.System, Width: plots.TwoColumns,
		Scenario: d.scenario.Name, Version: version(), Seed: d.seed, Years: 1,
	}, d.firstWeek())
	if err != nil {
		return nil, fmt.Errorf("--figure: %w", err)
	}
	return drawn(figure, d.figure)
}
