package scenarios

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// soundStudy is a study that each case below spoils.
const soundStudy = `name: A study
scenario: courtyard
layouts: [trunk and branch, 'home run, 3/8']
sampling: halton
samples: 20
factors:
  size: {path: 'layouts[home run, 3/8].runs.size', values: [3/8, 1/2], shares: [40 %, 60 %]}
  setpoint: {path: heater.setpoint, from: 120 F, to: 140 F}
  mains: {path: climate.mains.mean, from: 50 F, to: 66 F, distribution: normal, mean: 58 F, deviation: 4 F}
  people:
    path: [people, bedrooms]
    values: {few: 1, many: 5}
costs: {trunk and branch: 900 USD, 'home run, 3/8': 1000.5 USD}
`

func TestStudy(t *testing.T) {
	s, err := readStudy("s.yaml", "", []byte(soundStudy))
	if err != nil {
		t.Fatal(err)
	}
	d, err := s.Case([]Setting{{Level: 1}, {Number: 131.25}, {Number: 57}, {Level: 1}})
	if err != nil {
		t.Fatal(err)
	}
	text := string(d.Text())
	for _, want := range []string{"\n  setpoint: 131.25 F\n", "\n    mean: 57 F\n", "\npeople: 5\nbedrooms: 5\n", "\n    runs:\n      tube: PEX\n      size: 1/2\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if _, err := d.Scenario(); err != nil {
		t.Error(err)
	}
	base, err := s.Case([]Setting{{Level: 0}, {Number: 125}, {Number: 58}, {Level: 0}})
	if err != nil || strings.Contains(string(base.Text()), "131.25") {
		t.Errorf("one case shows in another (%v)", err)
	}
	if s.Costs[1] != 1000.5 || s.Currency != "USD" {
		t.Error(s.Costs, s.Currency)
	}
	if got := s.Factors[1].Text(Setting{Number: 131.25}); got != "131.25 F" {
		t.Error(got)
	}
}

// TestFactorWithinAnother: a factor may vary what stands within another's value; it then
// changes one place in one case, and neither the study nor the other places that have the
// same value.
func TestFactorWithinAnother(t *testing.T) {
	s, err := readStudy("s.yaml", "", []byte(`name: Within
scenario: courtyard
sampling: grid
factors:
  runs:
    path: ['layouts[home run, 3/8].runs', 'layouts[home run, 1/2].runs']
    values: {pex: {tube: PEX, size: 3/8, zone: rooms}}
  size: {path: 'layouts[home run, 3/8].runs.size', values: [1/2, 3/4]}
  places:
    path: ['fixtures[*].at']
    values: {one: [1 ft, 2 ft, 3 ft]}
  place: {path: 'fixtures[main shower].at[3]', values: [6 ft, 7 ft]}
`))
	if err != nil {
		t.Fatal(err)
	}
	for _, level := range []int{1, 0} {
		d, err := s.Case([]Setting{{}, {Level: level}, {}, {Level: level}})
		if err != nil {
			t.Fatal(err)
		}
		layouts, fixtures := d.root.below("layouts"), d.root.below("fixtures")
		for _, name := range []string{"home run, 3/8", "home run, 1/2"} {
			want := "3/8"
			if name == "home run, 3/8" {
				want = []string{"1/2", "3/4"}[level]
			}
			if got := layouts.items[layouts.at(name)[0]].below("runs").below("size").text; got != want {
				t.Errorf("%s: %s, want %s", name, got, want)
			}
		}
		for i, name := range fixtures.names() {
			want := "3 ft"
			if name == "main shower" {
				want = []string{"6 ft", "7 ft"}[level]
			}
			if got := fixtures.items[i].below("at").items[2].text; got != want {
				t.Errorf("%s: %s high, want %s", name, got, want)
			}
		}
	}
}

// TestDraftText: a draft's text is YAML that reads as the same house.
func TestDraftText(t *testing.T) {
	for _, data := range texts(t) {
		d, err := draft("a", "", data)
		if err != nil {
			t.Fatal(err)
		}
		again, err := draft("b", "", d.Text())
		if err != nil {
			t.Fatalf("%v in\n%s", err, d.Text())
		}
		if string(again.Text()) != string(d.Text()) {
			t.Errorf("not the same again:\n%s", d.Text())
		}
		want, err := Parse("a", data)
		if err != nil {
			t.Fatal(err)
		}
		got, err := d.Scenario()
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Assumed) != len(want.Assumed) || got.House().Layouts[0].Network.Length() != want.House().Layouts[0].Network.Length() {
			t.Errorf("another house from\n%s", d.Text())
		}
	}
}

