package statistics

import (
	"fmt"

	"pipelag/schedules"
	"pipelag/schedules/published"
	"pipelag/units"
)

// Row is one figure as it may be printed.
type Row struct {
	Subject  string // an end use, or "all draws"
	Quantity string
	Unit     string
	Value    float64
	Error    float64 // standard error over years; 0 when not estimated

	Beside    bool // whether there is a published value
	Published float64
	published.Source
	Note string // why the two may differ
}

// Target gives the daily volume [m³/d] that each use is meant to have.
type Target interface {
	Daily(schedules.Use) float64
}

const (
	meteredNote  = "published figure includes water run while waiting"
	benchmarkFor = "published for three bedrooms"
	targetNote   = "as if every use had a fixture and nobody went away"
	gapNote      = "one person's total water, cold taps included; how a trace is split into draws moves the data's shares by up to 0.14"
	shortNote    = "one person's total water: many openings of the cold tap, which are short; the published mean at sinks is 37 s"
	smallNote    = "one person's total water through taps of 2 L/min; published sinks run at 4.3 L/min, and a house's fixtures may cap that"
	daysNote     = "one person, total water; a house of more people evens out its days"
)

// Rows lists the statistics with what is published. Target may be nil.
func (s *Statistics) Rows(target Target) []Row {
	var rows []Row
	for u, use := range s.Uses {
		if use.DrawsPerDay.Value == 0 {
			continue
		}
		name := schedules.Use(u).String()
		e := published.Events(schedules.Use(u))
		sinks := schedules.Use(u) == schedules.Kitchen || schedules.Use(u) == schedules.Lavatory
		beside := func(quantity, unit string, value, figure float64, note string) {
			rows = append(rows, Row{Subject: name, Quantity: quantity, Unit: unit, Value: value, Beside: true, Published: figure, Source: e.Source, Note: note})
		}
		if sinks {
			rows = append(rows, Row{Subject: name, Quantity: "draws", Unit: "1/d", Value: use.DrawsPerDay.Value, Error: use.DrawsPerDay.Error})
		} else {
			beside("draws", "1/d", use.DrawsPerDay.Value, e.PerDay, benchmarkFor)
			rows[len(rows)-1].Error = use.DrawsPerDay.Error
		}
		volume := Row{Subject: name, Quantity: "volume used", Unit: "L/d", Value: use.Volume.Value * 1000, Error: use.Volume.Error * 1000}
		if target != nil {
			volume.Beside, volume.Published = true, target.Daily(schedules.Use(u))*1000
			volume.Source = published.Source{Title: "the total chosen for the household", Status: "derived"}
			volume.Note = targetNote
		}
		rows = append(rows, volume)
		machine := schedules.Use(u) == schedules.Dishwasher || schedules.Use(u) == schedules.ClothesWasher
		if machine {
			continue // a fill's published duration is of hot and cold together
		}
		note := meteredNote
		if sinks {
			note += ", kitchen and lavatory together"
		}
		beside("duration, mean", "s", use.Duration, e.Duration, note)
		beside("duration, standard deviation", "s", use.DurationSD, e.DurationSD, note)
		beside("flow, mean", "L/s", use.Flow*1000, e.Flow*1000, "the house's fixtures cap it")
		beside("flow, standard deviation", "L/s", use.FlowSD*1000, e.FlowSD*1000, "published spread is that of many houses")
	}
	if s.DrawsPerDay.Value == 0 {
		return rows
	}
	all := func(quantity, unit string, value, figure float64, source published.Source, note string) {
		rows = append(rows, Row{Subject: "all draws", Quantity: quantity, Unit: unit, Value: value, Beside: true, Published: figure, Source: source, Note: note})
	}
	rows = append(rows,
		Row{Subject: "all draws", Quantity: "draws", Unit: "1/d", Value: s.DrawsPerDay.Value, Error: s.DrawsPerDay.Error},
		Row{Subject: "all draws", Quantity: "volume used", Unit: "L/d", Value: s.Volume.Value * 1000, Error: s.Volume.Error * 1000},
		Row{Subject: "all draws", Quantity: "volume of a day, standard deviation", Unit: "L", Value: s.VolumeSD * 1000})
	for i, p := range published.Gaps() {
		all(fmt.Sprintf("gaps to %g min", p.Limit/60), "share", s.Gaps[i], p.Share, p.Source, gapNote)
	}
	for i, p := range published.ShortDraws() {
		all(fmt.Sprintf("draws to %g s", p.Limit), "share", s.ShortDraws[i], p.Share, p.Source, shortNote)
	}
	for i, p := range published.SmallDraws() {
		all("draws below "+units.Both(p.Limit, units.Volume), "share", s.SmallDraws[i], p.Share, p.Source, smallNote)
	}
	d, k := published.Dispersion(), published.Skewness()
	all("dispersion of draws a day", "", s.Dispersion, d.Share, d.Source, daysNote)
	all("skewness of daily volume", "", s.Skewness, k.Share, k.Source, daysNote)
	return rows
}
