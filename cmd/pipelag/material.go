package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"pipelag/plots"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/units"
)

// material is what figures are drawn from, read back from files.
type material struct {
	plots.Material
	folder string // of the result, where its scenario lies; empty without one
	sha256 string // of the scenario that all is of
	from   string // the first file
}

// heading is what every result says of itself.
type heading struct {
	Version  string `json:"version"`
	Scenario struct {
		Name   string `json:"name"`
		SHA256 string `json:"sha256"`
	} `json:"scenario"`

	// One of these tells what it is a result of.
	Differences json.RawMessage `json:"differences"`
	Openings    json.RawMessage `json:"openings"`
	Temperature json.RawMessage `json:"water_C"`
}

// readMaterial reads results of one house. They make one set, whose layouts take
// their colours in the order of the first result, or of the first trace's house.
func readMaterial(paths []string, set *plots.Set) (*material, error) {
	m := new(material)
	for _, path := range paths {
		if err := m.read(path, set); err != nil {
			return nil, err
		}
	}
	if m.Result != nil {
		set.Layouts = append(resultLayouts(m.Result), set.Layouts...)
		set.Seed, set.Years, set.Currency = m.Result.Seed, m.Result.Years, m.Result.Currency
	}
	var once []string
	for _, name := range set.Layouts {
		if !slices.Contains(once, name) {
			once = append(once, name)
		}
	}
	set.Layouts = once
	return m, nil
}

func resultLayouts(r *sim.Result) []string {
	var names []string
	for i := range r.Layouts {
		names = append(names, r.Layouts[i].Name)
	}
	return names
}

// read adds what one path holds.
func (m *material) read(path string, set *plots.Set) error {
	if about, err := os.Stat(path); err == nil && about.IsDir() {
		path = filepath.Join(path, "summary.json")
	}
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w; give a folder that run --out wrote, its summary.json, or what trace --json printed", err)
	}
	if err != nil {
		return err
	}
	var h heading
	// What is torn is told below, with its place; what is of another version need
	// not hold what this one looks for.
	if err := json.Unmarshal(text, &h); err == nil {
		if err := h.check(path); err != nil {
			return err
		}
	}
	switch {
	case m.sha256 == "":
		m.sha256, m.from = h.Scenario.SHA256, path
	case m.sha256 != h.Scenario.SHA256 && h.Version != "":
		return fmt.Errorf("%s is of another scenario than %s; a set of figures is of one", path, m.from)
	}
	if m.Result != nil && h.Differences != nil || m.Day != nil && h.Temperature != nil {
		return fmt.Errorf("%s is one more of its kind; a set of figures is of one run and one day", path)
	}
	set.Scenario, set.Version = h.Scenario.Name, h.Version
	if err := m.add(text, &h, path, set); err != nil {
		return fmt.Errorf("%s is torn: %w", path, err)
	}
	return nil
}

// check refuses what is no result, or one of another version.
func (h *heading) check(path string) error {
	if h.Version == "" || h.Differences == nil && h.Openings == nil && h.Temperature == nil {
		return fmt.Errorf("%s is no result: it is neither what run --out writes nor what trace --json prints", path)
	}
	if of, _, _ := strings.Cut(h.Version, "+"); of != release {
		return fmt.Errorf("%s is a result of pipelag %s, and this is %s: draw it with that one, or run the scenario again", path, h.Version, version())
	}
	return nil
}

// add decodes a result of the kind that its heading tells.
func (m *material) add(text []byte, h *heading, path string, set *plots.Set) error {
	switch {
	case h.Openings != nil:
		d := new(traceDocument)
		if err := sim.ReadWhole(text, d); err != nil {
			return err
		}
		m.Traces = append(m.Traces, d.Trace)
		set.Layouts = append(set.Layouts, d.Layouts...)
	case h.Temperature != nil:
		d := new(watchDocument)
		if err := sim.ReadWhole(text, d); err != nil {
			return err
		}
		m.Day = d.Watch
		set.Layouts = append(set.Layouts, d.Layouts...)
	default:
		r, err := sim.ReadResult(text)
		if err != nil {
			return err
		}
		m.Result, m.folder = r, filepath.Dir(path)
	}
	return nil
}

// How long tubes are shown cooling, and how often they are looked at [s].
const (
	coolingShown = 2 * 3600
	coolingEvery = 60
)

// addScenario adds what the scenario beside the result gives, if there is a
// result: a week of its draws, and how its pipes cool.
func (m *material) addScenario(set *plots.Set) error {
	if m.Result == nil {
		return nil
	}
	path := filepath.Join(m.folder, "scenario.yaml")
	s, err := scenarios.Load(path)
	if err != nil {
		return err
	}
	if s.SHA256 != m.sha256 {
		return fmt.Errorf("%s is not the scenario that was run: its sha256 is %.12s, the result's %.12s", path, s.SHA256, m.sha256)
	}
	shown, err := newDrawsShown(s, &drawsOptions{seed: m.Result.Seed})
	if err != nil {
		return err
	}
	week := shown.firstWeek()
	m.Week = &week
	house := s.House()
	standing, err := sim.NewStanding(&house, coolingShown, coolingEvery)
	if err != nil {
		return failed(err)
	}
	for _, p := range standing {
		dressed := "bare"
		if p.Sleeve.Thickness > 0 {
			dressed = fmt.Sprintf("%.2g %s %s", set.System.Convert(p.Sleeve.Thickness, units.Thickness), set.System.Unit(units.Thickness), p.Sleeve.Material.Name)
		}
		name := fmt.Sprintf("%s %s, %s, %s", p.Tube.Kind, p.Tube.Size, dressed, p.Zone)
		m.Tubes = append(m.Tubes, plots.Cooling{Name: name, Time: p.Time, Temperature: p.Temperature})
	}
	return nil
}
