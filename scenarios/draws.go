package scenarios

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"pipelag/schedules"
	"pipelag/schedules/household"
	"pipelag/schedules/patterns"
	"pipelag/schedules/records"
	"pipelag/sim"
	"pipelag/units"
)

// drawsSaid is whose habits draw the water.
type drawsSaid struct {
	record     said[string]
	pattern    said[string]
	total      said[string]
	daily      said[float64]
	population said[bool]
	season     said[bool]
	vacations  []said[vacationSaid]
}

var totals = []string{"rated", "benchmark", "unscaled"}

var drawsKeys = table[drawsSaid]{"the draws", func() []row[drawsSaid] {
	return []row[drawsSaid]{
		{"record", "a CSV file of recorded draws, beside the scenario's, instead of a household", false, text("draws.csv", func(d *drawsSaid) *said[string] { return &d.record })},
		{"pattern", "a regulation's fixed day instead of a household, every day the same", false, choice(patterns.Names(), func(d *drawsSaid) *said[string] { return &d.pattern })},
		{"total", "what the year's volume is scaled to: rated (ANSI/RESNET/ICC 301, if left out), benchmark (House Simulation Protocols), both by bedrooms, or unscaled, as many draws as published, whatever the household", false, choice(totals, func(d *drawsSaid) *said[string] { return &d.total })},
		{"daily", "what the house draws a day in the mean, to scale to: mixed at taps and hot into machines; by nothing else, but for its shares by use, which go by bedrooms", false, quantity(units.Volume, 0.001, 5, func(d *drawsSaid) *said[float64] { return &d.daily })},
		{"population", "true to make each replicate year another household; else the same typical one", false, yesNo(func(d *drawsSaid) *said[bool] { return &d.population })},
		{"season", "false to have people use as much in summer as in winter; else a little more while the mains are cold", false, yesNo(func(d *drawsSaid) *said[bool] { return &d.season })},
		{"vacations", "stretches without anybody at home", false, many(vacationKeys, 20, func(d *drawsSaid) *[]said[vacationSaid] { return &d.vacations })},
	}
}}

type vacationSaid struct {
	from said[int]
	days said[int]
}

var vacationKeys = table[vacationSaid]{"a vacation", func() []row[vacationSaid] {
	return []row[vacationSaid]{
		{"from", "its first day, such as Jul 10", true, day(func(v *vacationSaid) *said[int] { return &v.from })},
		{"days", "how many", true, count(1, schedules.DaysPerYear, func(v *vacationSaid) *said[int] { return &v.days })},
	}
}}

// largestRecord is the largest file of draws, or other file beside the scenario's, that
// is read [bytes]: a year of a draw a minute takes half of it.
const largestRecord = 64 << 20

// ReadRecord reads a file of recorded draws, or another that a scenario may name; one of
// more than 64 MB is refused.
func ReadRecord(path string) ([]byte, error) {
	data, err := firstBytes(path, largestRecord+1)
	if err == nil && len(data) > largestRecord {
		err = fmt.Errorf("%s is larger than %d MB", path, largestRecord>>20)
	}
	return data, err
}

// buildSchedule makes the household, the pattern or the record; it needs sound
// fixtures.
func (b *builder) buildSchedule() {
	draws := b.said.draws.value
	alone := draws.pattern
	if draws.record.at != nil {
		alone = draws.record
	}
	if alone.at != nil && len(b.said.draws.at.keys) > 1 {
		b.fault(alone.at, "a pattern or record beside other keys", "keep one of record, pattern and a household's habits")
		return
	}
	switch {
	case draws.record.at != nil:
		b.buildRecord(draws.record)
	case draws.pattern.at != nil:
		made, err := patterns.New(draws.pattern.value, b.scheduled())
		if err != nil {
			b.advise(draws.pattern.at, err, "choose another pattern")
			return
		}
		b.made.house.Schedule = made
	default:
		c, good := b.habits()
		if !good {
			return
		}
		made, err := household.New(c)
		if err != nil {
			at := b.said.draws.at
			if at == nil {
				at = b.said.people.at
			}
			b.advise(at, err, "change what it names")
			return
		}
		if c.Total != household.Stated {
			b.assumeUndrawn(made)
		}
		b.made.house.Schedule = made
	}
}

