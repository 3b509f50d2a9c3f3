package main

import (
	"math"

	"pipelag/schedules"
)

// drawsDocument is the schedule for other programs.
type drawsDocument struct {
	Version    string           `json:"version"`
	Scenario   documentScenario `json:"scenario"`
	Origin     string           `json:"origin"`
	Seed       uint64           `json:"seed"`
	Replicate  int              `json:"replicate"`
	Warnings   []string         `json:"warnings"`
	Days       []dayDocument    `json:"days"`
	Volumes    []volumeDocument `json:"volumes"`
	Statistics *statsDocument   `json:"statistics,omitempty"`
}

type dayDocument struct {
	Day   int            `json:"day"` // of the year, from 1
	Draws []drawDocument `json:"draws"`
}

type drawDocument struct {
	Start       float64  `json:"start_s"` // since midnight
	Fixture     string   `json:"fixture"`
	Use         string   `json:"use"`
	Kind        string   `json:"kind"`
	Flow        float64  `json:"flow_L_per_min"`
	Duration    float64  `json:"duration_s"`
	Volume      float64  `json:"volume_L"`
	Temperature *float64 `json:"temperature_C,omitempty"`
}

type volumeDocument struct {
	Use    string   `json:"use"`
	Draws  float64  `json:"draws_per_day"`
	Volume float64  `json:"volume_L_per_day"`
	Target *float64 `json:"target_L_per_day,omitempty"`
}

type statsDocument struct {
	Years int             `json:"years"`
	Days  int             `json:"days"`
	Rows  []rowDocument   `json:"rows"`
	Hours []shapeDocument `json:"hours"`
}

type rowDocument struct {
	Subject   string   `json:"subject"`
	Quantity  string   `json:"quantity"`
	Unit      string   `json:"unit"`
	Value     float64  `json:"value"`
	Error     *float64 `json:"standard_error,omitempty"`
	Published *float64 `json:"published,omitempty"`
	Source    string   `json:"source,omitempty"`
	Status    string   `json:"status,omitempty"`
	Note      string   `json:"note,omitempty"`
}

type shapeDocument struct {
	Subject   string      `json:"subject"`
	Starts    int         `json:"starts"`
	Share     [24]float64 `json:"share"`
	Published [24]float64 `json:"published"`
	P         *float64    `json:"p,omitempty"`
	YearP     *float64    `json:"year_p,omitempty"` // of the one year shown
	Source    string      `json:"source"`
	Status    string      `json:"status"`
}

func (d *drawsShown) document() *drawsDocument {
	doc := &drawsDocument{
		Version: version(), Origin: d.origin, Seed: d.seed, Replicate: d.replicate,
		Warnings: append([]string{}, d.warnings...), Days: []dayDocument{}, Volumes: []volumeDocument{},
	}
	doc.Scenario.Name, doc.Scenario.SHA256 = d.scenario.Name, d.scenario.SHA256
	for after := range d.days {
		doc.Days = append(doc.Days, d.dayDocument(after))
	}
	target := d.target()
	for u, use := range d.year.Uses {
		v := volumeDocument{Use: schedules.Use(u).String(), Draws: use.DrawsPerDay.Value, Volume: use.Volume.Value * 1000}
		if target != nil && d.serves(schedules.Use(u)) {
			litres := target.Daily(schedules.Use(u)) * 1000
			v.Target = &litres
		}
		doc.Volumes = append(doc.Volumes, v)
	}
	if d.many != nil {
		doc.Statistics = d.statsDocument()
	}
	return doc
}

func (d *drawsShown) dayDocument(after int) dayDocument {
	day, wishes := d.day(after)
	found := dayDocument{day + 1, []drawDocument{}}
	for _, w := range wishes {
		volume, duration := amounts(w)
		draw := drawDocument{
			Start:   math.Round((w.Start-float64(day)*86400)*1e6) / 1e6,
			Fixture: d.fixtures[w.Fixture].Name, Use: w.Use.String(), Kind: w.Kind.String(),
			Flow: w.Flow * 60000, Duration: duration, Volume: volume * 1000,
		}
		if w.Kind != schedules.Appliance {
			draw.Temperature = &w.Mixed
		}
		found.Draws = append(found.Draws, draw)
	}
	return found
}

func (d *drawsShown) statsDocument() *statsDocument {
	doc := &statsDocument{Years: d.many.Years, Days: d.many.Days}
	for _, r := range d.many.Rows(d.target()) {
		row := rowDocument{
			Subject: r.Subject, Quantity: r.Quantity, Unit: r.Unit, Value: r.Value,
			Source: r.Title, Status: r.Status, Note: r.Note,
		}
		if d.many.Years > 1 {
			row.Error = known(r.Error)
		}
		if r.Beside {
			row.Published = &r.Published
		}
		doc.Rows = append(doc.Rows, row)
	}
	for _, s := range d.many.Shapes {
		shape := shapeDocument{
			Subject: s.Subject, Starts: s.Starts, Share: s.Hours, Published: s.Published.Hours, P: known(s.P),
			Source: s.Published.Title, Status: s.Published.Status,
		}
		for _, one := range d.year.Shapes {
			if d.people && one.Subject == s.Subject {
				shape.YearP = known(one.P)
			}
		}
		doc.Hours = append(doc.Hours, shape)
	}
	return doc
}

// known is a figure, or nil for one that is not: JSON has no NaN.
func known(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	return &x
}
