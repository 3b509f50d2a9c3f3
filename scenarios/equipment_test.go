package scenarios

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pipelag/sim/control"
	"pipelag/sim/heater"
)

const (
	soundPump   = "pump: {control: demand, flow: 2 gpm, power: 60 W}"
	soundHeater = "heater: {kind: storage, energy: gas, at: [2 ft, 30 ft, 0 ft], volume: 50 gal, setpoint: 125 F, zone: indoors}"
)

// Every way in which a pump or a heater contradicts itself is told with its place.
func TestEquipmentMistakes(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"off below on", soundPump, "pump: {control: aquastat, on: 110 F, off: 100 F, flow: 2 gpm, power: 60 W}", `a.yaml:21:47: off at 37.8 C (100.0 F) is not above on at 43.3 C (110.0 F); let off be above on; the pump would switch without end`},
		{"off at on", soundPump, "pump: {control: aquastat, on: 100 F, off: 100 F, flow: 2 gpm, power: 60 W}", `a.yaml:21:47: off at 37.8 C (100.0 F) is not above on at 37.8 C (100.0 F); let off be above on; the pump would switch without end`},
		{"off above the set point", soundPump, "pump: {control: aquastat, on: 100 F, off: 130 F, flow: 2 gpm, power: 60 W}", `a.yaml:21:47: the return never reaches 54.4 C (130.0 F): the heater is set to 51.7 C (125.0 F); let off be some degrees below the set point`},
		{"aquastat without off", soundPump, "pump: {control: aquastat, on: 100 F, flow: 2 gpm, power: 60 W}", `a.yaml:21:11: the aquastat has no off point; add off: the temperature of the return, such as 105 F`},
		{"windows overlap", soundPump, "pump: {control: clock, windows: [{from: 06:00, to: 09:00}, {from: 08:30, to: 10:00}], flow: 2 gpm, power: 60 W}", `a.yaml:21:38: clock: the window from Thursday 06:00 is still open when that from Thursday 08:30 begins; let windows follow one another`},
		{"windows overlap over midnight", soundPump, "pump: {control: clock, windows: [{from: 22:00, to: 02:00, days: [Sun]}, {from: 01:00, to: 03:00, days: [Mon]}], flow: 2 gpm, power: 60 W}", `a.yaml:21:38: clock: the window from Sunday 22:00 is still open when that from Monday 01:00 begins; let windows follow one another`},
		{"clock without windows", soundPump, "pump: {control: clock, flow: 2 gpm, power: 60 W}", `a.yaml:21:11: the pump's clock has no windows; add windows: [{from: 06:00, to: 08:30}]`},
		{"window of no time", soundPump, "pump: {control: clock, windows: [{from: 06:00, to: 06:00}], flow: 2 gpm, power: 60 W}", `a.yaml:21:56: a window that shuts when it opens; write 00:00 and 24:00 for a whole day`},
		{"no time of day", soundPump, "pump: {control: clock, windows: [{from: 6 am, to: 25:00}], flow: 2 gpm, power: 60 W}", `a.yaml:21:45: "6 am" is no time of day; write hours and minutes from 00:00 to 24:00, such as 06:30
a.yaml:21:55: "25:00" is no time of day; write hours and minutes from 00:00 to 24:00, such as 06:30`},
		{"unknown day", soundPump, "pump: {control: clock, windows: [{from: 06:00, to: 09:00, days: [Mond]}], flow: 2 gpm, power: 60 W}", `a.yaml:21:69: unknown day "Mond"; write "Mon" (known days: weekdays, weekend, Sun, Mon, Tue, Wed, Thu, Fri, Sat)`},
		{"windows beside continuous", soundPump, "pump: {control: continuous, windows: [{from: 06:00, to: 09:00}], flow: 2 gpm, power: 60 W}", `a.yaml:21:33: windows where the pump's control is continuous; remove it, or write control: clock or clock and aquastat`},
		{"likelihood beside a clock", soundPump, "pump: {control: clock, windows: [{from: 06:00, to: 09:00}], likelihood: 50 %, flow: 2 gpm, power: 60 W}", `a.yaml:21:65: likelihood where the pump's control is clock; remove it, or write control: demand or button or motion`},
		{"false calls beside a button", soundPump, "pump: {control: button, false calls: 3, flow: 2 gpm, power: 60 W}", `a.yaml:21:29: false calls where the pump's control is button; remove it, or write control: motion`},
		{"unknown control", soundPump, "pump: {control: timer, flow: 2 gpm, power: 60 W}", `a.yaml:21:21: unknown value "timer"; known values: continuous, clock, aquastat, clock and aquastat, demand, button, motion, learning, learning and aquastat`},
		{"no flow at all", soundPump, "pump: {control: demand, flow: 0 gpm, power: 60 W}", `a.yaml:21:35: "0 gpm" is out of range; give a flow from 0.100 L/min (0.0264 gpm) to 60.0 L/min (15.9 gpm)`},
		{"flow beside a curve", soundPump, "pump: {control: demand, flow: 2 gpm, curve: [{flow: 0 gpm, head: 9 ft, power: 40 W}, {flow: 8 gpm, head: 0 ft, power: 40 W}]}", `a.yaml:21:29: flow of a pump with a curve; keep one of them: flow and power follow from the curve`},
		{"curve that rises", soundPump, "pump: {control: demand, curve: [{flow: 0 gpm, head: 9 ft, power: 40 W}, {flow: 8 gpm, head: 10 ft, power: 40 W}]}", `a.yaml:21:37: pump curve: head 3.048 m after 2.743 m; it must fall, pump curve: ends at a head of 3.048 m; it must end at 0, the greatest flow`},
		{"check valve too stiff", soundPump, "pump: {control: demand, check valve: 9 psi, curve: [{flow: 0 gpm, head: 9 ft, power: 40 W}, {flow: 8 gpm, head: 0 ft, power: 40 W}]}", `a.yaml:21:57: layout "pumped": the pump's 26.6 kPa do not open the check valve, which takes 62.1 kPa; take a stronger pump or a lighter valve`},
		{"check valve without a curve", soundPump, "pump: {control: demand, check valve: 1 psi, flow: 2 gpm, power: 60 W}", `a.yaml:21:29: a check valve of a pump whose flow is stated; give a curve instead of flow and power, or remove it`},
		{"no return", "    return: {tube: PEX, size: 1/2, zone: crawlspace}\n", "", `a.yaml:17:5: a layout that is pumped (trunk-and-branch) has no return; add return:`},

		{"capacity of zero", soundHeater, strings.Replace(soundHeater, "volume: 50 gal", "volume: 50 gal, layers: 16, power: 0 W", 1), `a.yaml:8:98: "0 W" is out of range; give a power from 100 W to 100000 W`},
		{"store of zero", soundHeater, strings.Replace(soundHeater, "volume: 50 gal", "volume: 0 gal", 1), `a.yaml:8:71: "0 gal" is out of range; give a volume from 0.200 L (0.0528 gal) to 2000 L (528 gal)`},
		{"store of a cup", soundHeater, strings.Replace(soundHeater, "volume: 50 gal", "volume: 1 L", 1), `a.yaml:8:71: "1 L" is out of range; give a volume from 5.00 L (1.32 gal)`},
		{"store without volume", soundHeater, strings.Replace(soundHeater, "volume: 50 gal, ", "", 1), `a.yaml:8:9: a heater has no volume; add volume: of water stored`},
		{"power without layers", soundHeater, strings.Replace(soundHeater, "volume: 50 gal", "volume: 50 gal, power: 9 kW", 1), `a.yaml:8:79: power of a heater to which it does not belong; remove it; it goes with layers: 16, or kind: instantaneous`},
		{"instantaneous heat pump", soundHeater, "heater: {kind: instantaneous, energy: heat pump, at: [2 ft, 30 ft, 0 ft], setpoint: 125 F, zone: indoors}", `a.yaml:8:39: an instantaneous heater of energy heat pump; write energy: gas or electric`},
		{"layers of an instantaneous one", soundHeater, "heater: {kind: instantaneous, energy: gas, layers: 8, at: [2 ft, 30 ft, 0 ft], setpoint: 125 F, zone: indoors}", `a.yaml:8:44: layers of a heater to which it does not belong; remove it; it goes with kind: storage`},
		{"no source", soundHeater, strings.Replace(soundHeater, "energy: gas", "energy: none", 1), `a.yaml:8:33: a tank without a source of heat; add coil:, or another energy`},
		{"flue beyond the loss", soundHeater, strings.Replace(soundHeater, "volume: 50 gal", "volume: 50 gal, layers: 16, loss: 2 W/K, flue: 3 W/K", 1), `a.yaml:8:110: a flue of 3.00 W/K (5.69 Btu/(h F)) that loses more than jacket and flue together, 2.00 W/K (3.79 Btu/(h F)); let it be a part of loss`},
		{"efficiency of an element", soundHeater, strings.Replace(soundHeater, "energy: gas", "energy: electric, layers: 16, efficiency: 0.9", 1), `a.yaml:8:55: efficiency of a heater to which it does not belong; remove it; it goes with energy: gas or heat pump; an element turns all into heat`},
		{"unknown intake", soundHeater, strings.Replace(soundHeater, "energy: gas", "energy: heat pump, layers: 16, intake: attic", 1), `a.yaml:8:64: unknown zone "attic"; known zones: crawlspace, indoors`},
		{"coil by the minute", soundHeater, strings.Replace(soundHeater, "energy: gas", "energy: gas, coil: {energy: sun, output: [{from: 10:30, to: 12:00, power: 1 kW}]}", 1), `a.yaml:8:74: an output from 10:30 to 12:00; write full hours, the first before the second`},
		{"unknown month", soundHeater, strings.Replace(soundHeater, "energy: gas", "energy: gas, coil: {energy: sun, output: [{months: [Juni], from: 10:00, to: 12:00, power: 1 kW}]}", 1), `a.yaml:8:76: unknown month "Juni"; write "Jun" (known months: Jan, Feb, Mar, Apr, May, Jun, Jul, Aug, Sep, Oct, Nov, Dec)`},
		{"heated and cooled at once", "layouts:", "conditioning: {heating: {months: [Apr, May, Jun]}}\nlayouts:", `a.yaml:12:15: June is a month of heating and of cooling; let it be one of them, or neither`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if !strings.Contains(sound, c.old) {
				t.Fatalf("%q is not in the scenario", c.old)
			}
			_, err := Parse("a.yaml", []byte(strings.Replace(sound, c.old, c.new, 1)))
			if got := fmt.Sprint(err); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}