// buildRecord reads recorded draws; what is wrong in their file is noted with
// its place there.
func (b *builder) buildRecord(s said[string]) {
	data, path, ok := b.companion(s, "record")
	if !ok {
		return
	}
	made, err := records.Read(bytes.NewReader(data), path, b.scheduled())
	if err == nil {
		for _, w := range made.Warnings() {
			w = filepath.Base(path) + strings.TrimPrefix(w, path) // a result is the same from wherever it was read
			b.made.warnings = append(b.made.warnings, sim.Caution{Text: w})
		}
		b.made.house.Schedule = made
		return
	}
	for _, text := range strings.Split(err.Error(), "\n") {
		place := Mistake{File: path, Line: 1, Column: 1}
		rest := strings.TrimPrefix(text, path+":")
		if n, _ := fmt.Sscanf(rest, "%d:%d:", &place.Line, &place.Column); n == 2 {
			rest = strings.SplitN(rest, ":", 3)[2]
		}
		b.elsewhere(place, strings.TrimSpace(rest), "correct the record")
	}
}

// companion reads a file that the scenario names, and gives its path; one that
// cannot be read is noted.
func (b *builder) companion(s said[string], what string) (data []byte, path string, ok bool) {
	if b.folder == "" {
		b.fault(s.at, "a "+what+" in a scenario that is not a file", "save the scenario beside the "+what+" and name its file")
		return nil, "", false
	}
	path = s.value
	if !filepath.IsAbs(path) {
		path = filepath.Join(b.folder, path)
	}
	data, err := ReadRecord(path)
	if err != nil {
		b.fault(s.at, err.Error(), "name a CSV file beside the scenario")
		return nil, path, false
	}
	b.sum.Write(data)
	return data, path, true
}

// habits is the household that the file describes.
func (b *builder) habits() (household.Config, bool) {
	draws := b.said.draws.value
	c := household.Config{
		People: b.said.people.value, Bedrooms: b.said.bedrooms.value,
		Population: draws.population.value, Fixtures: b.scheduled(),
	}
	switch total, daily := draws.total, draws.daily; {
	case total.at != nil && daily.at != nil:
		b.fault(daily.at, "a daily volume beside a total", "keep one of daily and total")
		return c, false
	case daily.at != nil:
		c.Total, c.Daily = household.Stated, daily.value
	case total.value == "benchmark":
		c.Total = household.Benchmark
	case total.value == "unscaled":
		c.Total = household.Unscaled
	case total.at == nil:
		b.assume("draws.total", "rated", "daily volumes of ANSI/RESNET/ICC 301, read as quoted; by bedrooms, not by people where these are stated, and the same at any flow of the fixtures, for longer at less")
	}
	if byBedrooms := c.Total == household.Rated || c.Total == household.Benchmark; byBedrooms && b.said.bedrooms.at == nil {
		b.assume("bedrooms", "one fewer than people", "ANSI/RESNET/ICC 301 rates a house of one person more than bedrooms, from memory")
	}
	if draws.season.at == nil {
		b.assume("draws.season", "true: mixed use higher by 0.9 % for each K that the mains are below their mean", "derived from the monthly factors of UK SAP, from memory")
	}
	if draws.season.at == nil || draws.season.value {
		c.Mains = b.made.house.Climate.Mains
	}
	for _, v := range draws.vacations {
		c.Vacations = append(c.Vacations, household.Vacation{Start: v.value.from.value, Days: v.value.days.value})
	}
	return c, true
}

// Undrawn is the path of the assumption that names uses without a fixture.
const Undrawn = "fixtures"

// assumeUndrawn names the uses without a fixture, whose part of the volume nobody draws.
func (b *builder) assumeUndrawn(made *household.Household) {
	var served [schedules.Uses]bool
	for _, f := range b.scheduled() {
		served[f.Use] = true
	}
	var names []string
	undrawn, all := 0.0, 0.0
	for u, is := range served {
		use := schedules.Use(u)
		all += made.Daily(use)
		if !is {
			names, undrawn = append(names, use.String()), undrawn+made.Daily(use)
		}
	}
	if names != nil {
		b.assume(Undrawn, "none for "+strings.Join(names, ", "), fmt.Sprintf("their %.0f %% of the volume of draws.total are left out and not drawn elsewhere; draws.daily states what the fixtures here draw", 100*undrawn/all))
	}
}

// scheduled are the fixtures as their users know them.
func (b *builder) scheduled() []schedules.Fixture {
	var all []schedules.Fixture
	for _, f := range b.made.house.Fixtures {
		all = append(all, schedules.Fixture{Name: f.Name, Use: f.Use, Flow: f.Flow, Usable: f.Usable})
	}
	return all
}