// TestDraftQuotes: texts that YAML would take for something else stay texts.
func TestDraftQuotes(t *testing.T) {
	for _, text := range []string{"null", "~", "a: b", "a #b", "'", `"`, "- x", "[x]", "", " x ", "*a", "!b", "5 %", "−3 °C", "true", "line\nbreak", "a\u0085b"} {
		d := &Draft{root: &node{shape: mapping, keys: []*node{{shape: scalar, text: text}}, items: []*node{{shape: scalar, text: text}}}}
		again, err := draft("q", "", d.Text())
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if key, value := again.root.keys[0], again.root.items[0]; key.text != text || value.text != text || value.shape != scalar {
			t.Errorf("%q became %q: %q, %s", text, key.text, value.text, value.shape)
		}
	}
}

func TestStudyMistakes(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		want           []string
	}{
		{"unknown key", "samples: 20", "samples: 20\nsampels: 3", []string{`s.yaml:6:1: unknown key "sampels" in a study; write "samples" (known keys: name, scenario, layouts, sampling, samples, replicates, seed, seeds, factors, questions, costs)`}},
		{"unknown scenario", "scenario: courtyard", "scenario: cortyard", []string{`s.yaml:2:11: open cortyard: no such file or directory; name a file beside the study, or one of courtyard, townhouse, flat, hillside, planned, terrace, cottage-electric, cottage-gas, cottage-heat-pump, cottage-solar, cottage-wood, cottage-tankless-gas, cottage-tankless-electric`}},
		{"unknown layout", "[trunk and branch,", "[trunk and brunch,", []string{
			`s.yaml:3:11: the scenario has no layout "trunk and brunch"; write "trunk and branch" (known layouts: "trunk and branch", "trunk and branch, insulated", "home run, 3/8", "home run, 1/2", "home run, 3/8, far manifold", "pumped continuously", "pumped on demand")`,
			`s.yaml:13:8: no cost of layout "trunk and brunch"; give the cost of every layout that is run`,
			`s.yaml:13:9: a cost of "trunk and branch", which is not run; write "trunk and brunch" (known layouts: "trunk and brunch", "home run, 3/8")`,
		}},
		{"unknown item in a path", "'layouts[home run, 3/8].runs", "'layouts[hom run, 3/8].runs", []string{`s.yaml:7:16: nothing in the scenario is called "hom run, 3/8" here; write "home run, 3/8" (known names: "trunk and branch", "trunk and branch, insulated", "home run, 3/8", "home run, 1/2", "home run, 3/8, far manifold", "pumped continuously", "pumped on demand")`}},
		{"unknown step in a path", "heater.setpoint", "heatr.setpoint", []string{`s.yaml:8:20: nothing in the scenario is called "heatr" here; write "heater" (known names: name, people, bedrooms, pressure, climate, heater, fixtures, rates, layouts)`}},
		{"path without end", "heater.setpoint", "'heater[setpoint'", []string{`s.yaml:8:20: path "heater[setpoint" has no ] after [; write a path such as heater.setpoint or layouts[home run].runs.size`}},
		{"path with more behind a bracket", "heater.setpoint", "'heater[setpoint] of it'", []string{`s.yaml:8:20: path "heater[setpoint] of it" has " of it" after ]; write a path such as heater.setpoint or layouts[home run].runs.size`}},
		{"shares that make no whole", "40 %, 60 %", "40 %, 50 %", []string{`s.yaml:7:80: shares that make 90 %; let them make 100 %`}},
		{"too few shares", "[40 %, 60 %]", "[100 %]", []string{`s.yaml:7:80: 1 shares of 2 values; give each value its share`}},
		{"range that runs back", "from: 120 F, to: 140 F", "from: 140 F, to: 120 F", []string{`s.yaml:8:54: a range that ends where it begins, or before; let to: be greater than from:`}},
		{"two units", "from: 120 F, to: 140 F", "from: 120 F, to: 60 C", []string{`s.yaml:8:54: "60 C" beside "120 F"; give all numbers of a factor in one unit`, `s.yaml:8:54: a range that ends where it begins, or before; let to: be greater than from:`}},
		{"no number", "from: 120 F", "from: NaN F", []string{`s.yaml:8:43: "NaN F" does not begin with a number; write a number with its unit, such as 120 F`}},
		{"normal without deviation", ", deviation: 4 F", "", []string{
			`s.yaml:9:43: mean and deviation go with distribution: normal, and it with them; give all three or none`,
			`s.yaml:9:43: a deviation that is not above 0; give how far values are usually from the mean`,
		}},
		{"no values", "from: 120 F, to: 140 F", "from: 120 F", []string{`s.yaml:8:3: factor "setpoint" has no values; add values: [...], or from: and to:`}},
		{"empty values", "values: [3/8, 1/2], shares: [40 %, 60 %]", "values: []", []string{`s.yaml:7:60: 0 values; write 1 to 1000`}},
		{"values and a range", "from: 120 F, to: 140 F", "from: 120 F, to: 140 F, values: [1]", []string{`s.yaml:8:69: values beside a range; keep one of values and from, to`}},
		{"grid with samples", "sampling: halton", "sampling: grid", []string{
			`s.yaml:5:10: samples of a grid; remove samples, for a grid takes every combination; or choose another sampling`,
			`s.yaml:7:80: shares in a grid; remove them, for a grid takes every value once; or choose another sampling`,
			`s.yaml:8:43: a range in a grid without steps; add steps: 5, or list values:`,
			`s.yaml:9:43: a range in a grid without steps; add steps: 5, or list values:`,
			`s.yaml:9:73: a distribution in a grid; remove it, for a grid takes equal steps; or choose another sampling`,
		}},
		{"too many samples", "samples: 20", "samples: 2e9", []string{`s.yaml:5:10: "2e9" is not a whole number; give a whole number from 1 to 10000000`}},
		{"two factors of one thing", "path: heater.setpoint", "path: [heater.setpoint, 'layouts[home run, 3/8].runs.size']", []string{`s.yaml:8:38: factor "size" varies layouts[home run, 3/8].runs.size too; let one of the two vary it`}},
		{"two factors of one thing by number and by name", "path: heater.setpoint", "path: [heater.setpoint, 'layouts[3].runs.size']", []string{`s.yaml:8:38: factor "size" varies layouts[home run, 3/8].runs.size too; let one of the two vary it`}},
		{"two factors of one thing, one of all", "path: heater.setpoint", "path: [heater.setpoint, 'layouts[*].runs.size']", []string{`s.yaml:8:38: factor "size" varies layouts[home run, 3/8].runs.size too; let one of the two vary it`}},
		{"two factors of one key that the base lacks", "  people:\n", "  loss: {path: heater.loss, values: [40 W]}\n  lost: {path: 'heater[loss]', values: [50 W]}\n  people:\n", []string{`s.yaml:11:16: factor "loss" varies heater.loss too; let one of the two vary it`}},
		{"a factor of what holds an earlier one's", "path: heater.setpoint", "path: [heater.setpoint, 'layouts[home run, 3/8]']", []string{`s.yaml:8:38: factor "size" varies layouts[home run, 3/8].runs.size, which a value of layouts[home run, 3/8] takes the place of; give this factor before that one, or let one of the two vary it`}},
		{"no samples", "samples: 20\n", "", []string{`s.yaml:4:11: the sampling is halton and there is no number of samples; add samples: 100`}},
		{"a column's name", "  size: {", "  purged_L: {", []string{`s.yaml:7:3: a factor is called "purged_L", as a column of results is; give it another name`}},
		{"no column's name", "  size: {", "  'size, nominal': {", []string{`s.yaml:7:3: "size, nominal" cannot be the name of a column of results; leave out commas, quotes and backslashes`}},
		{"a dash for a name", "  size: {", "  '-': {", []string{`s.yaml:7:3: "-" cannot be the name of a column of results; call it what it is, such as size`}},
		{"an unknown question", "factors:", "questions: [waste_L]\nfactors:", []string{`s.yaml:6:13: unknown quantity "waste_L"; known are purged_L left_running_L used_L hot_drawn_L wait_h pipe_loss_kWh drain_kWh tank_loss_kWh heater_kWh pump_kWh pumped_L pump_h cost co2_kg cooled_L loop_loss_kWh heater_electricity_kWh heater_gas_kWh heater_wood_kWh heater_sun_kWh heating_saved_kWh cooling_added_kWh net_pipe_loss_kWh net_energy_kWh net_cost net_co2_kg cold_tap_kWh cold_lukewarm_L cold_over_limit_L cold_line_loss_kWh`}},
		{"a question twice", "factors:", "questions: [cost, wait_h, cost]\nfactors:", []string{`s.yaml:6:27: "cost" stands here twice; keep one`}},
		{"a cost without currency", "900 USD", "900", []string{
			`s.yaml:13:8: no cost of layout "trunk and branch"; give the cost of every layout that is run`,
			`s.yaml:13:27: "900" is no sum of money; write an amount and its currency, such as 900 USD`,
		}},
		{"empty", soundStudy, "", []string{`s.yaml:1:1: the file is empty; begin with name:, scenario:, sampling: and factors:`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(soundStudy, c.old, c.new, 1)
			if text == soundStudy {
				t.Fatal("nothing is spoilt")
			}
			_, err := readStudy("s.yaml", "", []byte(text))
			if err == nil {
				t.Fatal("no mistake is found")
			}
			var all Errors
			if !errors.As(err, &all) {
				t.Fatalf("%T", err)
			}
			if got, want := err.Error(), strings.Join(c.want, "\n"); got != want {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
}

// TestStepsMistake: a number of steps that is out of range is no missing one.
func TestStepsMistake(t *testing.T) {
	text := "name: x\nscenario: courtyard\nsampling: grid\nfactors:\n  setpoint: {path: heater.setpoint, from: 50 C, to: 60 C, steps: 0}\n"
	_, err := readStudy("s.yaml", "", []byte(text))
	if got, want := fmt.Sprint(err), `s.yaml:5:66: "0" is out of range; give a whole number from 2 to 1000`; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestCaseMistakes: what the scenario's reader does not take is told where the
// study says it, or where the base does.
func TestCaseMistakes(t *testing.T) {
	for _, c := range []struct {
		old, new, want string
	}{
		{"from: 120 F, to: 140 F", "from: 120 psi, to: 140 psi", `s.yaml:8:3: factor "setpoint": "130 psi" is a pressure; write a temperature with its unit, such as 120 F or 49 C`},
		{"[3/8, 1/2]", "[3/8, 7/16]", `s.yaml:7:66: factor "size": tube "PEX" has no size "7/16"; sizes: 1/4, 3/8, 1/2, 5/8, 3/4, 1, 1-1/4, 1-1/2, 2`},
		{"runs.size", "runs.siz", `s.yaml:7:65: factor "size": unknown key "siz" in a run; write "size" (known keys: tube, size, zone, insulation, bare, buried, except)`},
	} {
		s, err := readStudy("s.yaml", "", []byte(strings.Replace(soundStudy, c.old, c.new, 1)))
		if err != nil {
			t.Error(err)
			continue
		}
		d, err := s.Case([]Setting{{Level: 1}, {Number: 130}, {Number: 57}, {Level: 1}})
		if err == nil {
			_, err = d.Scenario()
		}
		if err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

// TestAtEnd names the end of a range and, where it is not the range itself that is
// wrong, the place in the scenario.
func TestAtEnd(t *testing.T) {
	s, err := readStudy("s.yaml", "", []byte(soundStudy))
	if err != nil {
		t.Fatal(err)
	}
	value := &node{shape: scalar, line: 8, column: 3}
	value.stand("s.yaml", "setpoint")
	r := newReader("house.yaml", scenarioBegin)
	r.fault(&node{line: 9, column: 34}, "the basin waits", "use less")
	r.fault(value, "too hot", "cool it")
	got := s.AtEnd(1, 140, r.mistakes)
	want := `s.yaml:8:54: factor "setpoint": with 140 F no house can be made: house.yaml:9:34: the basin waits; use less
s.yaml:8:54: factor "setpoint": with 140 F no house can be made: too hot; cool it`
	if got.Error() != want {
		t.Errorf("got\n%v\nwant\n%v", got, want)
	}
	for text, want := range map[string]string{
		"a layout is renamed; let it be":  "a layout is renamed; let it be",
		"it boils":                        "it boils; let the range end where one can",
		`factor "setpoint": no such pipe`: "no such pipe; let the range end where one can",
	} {
		want = `s.yaml:8:54: factor "setpoint": with 140 F no house can be made: ` + want
		if got := s.AtEnd(1, 140, errors.New(text)); got.Error() != want {
			t.Errorf("got\n%v\nwant\n%v", got, want)
		}
	}
}

// TestEmbeddedStudies: each is sound, and so is the house that it varies.
func TestEmbeddedStudies(t *testing.T) {
	for _, name := range EmbeddedStudies() {
		s, err := LoadEmbeddedStudy(name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if _, err := s.Base(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := LoadEmbeddedStudy("tube"); err == nil || err.Error() != `no study "tube" comes with the program; there are tubes, manifold, stock` {
		t.Error(err)
	}
}

// TestIdentity: what determines a run is in it, and what does not is not.
func TestIdentity(t *testing.T) {
	identity := func(old, new string) string {
		t.Helper()
		s, err := readStudy("s.yaml", "", []byte(strings.Replace(soundStudy, old, new, 1)))
		if err != nil {
			t.Fatal(err)
		}
		text, err := s.Identity()
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	same := identity("", "")
	for _, c := range [][2]string{{"samples: 20", "samples: 30"}, {"name: A study", "name: Another"}, {"samples: 20", "replicates: 4\nsamples: 20"}, {"900 USD", "800 USD"}, {"name:", "# a remark\nname:"}} {
		if identity(c[0], c[1]) != same {
			t.Errorf("%q makes another study", c[1])
		}
	}
	for _, c := range [][2]string{
		{"samples: 20", "samples: 20\nseed: 2"},
		{"samples: 20", "samples: 20\nseeds: own"},
		{"halton", "latin-hypercube"},
		{"140 F", "141 F"},
		{"few: 1", "few: 2"},
		{"40 %, 60 %", "30 %, 70 %"},
		{"setpoint: {", "set point: {"},
		{"[trunk and branch, 'home run, 3/8']", "['home run, 3/8', trunk and branch]"},
	} {
		if identity(c[0], c[1]) == same {
			t.Errorf("%q makes the same study", c[1])
		}
	}
	hypercube := strings.NewReplacer("halton", "latin-hypercube")
	few, err := readStudy("s.yaml", "", []byte(hypercube.Replace(soundStudy)))
	if err != nil {
		t.Fatal(err)
	}
	many, err := readStudy("s.yaml", "", []byte(strings.Replace(hypercube.Replace(soundStudy), "samples: 20", "samples: 30", 1)))
	if err != nil {
		t.Fatal(err)
	}
	a, _ := few.Identity()
	if b, _ := many.Identity(); string(a) == string(b) {
		t.Error("more points of a latin hypercube make the same study")
	}
}

// TestKubernetes holds the job for Kubernetes to be YAML whose count is that of
// its shards; no cluster has run it.
func TestKubernetes(t *testing.T) {
	data, err := os.ReadFile("cluster/kubernetes.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r := newReader("kubernetes.yaml", "")
	root := r.tree(data)
	if err := r.err(); err != nil {
		t.Fatal(err)
	}
	spec := root.below("spec")
	shards := spec.below("template").below("spec").below("containers").items[0].below("env").items[1].below("value").text
	if n := spec.below("completions").text; n != shards || spec.below("completionMode").text != "Indexed" {
		t.Errorf("%s completions of %s shards", n, shards)
	}
}

// A name in brackets may hold brackets and points.
func TestPathOfNamesWithBrackets(t *testing.T) {
	for text, want := range map[string]path{
		"layouts[run [3]].runs.size":     {"layouts", "run [3]", "runs", "size"},
		"layouts[3/8] far].runs[2].size": {"layouts", "3/8] far", "runs", "2", "size"},
		"fixtures[sink [v1.2]]":          {"fixtures", "sink [v1.2]"},
		"[a][b].c":                       {"a", "b", "c"},
	} {
		if got, err := parsePath(text); err != nil || !slices.Equal(got, want) {
			t.Errorf("%s: got %q, %v; want %q", text, got, err, want)
		}
	}
}

// TestStudyFile finds the scenario beside the study's file, and mistakes in it
// where they stand.
func TestStudyFile(t *testing.T) {
	folder := t.TempDir()
	study, base := filepath.Join(folder, "s.yaml"), filepath.Join(folder, "base.yaml")
	write := func(path, text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(base, sound)
	write(study, "name: S\nscenario: base.yaml\nsampling: grid\nfactors:\n  all: {path: 'layouts[*].branch.size', values: [3/8]}\n  first: {path: 'layouts[3].pipes[2].length', values: [9 m]}\n")
	s, err := LoadStudy(study)
	if err != nil {
		t.Fatal(err)
	}
	d, err := s.Case([]Setting{{}, {}})
	if err != nil {
		t.Fatal(err)
	}
	if text := string(d.Text()); !strings.Contains(text, "branch:\n      tube: copper L\n      size: 3/8") || strings.Count(text, "branch:") != 1 || !strings.Contains(text, "to: kitchen sink\n        length: 9 m") {
		t.Errorf("got\n%s", text)
	}
	write(base, strings.Replace(sound, "people: 3", "people: [", 1))
	var all Errors
	if _, err = LoadStudy(study); !errors.As(err, &all) || all[0].File != base {
		t.Error(err)
	}
}

func FuzzStudy(f *testing.F) {
	f.Add([]byte(soundStudy))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := readStudy("f.yaml", "", data)
		var all Errors
		if err == nil && (len(s.Factors) == 0 || len(s.Layouts) == 0) {
			t.Fatalf("a study with parts missing from\n%s", data)
		}
		if err != nil && !errors.As(err, &all) {
			t.Fatalf("%T is not a list of mistakes", err)
		}
	})
}
