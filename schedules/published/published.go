// Package published holds what has been published about household draws of
// water: how much by end use, how many and how long, and at what hours. The
// tables keep their own units, source and status; what this package returns
// is SI.
package published

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"

	"pipelag/schedules"
)

const (
	gallon = 3.785411784e-3 // US gallon [m³]
	minute = 60.0           // [s]
)

//go:embed events.csv
var eventsCSV []byte

//go:embed hours.csv
var hoursCSV []byte

//go:embed volumes.csv
var volumesCSV []byte

// Event is what is published about the draws of one end use.
//
// They were metered as a whole: a draw's duration and volume include what ran
// while somebody waited for hot water.
type Event struct {
	Duration, DurationSD float64 // [s]
	Flow, FlowSD         float64 // [m³/s]
	Volume               float64 // hot and cold together [m³]
	PerDay               float64 // in a house of three bedrooms [1/d]
	PerCluster           float64 // draws that follow one another closely [-]
	Gap                  float64 // mean between them [s]
	Source
}

// Source says where a value comes from, and whether it was read there or is
// from memory.
type Source struct{ Title, Status string }

// Profile is the share of a day's draws in each of its hours; it sums to one.
type Profile struct {
	Hours [24]float64
	Source
}

// Line is a daily volume that grows with the number of bedrooms.
type Line struct {
	Intercept, PerBedroom float64 // [m³/d]
	Source
}

// At is the volume [m³/d] in a house of so many bedrooms.
func (l Line) At(bedrooms float64) float64 { return l.Intercept + l.PerBedroom*bedrooms }

// Publication names a set of daily volumes.
type Publication string

// The publications.
const (
	// Rated is ANSI/RESNET/ICC 301: water used, waiting apart.
	Rated Publication = "rated"
	// Benchmark is the House Simulation Protocols: water used and run while
	// waiting together.
	Benchmark Publication = "benchmark"
)

var (
	events  = read(eventsCSV)
	hours   = read(hoursCSV)
	volumes = read(volumesCSV)
)

// group is the end use as the publications name it: they do not tell kitchen
// from lavatory.
func group(u schedules.Use) string {
	return [schedules.Uses]string{"shower", "bath", "sinks", "sinks", "dishwasher", "clothes_washer"}[u]
}

// Events is what is published about the draws of an end use; kitchen and
// lavatory share the row of the sinks.
func Events(u schedules.Use) Event {
	r := find(events, group(u))
	return Event{
		Duration: r.number(1) * minute, DurationSD: r.number(2) * minute,
		Flow: r.number(3) * gallon / minute, FlowSD: r.number(4) * gallon / minute,
		Volume: r.number(5) * gallon, PerDay: r.number(6),
		PerCluster: r.number(7), Gap: r.number(8) * minute,
		Source: r.source(9),
	}
}

// Hours is the published shape of an end use's day.
func Hours(u schedules.Use) Profile {
	r := find(hours, group(u))
	p := Profile{Source: r.source(25)}
	sum := 0.0
	for h := range p.Hours {
		p.Hours[h] = r.number(1 + h)
		sum += p.Hours[h]
	}
	for h := range p.Hours {
		p.Hours[h] /= sum // some tables are rounded to a sum of 0.999 or 1.001
	}
	return p
}

// Volumes is the daily volume of an end use. Rated gives showers, baths and
// sinks as one; they are parted here as Benchmark parts them. Kitchen and
// lavatory both return the sinks together.
func Volumes(p Publication, u schedules.Use) Line {
	if p == Benchmark || u == schedules.Dishwasher || u == schedules.ClothesWasher {
		return line(p, group(u))
	}
	all := line(Rated, "fixtures")
	const bedrooms = 3 // the benchmark's house; the shares hardly change with it
	sum := line(Benchmark, "shower").At(bedrooms) + line(Benchmark, "bath").At(bedrooms) + line(Benchmark, "sinks").At(bedrooms)
	share := line(Benchmark, group(u)).At(bedrooms) / sum
	all.Intercept *= share
	all.PerBedroom *= share
	all.Title += ", parted by end use as in the House Simulation Protocols"
	return all
}

func line(p Publication, enduse string) Line {
	r := find(volumes, string(p)+" "+enduse)
	return Line{r.number(2) * gallon, r.number(3) * gallon, r.source(4)}
}

// row is one line of an embedded table.
type row []string

func (r row) number(column int) float64 {
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		panic(fmt.Sprintf("published table: %v", err))
	}
	return v
}

func (r row) source(column int) Source { return Source{r[column], r[column+1]} }

// read parses an embedded table; one that does not parse is a bug.
func read(table []byte) []row {
	records, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("published table: %v", err))
	}
	rows := make([]row, 0, len(records)-1)
	for _, r := range records[1:] {
		rows = append(rows, r)
	}
	return rows
}

// find is the row that begins with key, a word or two.
func find(rows []row, key string) row {
	for _, r := range rows {
		if r[0] == key || r[0]+" "+r[1] == key {
			return r
		}
	}
	panic("published table: no row " + key)
}
