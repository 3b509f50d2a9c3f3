package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"pipelag/plots/report"
	"pipelag/scenarios"
	"pipelag/units"
)

// takeoffkeys FILE LAYOUTS FIXTURES: the file is a takeoff under the keys that
// other programs read, with so many of each.
func takeoffkeys(ts *testscript.TestScript, _ bool, args []string) {
	var whole any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &whole))
	t := asked(ts, whole, "the takeoff", "version", "scenario", "code", "layouts", "left_out", "warnings", "assumptions")
	asked(ts, t["scenario"], "the scenario", "name", "sha256")
	number := func(text string) int {
		n, err := strconv.Atoi(text)
		ts.Check(err)
		return n
	}
	layouts := t["layouts"].([]any)
	if len(layouts) != number(args[1]) {
		ts.Fatalf("%d layouts, want %s", len(layouts), args[1])
	}
	for _, l := range layouts {
		l := asked(ts, l, "a layout", "name", "arrangement", "length_m", "volume_L", "hot_demand_L_per_s", "demand_L_per_s", "fixtures", "tubes", "problems", "cautions")
		fixtures := l["fixtures"].([]any)
		if len(fixtures) != number(args[2]) {
			ts.Fatalf("%d fixtures, want %s", len(fixtures), args[2])
		}
		tubes := l["tubes"].([]any)
		for _, f := range fixtures {
			f := asked(ts, f, "a fixture", "name", "use", "way", "pipes", "length_m", "fittings_m", "stored_L", "stored_beyond_loop_L", "plug_wait_s",
				"cold_wait_s", "cold_drawn_L", "still_kPa", "demand_kPa", "alone", "together", "limits")
			if !(f["cold_wait_s"].(float64) > f["plug_wait_s"].(float64)) {
				ts.Fatalf("%s: the engine waits %v s, a plug %v s", f["name"], f["cold_wait_s"], f["plug_wait_s"])
			}
			stored := 0.0
			for _, i := range f["pipes"].([]any) {
				stored += tubes[int(i.(float64))].(map[string]any)["volume_L"].(float64)
			}
			if d := stored - f["stored_L"].(float64); d > 1e-9 || d < -1e-9 {
				ts.Fatalf("%s: tubes hold %g L, the way %v L", f["name"], stored, f["stored_L"])
			}
			asked(ts, f["alone"], "an open tap", "flow_L_per_s", "pressure_kPa", "velocities_m_per_s")
			for _, v := range f["limits"].([]any) {
				asked(ts, v, "a verdict", "code", "clause", "source", "status", "quantity", "unit", "asked", "found", "outcome")
			}
		}
		for _, p := range tubes {
			asked(ts, p, "a tube", "from", "to", "tube", "size", "length_m", "volume_L", "route_m", "return", "serves", "fixture_units", "demand_L_per_s", "pumped_L_per_s", "velocity_m_per_s", "loss_kPa", "limits")
		}
	}
}

// TestLeftOut takes off a house with a layout that cannot be: the others are there,
// and both the file and the report say what is missing.
func TestLeftOut(t *testing.T) {
	s, err := scenarios.LoadEmbedded("flat")
	if err != nil {
		t.Fatal(err)
	}
	house := s.House()
	torn := *house.Layouts[1].Network
	torn.Taps = torn.Taps[1:]
	house.Layouts = slices.Clone(house.Layouts)
	house.Layouts[1].Network = &torn
	off := newTakenOff(s, &house)

	const why = `layout "home run, 3/8": 4 fixtures for 3 taps`
	d := off.document()
	if len(d.Layouts) != 2 || len(d.LeftOut) != 1 || d.LeftOut[0] != why {
		t.Errorf("%d layouts, left out %q", len(d.Layouts), d.LeftOut)
	}
	r := &report.Report{Title: "t", Answer: []string{"a"}}
	off.addTo(r, off.planSet(units.US))
	page, err := written(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Takeoff of as found", "Takeoff of home run, 3/8, insulated", "<dt>No takeoff</dt><dd>layout &#34;home run, 3/8&#34;: 4 fixtures for 3 taps</dd>"} {
		if !strings.Contains(string(page), want) {
			t.Errorf("the report lacks %q", want)
		}
	}
	if len(r.Layouts) != 3 || r.Layouts[1].Name != "3\u00a0home run, 3/8, insulated" {
		t.Errorf("%d layouts, the second %q", len(r.Layouts), r.Layouts[1].Name)
	}
}

// forty is a scenario of forty fixtures.
func forty() string {
	uses := []string{"shower", "lavatory", "kitchen", "bath", "dishwasher", "clothes washer"}
	random := rand.New(rand.NewPCG(40, 1))
	var b strings.Builder
	b.WriteString(`name: Forty
people: 6
climate: {mains: {mean: 58 F, amplitude: 9 F, coldest: Feb 10}, zones: {rooms: {mean: 70 F}}}
heater: {kind: storage, energy: gas, at: [2 ft, 30 ft, 0 ft], volume: 80 gal, setpoint: 125 F, zone: rooms}
fixtures:
`)
	for i := range 40 {
		fmt.Fprintf(&b, "  %s %d: {use: %s, at: [%d ft, %d ft, %d ft], flow: 1.5 gpm}\n", uses[i%6], i, uses[i%6], 3+random.IntN(80), random.IntN(60), 1+random.IntN(16))
	}
	b.WriteString(`layouts:
  - {name: trunk, arrangement: trunk-and-branch, trunk: {tube: copper L, size: 1, zone: rooms}, branch: {tube: copper L, size: 1/2, zone: rooms}}
`)
	return b.String()
}

// BenchmarkTakeoffOfForty takes a house of forty fixtures off, from its file to
// the page; it has to take less than 0.2 s.
func BenchmarkTakeoffOfForty(b *testing.B) {
	path := filepath.Join(b.TempDir(), "forty.yaml")
	if err := os.WriteFile(path, []byte(forty()), 0o644); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		s, err := scenarios.Load(path)
		if err != nil {
			b.Fatal(err)
		}
		house := s.House()
		off := newTakenOff(s, &house)
		if page := off.page(units.US); len(page) == 0 || off.leftOut != nil {
			b.Fatal("not all listed")
		}
	}
}
