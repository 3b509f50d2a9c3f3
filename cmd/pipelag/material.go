package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"pipelag/plots"
	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies/store"
	"pipelag/units"
)

// material is what figures are drawn from, read back from files of one house.
type material struct {
	plots.Material
	heading
	from    string   // the first file
	folder  string   // of the result, where its scenario lies; empty without one
	layouts []string // of the houses of traces
	off     []string // layouts of a takeoff
	study   *studyDocument
	runs    string // the study's folder, where its runs are; empty if its summary was given alone
	limit   *targetDocument

	unplanned []string // layouts of the takeoff that have no plan, and why
}

// The figures that a takeoff and a study give.
const (
	planKind        = "plan"
	sensitivityKind = "sensitivity"
	targetKind      = "target"
)

const whatToGive = "give a folder that run, study or target --out wrote and finished, its summary.json or target.json, or what trace --json or takeoff --json printed"

// heading is what every result says of itself.
type heading struct {
	Version  string           `json:"version"`
	Scenario documentScenario `json:"scenario"`
	Study    *documentStudy   `json:"study"` // of what a study gave, in place of a scenario

	// One of these tells what it is a result of.
	Differences json.RawMessage `json:"differences"`
	Openings    json.RawMessage `json:"openings"`
	Temperature json.RawMessage `json:"water_C"`
	Code        json.RawMessage `json:"code"`
	Effects     json.RawMessage `json:"sensitivity"`
	Curves      json.RawMessage `json:"curves"`
}

// known tells whether it is a result of any kind.
func (h *heading) known() bool {
	study := h.Study != nil && (h.Effects != nil || h.Curves != nil)
	return h.Version != "" && (study || h.Differences != nil || h.Openings != nil || h.Temperature != nil || h.Code != nil)
}

// made names what it is a result of.
func (h *heading) made() string {
	if h.Study != nil {
		return "study"
	}
	return "scenario"
}

// of is the hash of the house or the study that it is a result of.
func (h *heading) of() string {
	if h.Study != nil {
		return h.Study.SHA256
	}
	return h.Scenario.SHA256
}

func readMaterial(paths []string) (*material, error) {
	m := new(material)
	for _, path := range paths {
		if err := m.read(path); err != nil {
			return nil, err
		}
	}
	return m, nil
}

// set is the set of all figures, dressed as the one given. Layouts take their
// colours in the order of the result, or of the house of the first trace, or of
// the takeoff.
func (m *material) set(dress plots.Set) plots.Set {
	set := plots.Set{Scenario: m.Scenario.Name, Version: m.Version}
	switch {
	case m.Result != nil:
		set = plots.NewSet(m.Result, dress.System, dress.Width)
	case m.study != nil:
		set = m.study.set()
	case m.limit != nil:
		set = m.limit.set()
	}
	set.System, set.Width, set.Opposite = dress.System, dress.Width, dress.Opposite
	for _, name := range slices.Concat(m.layouts, m.off) {
		if !slices.Contains(set.Layouts, name) {
			set.Layouts = append(set.Layouts, name)
		}
	}
	return set
}

// read adds what one path holds.
func (m *material) read(path string) error {
	if about, err := os.Stat(path); err == nil && about.IsDir() {
		limit := filepath.Join(path, targetName)
		if _, err := os.Stat(limit); err == nil {
			path = limit
		} else {
			path = filepath.Join(path, summaryFile)
		}
	}
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w; %s", err, whatToGive)
	}
	if err != nil {
		return err
	}
	if !bytes.HasPrefix(bytes.TrimSpace(text), []byte("{")) {
		return noResult(path)
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
	case m.from == "":
		m.heading, m.from = h, path
	case (m.Study == nil) != (h.Study == nil) && h.Version != "":
		return fmt.Errorf("of %s and %s one is of a study and one is not; a set of figures is of a study or of a house", path, m.from)
	case m.of() != h.of() && h.Version != "":
		return fmt.Errorf("%s is of another %s than %s; a set of figures is of one", path, h.made(), m.from)
	case m.study != nil && h.Effects != nil || m.limit != nil && h.Curves != nil:
		return fmt.Errorf("%s is one more of its kind; a set of figures is of one study and one limit", path)
	case m.Result != nil && h.Differences != nil || m.Day != nil && h.Temperature != nil || m.off != nil && h.Code != nil:
		return fmt.Errorf("%s is one more of its kind; a set of figures is of one run, one day and one takeoff", path)
	}
	if h.Effects != nil {
		if m.runs, err = runsBeside(path); err != nil {
			return err
		}
	}
	err = m.add(text, &h, path)
	if errors.Is(err, errNoScale) {
		return fmt.Errorf("%s: %w", path, err)
	}
	if err != nil {
		return fmt.Errorf("%s is torn: %w", path, err)
	}
	return nil
}

