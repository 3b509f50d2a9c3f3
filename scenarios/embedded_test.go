package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/sim/control"
	"pipelag/sim/heater"
)

// embedded is a scenario that comes with the program.
func embedded(t *testing.T, name string) sim.House {
	t.Helper()
	s, err := LoadEmbedded(name)
	if err != nil {
		t.Fatal(err)
	}
	return s.House()
}

func TestEmbeddedLoad(t *testing.T) {
	for _, name := range Embedded() {
		h := embedded(t, name)
		if len(h.Layouts) < 2 {
			t.Errorf("%s: nothing to compare", name)
		}
		for _, l := range h.Layouts {
			if err := l.Network.Validate(); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			for i, f := range h.Fixtures {
				if v := l.Network.PathVolume(i); !(v > 1e-4 && v < 2e-2) {
					t.Errorf("%s, %s: %s has %g L in its pipes", name, l.Network.Name, f.Name, v*1000)
				}
			}
		}
		wishes := h.Schedule.Year(1, 0).Day(0, nil)
		for d := 1; d < 28; d++ {
			wishes = h.Schedule.Year(1, 0).Day(d, wishes)
		}
		if len(wishes) == 0 {
			t.Errorf("%s: nobody draws water in four weeks", name)
		}
	}
	if _, err := LoadEmbedded("castle"); err == nil {
		t.Error("a castle came with the program")
	}
	if _, err := Parse("starter", Starter()); err != nil {
		t.Error(err)
	}
}

// TestLineEnds holds that an editor's line ends and byte order mark do not
// change what is read.
func TestLineEnds(t *testing.T) {
	for name, text := range map[string]string{
		"carriage returns": strings.ReplaceAll(sound, "\n", "\r\n"),
		"byte order mark":  "\ufeff" + sound,
		"no last line end": strings.TrimSpace(sound),
	} {
		if _, err := Parse(name, []byte(text)); err != nil {
			t.Error(err)
		}
	}
}

// TestLike holds that a layout takes over what it does not say, and only that.
func TestLike(t *testing.T) {
	h := embedded(t, "courtyard")
	var names []string
	for _, l := range h.Layouts {
		names = append(names, l.Network.Name+": "+l.Network.Arrangement)
	}
	want := []string{
		"trunk and branch: trunk-and-branch",
		"trunk and branch, insulated: trunk-and-branch",
		"home run, 3/8: home-run",
		"home run, 1/2: home-run",
		"home run, 3/8, far manifold: home-run",
		"pumped continuously: pumped",
		"pumped on demand: pumped",
	}
	if !slices.Equal(names, want) {
		t.Fatalf("got %q", names)
	}
	bare, sleeved := h.Layouts[0].Network, h.Layouts[1].Network
	for i, p := range sleeved.Pipes {
		if p.Tube != bare.Pipes[i].Tube || p.Length != bare.Pipes[i].Length {
			t.Errorf("insulating changed pipe %d", i)
		}
		if bare.Pipes[i].Sleeve.Thickness != 0 || bare.Pipes[i].BareShare != 0 {
			t.Errorf("pipe %d of the bare layout is sleeved", i)
		}
		inch := map[string]float64{"3/4": 0.75, "1/2": 0.5}[p.Tube.Size]
		if math.Abs(p.Sleeve.Thickness-inch*0.0254) > 1e-12 || p.BareShare != defaultBare || p.Sleeve.Material.Name != "foam" {
			t.Errorf("pipe %d has sleeve %+v, %g bare", i, p.Sleeve, p.BareShare)
		}
	}
	thin, thick := h.Layouts[2].Network, h.Layouts[3].Network
	for i, f := range h.Fixtures {
		want := "3/8"
		if f.Name == "main tub" {
			want = "1/2"
		}
		if got := thin.Pipes[thin.Taps[i]].Tube.Size; got != want {
			t.Errorf("%s is at a %s run, not %s", f.Name, got, want)
		}
		if got := thick.Pipes[thick.Taps[i]].Tube.Size; got != "1/2" {
			t.Errorf("%s is at a %s run, not 1/2", f.Name, got)
		}
	}
	always, asked := h.Layouts[5].Pump, h.Layouts[6].Pump
	if always.Rule != (control.Continuous{}) || asked.Rule != (control.Demand{Rise: defaultRise, Warm: defaultWarm, MaxRun: defaultMaxRun}) || asked.Power != 60 || asked.Button.Lead != defaultLead {
		t.Errorf("pumps %+v and %+v", always, asked)
	}
	if h.Layouts[0].Pump != nil || h.Layouts[6].Network.Length() != h.Layouts[5].Network.Length() {
		t.Error("a pump changed pipes, or came of itself")
	}
}

// TestAssumedOfALayout: what is assumed of one layout says of which, and nothing else does.
func TestAssumedOfALayout(t *testing.T) {
	found := 0
	for _, name := range Embedded() {
		s, err := LoadEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range s.Assumed {
			of := "layouts." + a.Layout + "."
			if one := strings.HasPrefix(a.Path, "layouts.") && !strings.HasPrefix(a.Path, "layouts.*."); one != (a.Layout != "") || one && !strings.HasPrefix(a.Path, of) {
				t.Errorf("%s: %+v", name, a)
			}
			if a.Layout != "" {
				found++
			}
		}
	}
	if found == 0 {
		t.Error("nothing is assumed of a layout")
	}
}

