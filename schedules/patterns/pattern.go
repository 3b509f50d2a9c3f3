// Package patterns runs the fixed daily draw patterns of regulations on the
// fixtures of a house: 10 CFR 430 Subpart B Appendix E (United States) and
// Commission Regulation (EU) No 814/2013 Annex III.
//
// The patterns were made to test water heaters and have no pipes in mind; which
// tap a draw belongs to is this package's choice. A regulation's recovery
// tests, tolerances and standby periods are not modelled.
package patterns

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"pipelag/schedules"
)

//go:embed cfr430.csv
var cfr430CSV []byte

//go:embed eu814.csv
var eu814CSV []byte

const (
	gallon = 3.785411784e-3 // US gallon [m³]
	day    = 86400.0        // [s]

	// The first draw of 10 CFR 430 comes at the start of the test, whatever the
	// hour. At six, its three bunches fall in the morning, at supper and at bedtime.
	firstDraw = 6 * 3600.0

	// Cold water and capacity by which the litres of EU 814/2013 are its kWh.
	euCold     = 10.0    // [°C]
	euCapacity = 4.186e6 // [J/(m³ K)]

	// The test's inlet is at 58 °F and its set point 125 °F (memory).
	usCold = (58 - 32) / 1.8  // [°C]
	usHot  = (125 - 32) / 1.8 // [°C]

	// A test waits until the water is useful; so does its schedule, nearly.
	patience = 600.0 // [s]
)

// draw is one line of a pattern.
type draw struct {
	time    float64 // of day [s]
	flow    float64 // [m³/s]
	volume  float64 // [m³]
	kind    schedules.Kind
	mixed   float64         // [°C]
	usable  float64         // [°C]; 0: the fixture's
	used    []schedules.Use // where such a draw is taken, best first
	pattern string
}

// Pattern is a schedule that is the same every day of every year.
type Pattern struct {
	name     string
	fixtures []schedules.Fixture
	wishes   []schedules.Wish // of one day
	cold     float64          // water its energy is counted from [°C]
}

// Name is the pattern's name.
func (p *Pattern) Name() string { return p.name }

// Cold is the temperature [°C] above which the pattern counts its energy: 10 °C in
// EU 814/2013, 58 °F in 10 CFR 430 (memory).
func (p *Pattern) Cold() float64 { return p.cold }

// Daily is a day's volume as drawn [m³] and the energy in it above Cold [J], by the
// heat capacity with which EU 814/2013 makes litres of its kilowatt-hours.
func (p *Pattern) Daily() (volume, energy float64) {
	for _, w := range p.wishes {
		v := w.Volume + w.Flow*w.Duration
		volume += v
		energy += v * euCapacity * (w.Mixed - p.cold)
	}
	return volume, energy
}

// american begins the names of the patterns of 10 CFR 430.
const american = "10 CFR 430 "

var all = append(cfr430(), eu814()...)

// Names lists the patterns in order of size, United States first.
func Names() []string {
	var names []string
	for _, d := range all {
		if !slices.Contains(names, d.pattern) {
			names = append(names, d.pattern)
		}
	}
	return names
}

// New lays the named pattern on a house's fixtures.
//
// 10 CFR 430 draws hot water as it comes: a Brief opening, all of it hot. Four
// gallons and more at a time go to a shower or bath, less at more than one
// gallon a minute to the kitchen, the rest to a lavatory.
//
// EU 814/2013 draws energy. Where it names a peak temperature the draw is a
// Filling to it, 55 °C in the kitchen, 40 °C in a bath; otherwise a Washing, usable from
// the useful temperature and mixed to it. The volume is the one that holds the energy
// above 10 °C. Half a kilowatt-hour and more goes to a shower, less at 40 °C to the
// kitchen, less at 25 °C to a lavatory.
//
// Where the house lacks the best fixture the next best is taken, in the end any.
// Fixtures of one use take turns. A fixture that passes less than the pattern's
// flow runs longer for the same volume; New returns an error when it would
// then still be running at its next draw.
func New(name string, fixtures []schedules.Fixture) (*Pattern, error) {
	if err := schedules.CheckFixtures(fixtures); err != nil {
		return nil, err
	}
	p := &Pattern{name: name, fixtures: slices.Clone(fixtures), cold: euCold}
	if strings.HasPrefix(name, american) {
		p.cold = usCold
	}
	var taken [schedules.Uses]int
	busy := make([]float64, len(fixtures))
	for _, d := range all {
		if d.pattern != name {
			continue
		}
		i := p.fixture(d.used, &taken)
		f := fixtures[i]
		w := schedules.Wish{
			Fixture: i, Use: f.Use, Kind: d.kind, Start: d.time,
			Flow: min(d.flow, f.Flow), Mixed: d.mixed, Usable: d.usable,
		}
		if w.Usable == 0 {
			w.Usable = f.Usable
		}
		length := d.volume / w.Flow
		switch d.kind {
		case schedules.Brief:
			w.Duration, w.HotShare = length, 1
		case schedules.Washing:
			w.Duration, w.Patience = length, patience
		default:
			w.Volume = d.volume
		}
		if w.Start < busy[i] {
			return nil, fmt.Errorf("%s: %s passes %.3g L/s and would still be running at its next draw at %s; it needs %.3g L/s, or another fixture beside it",
				name, f.Name, f.Flow*1000, clock(w.Start), d.flow*1000)
		}
		busy[i] = w.Start + length
		p.wishes = append(p.wishes, w)
	}
	if len(p.wishes) == 0 {
		return nil, fmt.Errorf("pattern %q is unknown; there are %s", name, strings.Join(Names(), ", "))
	}
	return p, nil
}