// runsBeside is the folder of a study's summary if its runs are there too, made from
// the texts that are kept with them; else nothing.
func runsBeside(summary string) (string, error) {
	folder := filepath.Dir(summary)
	if _, err := os.Stat(filepath.Join(folder, manifestFile)); errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	f, err := store.Read(folder)
	if err != nil {
		return "", err
	}
	return folder, unchanged(f)
}

func noResult(path string) error {
	return fmt.Errorf("%s is no result: it is neither what run, study or target --out writes nor what trace --json or takeoff --json prints", path)
}

// check refuses what is no result, or one of another version.
func (h *heading) check(path string) error {
	if !h.known() {
		return noResult(path)
	}
	if !ofRelease(h.Version) {
		return fmt.Errorf("%s is a result of pipelag %s, and this is %s: draw it with that one, or run the scenario again", path, h.Version, version())
	}
	return nil
}

// add decodes a result of the kind that its heading tells.
func (m *material) add(text []byte, h *heading, path string) error {
	switch {
	case h.Openings != nil:
		d := new(traceDocument)
		if err := sim.ReadWhole(text, d); err != nil {
			return err
		}
		m.Traces = append(m.Traces, d.Trace)
		m.layouts = append(m.layouts, d.Layouts...)
	case h.Temperature != nil:
		d := new(watchDocument)
		if err := sim.ReadWhole(text, d); err != nil {
			return err
		}
		m.Day = d.Watch
		m.layouts = append(m.layouts, d.Layouts...)
	case h.Effects != nil:
		d := new(studyDocument)
		if err := sim.ReadWhole(text, d); err != nil {
			return err
		}
		found, err := d.sensitivities()
		if err != nil {
			return err
		}
		m.study, m.Sensitivities = d, found
	case h.Curves != nil:
		d := new(targetDocument)
		if err := sim.ReadWhole(text, d); err != nil {
			return err
		}
		return m.addLimit(d)
	case h.Code != nil:
		d := new(takeoffDocument)
		if err := sim.ReadWhole(text, d); err != nil {
			return err
		}
		return m.addPlans(d)
	default:
		r, err := sim.ReadResult(text)
		if err != nil {
			return err
		}
		m.Result, m.folder = r, filepath.Dir(path)
	}
	return nil
}

// addPlans adds the plans of a takeoff.
func (m *material) addPlans(d *takeoffDocument) error {
	names, unplanned := []string{}, d.LeftOut
	var plans []plots.Plan
	for i := range d.Layouts {
		l := &d.Layouts[i]
		if slices.Contains(names, l.Name) {
			return fmt.Errorf("layout %q is there twice", l.Name)
		}
		names = append(names, l.Name)
		p, err := l.plan(l.mostStored())
		switch {
		case errors.Is(err, errUnplaced):
			unplanned = append(unplanned, fmt.Sprintf("layout %q: %v", l.Name, err))
		case err != nil:
			return fmt.Errorf("layout %q: %w", l.Name, err)
		default:
			plans = append(plans, *p)
		}
	}
	m.off, m.unplanned, m.Plans = names, unplanned, plans
	return nil
}

// addBeside adds what a figure of a kind, or of every, may need of what lies
// beside the result of a run or a study, if there is one.
func (m *material) addBeside(kind string, system units.System) error {
	if m.study != nil {
		return m.addRuns(kind, system)
	}
	if m.Result == nil {
		return nil
	}
	var noScenario, noTakeoff error
	if kind != planKind {
		if noScenario = m.addScenario(system); noScenario != nil {
			noScenario = fmt.Errorf("no figures of the scenario: %w", noScenario)
		}
	}
	if (kind == planKind || kind == everyKind) && m.off == nil {
		if noTakeoff = m.read(filepath.Join(m.folder, takeoffName)); noTakeoff != nil {
			noTakeoff = fmt.Errorf("no plan: %w", noTakeoff)
		}
	}
	return errors.Join(noScenario, noTakeoff)
}

// How long tubes are shown cooling, and how often they are looked at [s].
const (
	coolingShown = 2 * 3600
	coolingEvery = 60
)

// addScenario adds what the scenario beside the result gives: a week of its draws,
// and how its pipes cool.
func (m *material) addScenario(system units.System) error {
	path := filepath.Join(m.folder, scenarioFile)
	s, err := scenarios.Load(path)
	if err != nil {
		return err
	}
	if s.SHA256 != m.Scenario.SHA256 {
		return fmt.Errorf("%s is not the scenario that was run: its sha256 is %.12s, the result's %.12s", path, s.SHA256, m.Scenario.SHA256)
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
			dressed = fmt.Sprintf("%.2g %s %s", system.Convert(p.Sleeve.Thickness, units.Thickness), system.Unit(units.Thickness), p.Sleeve.Material.Name)
		}
		name := fmt.Sprintf("%s %s, %s, %s", p.Tube.Kind, p.Tube.Size, dressed, p.Zone)
		m.Tubes = append(m.Tubes, plots.Cooling{Name: name, Time: p.Time, Temperature: p.Temperature, Zone: p.Zone, Around: p.Around})
	}
	return nil
}
