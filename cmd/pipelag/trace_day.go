package main

import (
	"bytes"
	"fmt"
	"sort"
	"strconv"

	"pipelag/plots"
	"pipelag/plots/report"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/units"
)

// watched is a day along the way to a tap.
type watched struct {
	source
	*sim.Watch
}

// lookEvery is the time between two looks at a watched day [s]: shorter than
// most draws, and the least that a figure two columns wide shows.
const lookEvery = 60

func newWatched(s *scenarios.Scenario, h *sim.House, o *traceOptions) (*watched, error) {
	options := sim.WatchOptions{
		Seed: o.seed, Replicate: o.replicate, Day: o.day - 1, Every: lookEvery,
		NoDispersion: o.noDispersion,
	}
	var err error
	if options.Layout, err = oneLayout(h.Layouts, o.layout); err != nil {
		return nil, err
	}
	if options.Fixture, err = oneFixture(h.Fixtures, o.fixture); err != nil {
		return nil, err
	}
	w := &watched{source: source{o, s, h}}
	if w.Watch, err = sim.NewWatch(h, options); err != nil {
		return nil, failed(err)
	}
	return w, nil
}

// watchDocument is a watched day for other programs, in SI units.
type watchDocument struct {
	Version  string           `json:"version"`
	Scenario documentScenario `json:"scenario"`
	Layouts  []string         `json:"layouts"` // all of the scenario
	*sim.Watch
}

func (w *watched) document() any {
	d := &watchDocument{Version: version(), Layouts: layoutNames(w.house), Watch: w.Watch}
	d.Scenario.Name, d.Scenario.SHA256 = w.scenario.Name, w.scenario.SHA256
	return d
}

func (w *watched) figure() ([]byte, error) {
	set := w.set()
	set.Width = plots.TwoColumns
	figure, err := plots.NewDay(set, w.Watch)
	if err != nil {
		return nil, failed(err)
	}
	return drawn(figure, w.source.traceOptions.figure)
}

// page is the day as text: the water along the way, hour by hour.
func (w *watched) page() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s, %s: %s on day %d of the year\n", w.scenario.Name, w.Layout, w.Fixture, w.Day)
	for _, sentence := range w.said() {
		writeNote(&b, "", sentence)
	}
	const places = 8
	s := &sheet{title: fmt.Sprintf("Water along the way, %s; columns are %s from the heater", w.units.Unit(units.Temperature), w.units.Unit(units.Length))}
	last := len(w.Distance) - 1
	columns := min(places, last+1)
	for k := range columns {
		s.heads = append(s.heads, w.units.Number(w.Distance[k*last/max(columns-1, 1)], units.Length))
	}
	for i, t := range w.Time {
		if i%(secondsPerHour/lookEvery) != 0 {
			continue
		}
		var cells []cell
		for k := range columns {
			cells = append(cells, cell{w.units.Number(w.Temperature[i][k*last/max(columns-1, 1)], units.Temperature), ""})
		}
		s.add(fmt.Sprintf("  %2.0f:00", t/secondsPerHour), cells)
	}
	s.write(&b)
	return b.Bytes()
}

// said says in two sentences what the day was like at the tap.
func (w *watched) said() []string {
	tap := len(w.Distance) - 1
	warm, usable := 0, 0
	for _, at := range w.Draws {
		// The last look before the draw began.
		i := sort.SearchFloat64s(w.Time, at) - 1
		if i >= 0 && w.Temperature[i][tap] >= w.Usable {
			warm++
		}
	}
	for _, row := range w.Temperature {
		if row[tap] >= w.Usable {
			usable++
		}
	}
	drawn := "Nobody opened the tap"
	if n := len(w.Draws); n > 0 {
		drawn = fmt.Sprintf("Usable water stood at the tap when %d of its %s began", warm, counted(n, "draw"))
	}
	return []string{
		fmt.Sprintf("%s; the water there was usable for %.1f %% of the day; %s at other taps brought water part of its way.",
			drawn, 100*float64(usable)/float64(len(w.Temperature)), counted(len(w.Others), "draw")),
		fmt.Sprintf("It is one day of year %d of seed %d and stands for no other: means and their intervals are what pipelag run gives.", w.Replicate+1, w.Seed),
	}
}

// report is the day as a page that opens anywhere.
func (w *watched) report() ([]byte, error) {
	figure, err := plots.NewDay(w.set(), w.Watch)
	if err != nil {
		return nil, failed(err)
	}
	return written(&report.Report{
		Title: fmt.Sprintf("%s: a day at %s, %s", w.scenario.Name, w.Fixture, w.Layout),
		Asked: []report.Item{
			{Name: "House", Text: w.scenario.Name},
			{Name: "Layout", Text: w.Layout},
			{Name: "Tap", Text: w.Fixture},
			{Name: "Day", Text: fmt.Sprintf("%d of the year, year %d of the seed, after all days before it", w.Day, w.Replicate+1)},
			{Name: "Usable", Text: "from " + w.units.Format(w.Usable, units.Temperature)},
			{Name: "Heater", Text: "set to " + w.units.Format(w.Setpoint, units.Temperature)},
		},
		Answer:   w.said(),
		Figures:  []report.Figure{{Title: "Along the way, through the day", Figure: figure}},
		Cautions: w.cautionsOf(w.Layout),
		Assumed:  w.assumedOf(w.Layout),
		Origin:   w.origin(strconv.FormatUint(w.Seed, 10)),
	})
}