// fixture finds where a draw is taken and counts the turn.
func (p *Pattern) fixture(used []schedules.Use, taken *[schedules.Uses]int) int {
	for _, u := range append(slices.Clone(used), anyUse...) {
		var of []int
		for i, f := range p.fixtures {
			if f.Use == u {
				of = append(of, i)
			}
		}
		if len(of) > 0 {
			taken[u]++
			return of[(taken[u]-1)%len(of)]
		}
	}
	panic("a checked list of fixtures is not empty")
}

var anyUse = []schedules.Use{
	schedules.Kitchen, schedules.Lavatory, schedules.Shower, schedules.Bath, schedules.ClothesWasher, schedules.Dishwasher,
}

// Year is the pattern itself, whatever the seed and replicate.
func (p *Pattern) Year(uint64, int) schedules.Year { return p }

// Day appends the pattern's draws on day d.
func (p *Pattern) Day(d int, into []schedules.Wish) []schedules.Wish {
	for _, w := range p.wishes {
		w.Start += float64(d) * day
		into = append(into, w)
	}
	return into
}

func cfr430() []draw {
	var draws []draw
	for _, r := range read(cfr430CSV) {
		d := draw{
			pattern: american + r[0], time: firstDraw + timeOfDay(r[1]),
			volume: number(r[2]) * gallon, flow: number(r[3]) * gallon / 60,
			kind: schedules.Brief, mixed: usHot,
		}
		switch {
		case d.volume > 3.9*gallon:
			d.used = []schedules.Use{schedules.Shower, schedules.Bath}
		case d.flow > 1.1*gallon/60:
			d.used = []schedules.Use{schedules.Kitchen, schedules.Lavatory}
		default:
			d.used = []schedules.Use{schedules.Lavatory, schedules.Kitchen}
		}
		draws = append(draws, d)
	}
	return draws
}

func eu814() []draw {
	var draws []draw
	for _, r := range read(eu814CSV) {
		energy, useful := number(r[2]), number(r[4]) // [kWh], [°C]
		d := draw{
			pattern: "EU 814/2013 " + r[0], time: timeOfDay(r[1]),
			flow: number(r[3]) * 1e-3 / 60,
			kind: schedules.Washing, mixed: useful, usable: useful,
		}
		large := energy > 0.5
		if r[5] != "" {
			d.kind, d.mixed, d.usable = schedules.Filling, number(r[5]), number(r[5])
		}
		switch {
		case d.kind == schedules.Filling && d.mixed > 50:
			d.used = []schedules.Use{schedules.Kitchen, schedules.Lavatory}
		case d.kind == schedules.Filling && large:
			d.used = []schedules.Use{schedules.Bath, schedules.Shower}
		case large:
			d.used = []schedules.Use{schedules.Shower, schedules.Bath}
		case d.mixed > 30:
			d.used = []schedules.Use{schedules.Kitchen, schedules.Lavatory}
		default:
			d.used = []schedules.Use{schedules.Lavatory, schedules.Kitchen}
		}
		d.volume = energy * 3.6e6 / (euCapacity * (d.mixed - euCold))
		draws = append(draws, d)
	}
	return draws
}

// read parses an embedded table; one that does not parse is a bug.
func read(table []byte) [][]string {
	rows, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("draw pattern: %v", err))
	}
	return rows[1:]
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic(fmt.Sprintf("draw pattern: %v", err))
	}
	return v
}

// timeOfDay is the seconds of hours and minutes.
func timeOfDay(s string) float64 {
	hours, minutes, _ := strings.Cut(s, ":")
	return number(hours)*3600 + number(minutes)*60
}

func clock(seconds float64) string {
	return time.Unix(int64(seconds), 0).UTC().Format("15:04")
}