// TestAssumed holds that what a file leaves out is recorded, and what it says
// is not.
func TestAssumed(t *testing.T) {
	s, err := Parse("a.yaml", []byte(sound))
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for _, a := range s.Assumed {
		if a.Value == "" || a.Why == "" {
			t.Errorf("%+v says too little", a)
		}
		paths = append(paths, a.Path)
	}
	want := []string{
		"climate.zones.crawlspace.coldest",
		"climate.zones.indoors.amplitude",
		"pressure",
		"code",
		"heater.layers",
		"heater.efficiency",
		"heater.loss",
		"fixtures.usable",
		"fixtures.pressure",
		"cold units",
		"layouts.pumped.pump.heat",
		"layouts.*.pump.check valve",
		"layouts.pumped.pump.lead",
		"layouts.pumped.pump.likelihood",
		"layouts.pumped.pump.rise",
		"layouts.pumped.pump.warm",
		"layouts.pumped.pump.max run",
		"layouts.*.bare",
		"rates.currency",
		"rates.water",
		"rates.electricity",
		"rates.gas",
		"rates.carbon.electricity",
		"rates.carbon.gas",
		"draws.total",
		"bedrooms",
		"draws.season",
		"fixtures",
	}
	if !slices.Equal(paths, want) {
		t.Errorf("got %q", paths)
	}
}

// Uses without a fixture are named with their share of what the total comes to, unless
// it is stated for the fixtures there are.
func TestAssumesUsesWithoutFixtures(t *testing.T) {
	undrawn := func(draws string) (value, why string) {
		s, err := Parse("a.yaml", []byte(sound+draws))
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range s.Assumed {
			if a.Path == Undrawn {
				return a.Value, a.Why
			}
		}
		return "", ""
	}
	// At two bedrooms ANSI/RESNET/ICC 301 has 34.6 gal of mixed water (read), of which bath
	// 4.04 and lavatory 7.14, and hot into machines 3.54 and 3.29 (memory): 18.0 of 41.4.
	for _, draws := range []string{"", "draws: {total: rated}\n"} {
		value, why := undrawn(draws)
		if value != "none for bath, lavatory, dishwasher, clothes washer" || !strings.HasPrefix(why, "their 43 % of the volume of draws.total ") {
			t.Errorf("%q: %q, %q", draws, value, why)
		}
	}
	if value, _ := undrawn("draws: {daily: 200 L}\n"); value != "" {
		t.Errorf("a stated volume leaves out %q", value)
	}
}

// TestReadsWhatIsWritten follows single values from the file into the house.
func TestReadsWhatIsWritten(t *testing.T) {
	h := embedded(t, "townhouse")
	is := func(what string, want, got float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 1e-12*math.Abs(want)) {
			t.Errorf("%s is %g, not %g", what, got, want)
		}
	}
	is("setpoint", 60, h.Heater.Setpoint)
	is("gas heater's efficiency", 0.78, h.Heater.Kind.(heater.Held).Efficiency)
	is("kitchen flow", 1e-4, h.Fixtures[0].Flow)
	is("usable", 365.0/9, h.Fixtures[0].Usable) // 105 °F
	is("price of water", 4, h.Rates.Water)
	is("price of electricity", 0.3, h.Rates.Energy[heater.Electricity])
	is("price of gas", 0.1, h.Rates.Energy[heater.Gas])
	is("carbon of electricity", 0.35, h.Rates.Carbon[heater.Electricity])
	is("carbon of gas", 0.2, h.Rates.Carbon[heater.Gas])
	is("length of the first pipe", 1.5, h.Layouts[0].Network.Pipes[0].Length)
	if h.Heater.Kind.(heater.Held).Carrier != heater.Gas || h.Rates.Currency != "EUR" || h.Fixtures[4].Use != schedules.Shower {
		t.Errorf("heater %v, currency %s, use %v", h.Heater.Kind, h.Rates.Currency, h.Fixtures[4].Use)
	}
	if flat := embedded(t, "flat"); flat.Layouts[0].Network.Pipes[1].Burial.Conductivity != 1.7 {
		t.Errorf("%+v is not buried", flat.Layouts[0].Network.Pipes[1])
	}
}

func ExampleLoadEmbedded() {
	s, err := LoadEmbedded("courtyard")
	if err != nil {
		fmt.Println(err)
		return
	}
	h := s.House()
	fmt.Println(s.Name, "with", len(h.Fixtures), "fixtures and", len(h.Layouts), "layouts")
	// Output: Courtyard house with 8 fixtures and 7 layouts
}

func ExampleParse() {
	_, err := Parse("house.yaml", []byte("name: A house\npeople: 30\n"))
	fmt.Println(err)
	// Output:
	// house.yaml:1:1: a scenario has no climate; add climate: temperatures of mains, rooms and ground
	// house.yaml:1:1: a scenario has no heater; add heater: where the hot water comes from
	// house.yaml:1:1: a scenario has no layouts; add layouts: the ways of piping to compare; the first is the one the others are held against
	// house.yaml:1:1: a scenario has no fixtures; add fixtures: taps and machines by name, or plan:
	// house.yaml:2:9: "30" is out of range; give a whole number from 1 to 12
}