// built is the house of the sound scenario with something else in it.
func built(t *testing.T, old, with string) *Scenario {
	t.Helper()
	s, err := Parse("a.yaml", []byte(strings.Replace(sound, old, with, 1)))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestControlsAreBuilt follows each control from its words to its rule.
func TestControlsAreBuilt(t *testing.T) {
	aquastat := control.Aquastat{On: 35, Off: 40}
	windows := []control.Window{
		{From: 6 * 3600, To: 8.5 * 3600, Days: control.On(time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday)},
		{From: 22 * 3600, To: 86400, Days: control.On(time.Saturday, time.Sunday)},
	}
	const said = "windows: [{from: 06:00, to: 08:30, days: [weekdays]}, {from: 22:00, to: 00:00, days: [Sat, Sun]}]"
	demand := control.Demand{Rise: defaultRise, Warm: defaultWarm, MaxRun: defaultMaxRun}
	sensed := demand
	sensed.Dead = 600
	for words, want := range map[string]control.Rule{
		"control: continuous":                                       control.Continuous{},
		"control: clock, " + said:                                   control.Clock{Windows: windows},
		"control: aquastat, on: 35 C, off: 40 C":                    aquastat,
		"control: clock and aquastat, on: 35 C, off: 40 C, " + said: control.Clock{Windows: windows, Aquastat: &aquastat},
		"control: button":                                           demand,
		"control: demand":                                           demand,
		"control: motion, dead time: 10 min":                        sensed,
		"control: learning, memory: 7 d, least draws: 0.5":          control.Learning{Days: 7, Least: 0.5, Lead: defaultLearningLead},
	} {
		pump := built(t, soundPump, "pump: {"+words+", flow: 2 gpm, power: 60 W}").house.Layouts[1].Pump
		if got := fmt.Sprintf("%#v", plainRule(pump.Rule)); got != fmt.Sprintf("%#v", plainRule(want)) {
			t.Errorf("%s: %s", words, got)
		}
		if called := pump.Button != nil || pump.Motion != nil; called != strings.Contains(fmt.Sprintf("%T", want), "Demand") {
			t.Errorf("%s: button %v, motion %v", words, pump.Button, pump.Motion)
		}
	}
}

// TestSouth: where the mains are coldest in the middle of the year, so are zones of which
// nothing else is said, and rooms are heated then: half a year after the north, by
// symmetry.
func TestSouth(t *testing.T) {
	const north = "mains: {mean: 58 F, amplitude: 9 F, coldest: Feb 10}"
	for mains, south := range map[string]bool{
		north: false,
		"mains: {mean: 58 F, amplitude: 9 F, coldest: Aug 10}":                                       true,
		"mains: {outdoor mean: 58 F, outdoor range: 30 F}":                                           false,
		"mains: {outdoor mean: 58 F, outdoor range: 30 F, southern: true}":                           true,
		"mains: {mean: 58 F, amplitude: 0 F, coldest: Feb 10}":                                       false,
		"mains: {monthly: [20 C, 20 C, 19 C, 16 C, 13 C, 11 C, 10 C, 11 C, 13 C, 15 C, 17 C, 19 C]}": true,
	} {
		made, err := Parse("a.yaml", []byte("conditioning: {}\n"+strings.Replace(sound, north, mains, 1)))
		if err != nil {
			t.Fatal(err)
		}
		h := made.house
		winter := 19.5 // days of the year
		if south {
			winter = 200.5
		}
		crawlspace := h.Climate.Zones[0].Temperature
		cold, warm := crawlspace.At(winter*86400), crawlspace.At((winter+182)*86400)
		if !(cold < warm) || cold > crawlspace.At((winter+10)*86400) || cold > crawlspace.At((winter-10)*86400) {
			t.Errorf("%s: the crawlspace is not coldest %g days into the year", mains, winter)
		}
		if space := h.Space; space.Heating.Months[0] == south || space.Heating.Months[6] != south || space.Cooling.Months[0] != south || space.Cooling.Months[6] == south {
			t.Errorf("%s: heated in %v, cooled in %v", mains, space.Heating.Months, space.Cooling.Months)
		}
	}
}

// plainRule is a rule that prints alike if it is alike.
func plainRule(r control.Rule) any {
	if k, ok := r.(control.Clock); ok && k.Aquastat != nil {
		return []any{k.Windows, *k.Aquastat}
	}
	return r
}

// A curve gives the flow at which the loop takes its head, and says so.
func TestPumpCurve(t *testing.T) {
	s := built(t, soundPump, "pump: {control: demand, curve: [{flow: 0 gpm, head: 9 ft, power: 40 W}, {flow: 8 gpm, head: 0 ft, power: 60 W}]}")
	p := s.house.Layouts[1].Pump
	share := p.Flow / (8 * gallonPerMinute)
	if !(share > 0.01 && share < 0.99) || !(math.Abs(p.Power-(40+20*share)) < 1e-6) {
		t.Errorf("flow %g m³/s, power %g W", p.Flow, p.Power)
	}
	if !slices.ContainsFunc(s.Assumed, func(a Assumption) bool { return a.Path == "layouts.pumped.pump.flow" }) {
		t.Errorf("%v does not tell the flow", s.Assumed)
	}
}

// TestHeatersAreBuilt follows each kind of heater from its words.
func TestHeatersAreBuilt(t *testing.T) {
	with := func(words string) heater.Kind {
		return built(t, soundHeater, "heater: {at: [2 ft, 30 ft, 0 ft], setpoint: 125 F, zone: indoors, "+words+"}").house.Heater.Kind
	}
	if h, ok := with("kind: storage, energy: gas, volume: 50 gal").(heater.Held); !ok || h.Carrier != heater.Gas || h.Loss != 4.5 {
		t.Errorf("%+v is not held", h)
	}
	if h, ok := with("kind: storage, energy: electric, volume: 50 gal, layers: 20").(heater.Storage); !ok || h.Layers != 20 || h.Upper == nil || h.Main.Source != (heater.Element{Power: 4500}) {
		t.Errorf("%+v is no tank with two elements", h)
	}
	if h := with("kind: storage, energy: electric, volume: 50 gal, layers: 20, upper: 0 W").(heater.Storage); h.Upper != nil {
		t.Errorf("%+v has an upper element", h)
	}
	if h := with("kind: storage, energy: gas, volume: 50 gal, layers: 16, loss: 4 W/K, flue: 3 W/K").(heater.Storage); h.Loss != 1 || h.Main.Source.(heater.Burner).Flue != 3 {
		t.Errorf("%+v has another flue", h)
	}
	if h := with("kind: storage, energy: heat pump, volume: 50 gal, layers: 16, intake: crawlspace").(heater.Storage); h.Main.Source.(heater.HeatPump).COP != heater.UsualCOP.As(4.9) || h.Upper.Setpoint != h.Main.Setpoint-8 {
		t.Errorf("%+v is another heat pump", h)
	}
	h := with("kind: storage, energy: none, volume: 80 gal, coil: {energy: wood, output: [{from: 06:00, to: 08:00, power: 2 kW}, {months: [Jan], from: 07:00, to: 08:00, power: 1 kW}]}").(heater.Storage)
	if h.Main != nil || h.Coil.Carrier != heater.Wood || h.Coil.Output[0] != [24]float64{6: 2000, 7: 3000} || h.Coil.Output[6] != [24]float64{6: 2000, 7: 2000} || h.Layers != heater.DefaultLayers {
		t.Errorf("%+v, coil %+v", h, h.Coil)
	}
	if h, ok := with("kind: instantaneous, energy: gas, delay: 5 s").(heater.Instantaneous); !ok || h.Delay != 5 || h.Efficiency != 0.82 || h.LeastFlow != 0.5*gallonPerMinute {
		t.Errorf("%+v is another heater", h)
	}
}

// TestHeaterProvenance holds that a default of a heater is explained by heaters of its
// own kind, and that it lies within the range that the explanation names.
func TestHeaterProvenance(t *testing.T) {
	for words, want := range map[string]struct{ path, kind string }{
		"kind: instantaneous, energy: gas":                                                                                   {"heater.efficiency", "instantaneous gas"},
		"kind: instantaneous, energy: electric":                                                                              {"heater.efficiency", "immersed elements"},
		"kind: storage, energy: gas, volume: 50 gal":                                                                         {"heater.efficiency", "gas storage"},
		"kind: storage, energy: gas, volume: 50 gal, layers: 16":                                                             {"heater.efficiency", "gas storage"},
		"kind: storage, energy: electric, volume: 50 gal, layers: 16":                                                        {"heater.loss", "electric storage"},
		"kind: storage, energy: heat pump, volume: 50 gal":                                                                   {"heater.efficiency", "in mild air"},
		"kind: storage, energy: heat pump, volume: 50 gal, layers: 16":                                                       {"heater.efficiency", "water at 27 C"},
		"kind: storage, energy: none, volume: 80 gal, coil: {energy: wood, output: [{from: 06:00, to: 08:00, power: 2 kW}]}": {"heater.loss", "a coil"},
	} {
		assumed := built(t, soundHeater, "heater: {at: [2 ft, 30 ft, 0 ft], setpoint: 125 F, zone: indoors, "+words+"}").Assumed
		i := slices.IndexFunc(assumed, func(a Assumption) bool { return a.Path == want.path })
		if i < 0 {
			t.Errorf("%s: no %s is assumed", words, want.path)
			continue
		}
		a := assumed[i]
		if !strings.Contains(a.Why, want.kind) {
			t.Errorf("%s: %s is explained by %q", words, a.Path, a.Why)
		}
		var value, least, most float64
		fmt.Sscan(a.Value, &value)
		if found := regexp.MustCompile(`([\d.]+) to ([\d.]+)`).FindStringSubmatch(a.Why); found != nil {
			fmt.Sscan(found[1], &least)
			fmt.Sscan(found[2], &most)
			if !(least <= value && value <= most) {
				t.Errorf("%s: %s is %g, and not from %g to %g", words, a.Path, value, least, most)
			}
		}
	}
}
