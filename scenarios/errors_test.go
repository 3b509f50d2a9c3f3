package scenarios

import (
	"fmt"
	"strings"
	"testing"
)

// sound is a scenario that each case below spoils.
const sound = `name: A house
people: 3
climate:
  mains: {mean: 58 F, amplitude: 9 F, coldest: Feb 10}
  zones:
    crawlspace: {mean: 60 F, amplitude: 8 F}
    indoors: {mean: 71 F, conditioned: true}
heater: {kind: storage, energy: gas, at: [2 ft, 30 ft, 0 ft], volume: 50 gal, setpoint: 125 F, zone: indoors}
fixtures:
  kitchen sink: {use: kitchen, at: [46 ft, 8 ft, 3 ft], flow: 1.5 gpm}
  hall shower: {use: shower, at: [30 ft, 28 ft, 6 ft], flow: 2.0 gpm}
layouts:
  - name: trunk
    arrangement: trunk-and-branch
    trunk: {tube: copper L, size: 3/4, zone: crawlspace}
    branch: {tube: copper L, size: 1/2, zone: crawlspace}
  - name: pumped
    arrangement: pumped
    like: trunk
    return: {tube: PEX, size: 1/2, zone: crawlspace}
    pump: {control: demand, flow: 2 gpm, power: 60 W}
  - name: found
    pipes:
      - {from: heater, to: tee, length: 12 ft, tube: copper M, size: 3/4, zone: crawlspace, insulation: 1/2 in foam}
      - {from: tee, to: kitchen sink, length: 60 ft, tube: copper M, size: 3/4, zone: crawlspace}
      - {from: tee, to: hall shower, length: 20 ft, tube: copper M, size: 1/2, zone: crawlspace}
`

func TestSoundScenario(t *testing.T) {
	for _, name := range []string{"found", strings.Repeat("ø", 60)} {
		if _, err := Parse("a.yaml", []byte(strings.Replace(sound, "name: found", "name: "+name, 1))); err != nil {
			t.Fatal(err)
		}
	}
}

func TestEveryMistake(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		want           []string
	}{
		{"unknown key", "flow: 1.5 gpm", "flwo: 1.5 gpm", []string{
			`10:17: a fixture has no flow; add flow: hot and cold together, fully open; at less a household uses as much, for longer`,
			`10:57: unknown key "flwo" in a fixture; write "flow" (known keys: use, at, flow, usable, pressure)`,
		}},
		{"unknown key at the top", "people: 3", "people: 3\nfancy: yes", []string{
			`3:1: unknown key "fancy" in a scenario; known keys: name, people, bedrooms, pressure, water, code, cold units, limits, climate, heater, fixtures, places, plan, draws, rates, conditioning, layouts`,
		}},
		{"no unit", "flow: 1.5 gpm", "flow: 1.5", []string{
			`10:63: "1.5" has no unit; write a flow with its unit, such as 1.5 gpm or 5.7 L/min`,
		}},
		{"wrong dimension", "volume: 50 gal", "volume: 50 gpm", []string{
			`8:71: "50 gpm" is a flow; write a volume with its unit, such as 50 gal or 190 L`,
		}},
		{"not a number", "mean: 71 F", "mean: .nan", []string{
			`7:21: ".nan" is not a finite number; write a temperature with its unit, such as 120 F or 49 C`,
		}},
		{"infinite", "mean: 71 F", "mean: .inf F", []string{
			`7:21: ".inf F" is not a finite number; write a temperature with its unit, such as 120 F or 49 C`,
		}},
		{"negative length", "length: 60 ft", "length: -60 ft", []string{
			`25:47: "-60 ft" is out of range; give a length from 0.0100 m (0.0328 ft) to 500 m (1640 ft)`,
		}},
		{"unknown tube", "return: {tube: PEX,", "return: {tube: PXE,", []string{
			`20:20: unknown tube "PXE"; nearest: PEX, CPVC, PP-R, PE-RT`,
		}},
		{"unknown size", "return: {tube: PEX, size: 1/2", "return: {tube: PEX, size: 7/16", []string{
			`20:31: tube "PEX" has no size "7/16"; sizes: 1/4, 3/8, 1/2, 5/8, 3/4, 1, 1-1/4, 1-1/2, 2`,
		}},
		{"unknown insulation", "1/2 in foam", "1/2 in straw", []string{
			`24:105: unknown insulation "straw"; known: foam, elastomeric foam, fibreglass`,
		}},
		{"insulation without thickness", "1/2 in foam", "foam", []string{
			`24:105: "foam" is no insulation; write thickness and material, such as 1/2 in foam or 13 mm foam, or none`,
		}},
		{"unknown zone", "setpoint: 125 F, zone: indoors", "setpoint: 125 F, zone: indors", []string{
			`8:102: unknown zone "indors"; write "indoors" (known zones: crawlspace, indoors)`,
		}},
		{"fixture not reached", "to: hall shower, length", "to: cupboard, length", []string{
			`22:11: layout "found": no pipe of the supply ends at fixture "hall shower"; let a pipe end at "hall shower"; neither fixture nor pipe is at "cupboard"`,
		}},
		{"cycle that is no return", "to: hall shower, length: 20 ft", "to: heater, length: 20 ft", []string{
			`22:11: layout "found": no pipe of the supply ends at fixture "hall shower"; let a pipe end at "hall shower"`,
			`26:9: layout "found": the pipe runs into the heater; mark the pipe as part of the return line, or turn it round`,
		}},
		{"return without pump", "    pipes:\n", "    pipes:\n      - {from: tee, to: heater, length: 9 ft, tube: PEX, size: 1/2, zone: crawlspace, return: true}\n", []string{
			`22:11: layout "found" has a return line and no pump; add pump:`,
		}},
		{"pump without return", "    pipes:\n", "    pump: {control: continuous, flow: 2 gpm, power: 60 W}\n    pipes:\n", []string{
			`22:11: layout "found" has a pump and no return line; mark the pipes that lead back to the heater with return: true`,
		}},
		{"two heaters", "fixtures:", "heater: {kind: storage}\nfixtures:", []string{
			`9:1: "heater" stands here twice, first on line 8; keep one`,
		}},
		{"no fixtures", "  kitchen sink: {use: kitchen, at: [46 ft, 8 ft, 3 ft], flow: 1.5 gpm}\n  hall shower: {use: shower, at: [30 ft, 28 ft, 6 ft], flow: 2.0 gpm}\n", "  {}\n", []string{
			`10:3: an empty mapping where a fixture is expected; write at least one`,
		}},
		{"no pipes", "    pipes:\n", "    pipes: []\n    unread:\n", []string{
			`23:12: an empty list where a pipe is expected; write at least one`,
			`24:5: unknown key "unread" in a layout; known keys: name, arrangement, like, heaters, trunk, branch, manifold, manifolds, supply, runs, longest branch, return, pump, pipes`,
		}},
		{"a name of two lines", "name: found", `name: "fou\nnd"`, []string{
			`22:11: not a short text; write 1 to 60 characters on one line`,
		}},
		{"fixture called heater", "kitchen sink: {", "heater: {", []string{
			`10:3: a fixture is called "heater"; give it another name: pipes begin at the heater`,
		}},
		{"a price that is a slip", "layouts:", "rates: {water: 3e9 USD/m3}\nlayouts:", []string{
			`12:16: "3e9 USD/m3" is out of range; give a price that somebody pays`,
		}},
		{"a pattern and habits", "layouts:", "draws: {pattern: EU 814/2013 M, population: true}\nlayouts:", []string{
			`12:18: a pattern or record beside other keys; keep one of record, pattern and a household's habits`,
		}},
		{"a record and no folder", "layouts:", "draws: {record: draws.csv}\nlayouts:", []string{
			`12:17: a record in a scenario that is not a file; save the scenario beside the record and name its file`,
		}},
		{"unknown pattern", "layouts:", "draws: {pattern: EU 814/2013 N}\nlayouts:", []string{
			`12:18: unknown value "EU 814/2013 N"; write "EU 814/2013 S" (known values: 10 CFR 430 very small, 10 CFR 430 low, 10 CFR 430 medium, 10 CFR 430 high, EU 814/2013 3XS, EU 814/2013 XXS, EU 814/2013 XS, EU 814/2013 S, EU 814/2013 M, EU 814/2013 L, EU 814/2013 XL, EU 814/2013 XXL)`,
		}},
		{"return run beside listed pipes", "    pipes:\n", "    return: {tube: PEX, size: 1/2, zone: indoors}\n    pipes:\n", []string{
			`23:13: a return run in a layout that lists its pipes; list the return line's pipes with return: true`,
		}},
		{"fixture where the heater is", "at: [46 ft, 8 ft, 3 ft]", "at: [2 ft, 30 ft, 0 ft]", []string{
			`13:11: layout "trunk": fixture "kitchen sink": it stands where the heater stands; place it where its tap is`,
			`17:11: layout "pumped": fixture "kitchen sink": it stands where the heater stands; place it where its tap is`,
		}},
		{"buried in the air", "zone: crawlspace, insulation", "zone: crawlspace, buried: {depth: 1 mm, conductivity: 1 W/K}, insulation", []string{
			`24:109: "1 mm" is out of range; give a length from 0.0200 m (0.0656 ft) to 10.0 m (32.8 ft)`,
			`24:129: "1 W/K" is a conductance; write a conductivity with its unit, such as 1.2 W/(m K)`,
		}},
		{"a plan beside fixtures", "layouts:", "plan: {floors: 1, area: 100 m2, bathrooms: 1}\nlayouts:", []string{
			`12:7: a plan beside fixtures; keep one: a plan says which fixtures there are, and where`,
		}},
		{"fixtures left out", "fixtures:\n  kitchen sink: {use: kitchen, at: [46 ft, 8 ft, 3 ft], flow: 1.5 gpm}\n  hall shower: {use: shower, at: [30 ft, 28 ft, 6 ft], flow: 2.0 gpm}\n", "", []string{
			`1:1: a scenario has no fixtures; add fixtures: taps and machines by name, or plan:`,
		}},
		{"duplicate fixture", "  hall shower:", "  kitchen sink:", []string{
			`11:3: "kitchen sink" stands here twice, first on line 10; keep one`,
		}},
		{"duplicate layout", "name: pumped", "name: trunk", []string{
			`17:11: layout "trunk" stands twice, first on line 13; give each layout a name of its own`,
		}},
		{"layout of another's name unknown", "like: trunk", "like: drunk", []string{
			`19:11: unknown layout "drunk"; write "trunk" (known earlier layouts: trunk)`,
		}},
		{"people", "people: 3", "people: 13", []string{
			`2:9: "13" is out of range; give a whole number from 1 to 12`,
		}},
		{"people in halves", "people: 3", "people: 2.5", []string{
			`2:9: "2.5" is not a whole number; give a whole number from 1 to 12`,
		}},
		{"efficiency that is no number", "zone: indoors}\nfix", "zone: indoors, efficiency: good}\nfix", []string{
			`8:123: "good" is not a number; give a number from 0.1 to 8`,
		}},
		{"a list for layouts by name", "  kitchen sink: {use: kitchen, at: [46 ft, 8 ft, 3 ft], flow: 1.5 gpm}\n  hall shower: {use: shower, at: [30 ft, 28 ft, 6 ft], flow: 2.0 gpm}\n", "  [kitchen sink]\n", []string{
			`10:3: a list where a mapping, each key the name of a fixture, is expected; write a mapping of keys`,
		}},
		{"a mapping for pipes", "    pipes:\n      - {from: heater, to: tee, length: 12 ft, tube: copper M, size: 3/4, zone: crawlspace, insulation: 1/2 in foam}\n      - {from: tee, to: kitchen sink, length: 60 ft, tube: copper M, size: 3/4, zone: crawlspace}\n      - {from: tee, to: hall shower, length: 20 ft, tube: copper M, size: 1/2, zone: crawlspace}\n", "    pipes: {from: heater}\n", []string{
			`23:12: a mapping of keys where a list, each item a pipe, is expected; write a list`,
		}},
		{"a price below nothing", "layouts:", "rates: {water: -3 USD/m3}\nlayouts:", []string{
			`12:16: "-3 USD/m3" is a price below 0; write a price with its currency and unit, such as 4 USD/m3`,
		}},
		{"a name too long", "name: found", "name: " + strings.Repeat("ø", 61), []string{
			`22:11: not a short text; write 1 to 60 characters on one line`,
		}},
		{"people in words", "people: 3", "people: three", []string{
			`2:9: "three" is not a whole number; give a whole number from 1 to 12`,
		}},
		{"list for a value", "people: 3", "people: [3]", []string{
			`2:9: a list where a single value is expected; write one, such as 1`,
		}},
		{"value for a mapping", "pump: {control: demand, flow: 2 gpm, power: 60 W}", "pump: fast", []string{
			`21:11: a single value where a pump is expected; write a mapping of keys`,
		}},
		{"nothing for a value", "people: 3", "people:", []string{
			`2:8: people has no value; give it one or remove the key`,
		}},
		{"two coordinates", "at: [2 ft, 30 ft, 0 ft]", "at: [2 ft, 30 ft]", []string{
			`8:42: a place that is not three lengths; write [x, y, z], such as [24 ft, 8 ft, 3 ft]`,
		}},
		{"no place", "hall shower: {use: shower, at: [30 ft, 28 ft, 6 ft],", "hall shower: {use: shower,", []string{
			`11:3: fixture "hall shower" has no place; add at: [x, y, z], for layout "trunk" is generated from where things stand`,
			`11:3: fixture "hall shower" has no place; add at: [x, y, z], for layout "pumped" is generated from where things stand`,
		}},
		{"unknown use", "use: kitchen", "use: kitchn", []string{
			`10:23: unknown value "kitchn"; write "kitchen" (known values: shower, bath, kitchen, lavatory, dishwasher, clothes washer)`,
		}},
		{"usable above the setpoint", "flow: 1.5 gpm", "flow: 1.5 gpm, usable: 130 F", []string{
			`10:80: "kitchen sink" would wait for ever: usable is 54.4 C (130.0 F) and the heater keeps 51.7 C (125.0 F); let usable be below the heater's setpoint`,
		}},
		{"efficiency", "zone: indoors}\nfix", "zone: indoors, efficiency: 1.2}\nfix", []string{
			`8:123: an efficiency of 1.2 where the energy is gas; give a number from 0.3 to 1`,
		}},
		{"mains that freeze", "amplitude: 9 F, coldest", "amplitude: 30 F, coldest", []string{
			`4:34: the mains would freeze; give an amplitude of at most 14.4 K (26.0 F)`,
		}},
		{"mains given twice", "coldest: Feb 10", "coldest: Feb 10, outdoor mean: 50 F", []string{
			`4:10: the mains are given twice; give mean, amplitude and coldest, or outdoor mean and outdoor range, or monthly`,
		}},
		{"day that is none", "Feb 10", "Feb 30", []string{
			`4:48: "Feb 30" is not a day of a year of 365 days; write month and day, such as Feb 10`,
		}},
		{"key of another arrangement", "    branch:", "    supply: {tube: PEX, size: 1/2, zone: indoors}\n    branch:", []string{
			`16:13: supply in a layout that is trunk-and-branch; remove it or change the arrangement`,
		}},
		{"pump where there is no loop", "    branch:", "    pump: {control: demand, flow: 2 gpm, power: 60 W}\n    branch:", []string{
			`16:11: pump in a layout that is not pumped; write arrangement: pumped, or remove it`,
		}},
		{"no arrangement", "    arrangement: trunk-and-branch\n", "", []string{
			`13:5: the layout's arrangement is not clear; add arrangement: trunk-and-branch, short-tree or home-run, like: an earlier layout, or pipes:`,
		}},
		{"no trunk", "    trunk: {tube: copper L, size: 3/4, zone: crawlspace}\n", "", []string{
			`13:5: a layout that is trunk-and-branch has no trunk; add trunk:`,
		}},
		{"pressure and water", "people: 3", "people: 3\npressure: 40 psi\nwater: {static: 60 psi, residual: 61 psi}", []string{
			`3:11: a pressure at the heater's outlet beside water:; keep one of them`,
			`4:35: a residual pressure without its flow; add at: the flow at which it was measured`,
		}},
		{"residual above static", "people: 3", "people: 3\nwater: {static: 60 psi, residual: 61 psi, at: 5 gpm}", []string{
			`3:35: a residual pressure above the static one; give at most 414 kPa (60.0 psi)`,
		}},
		{"flow without residual", "people: 3", "people: 3\nwater: {static: 60 psi, at: 5 gpm, lines: [{tube: PEX, size: 9, length: 9 ft}]}", []string{
			`3:29: a flow without the residual pressure at it; add residual: the pressure while it is drawn`,
			`3:62: tube "PEX" has no size "9"; sizes: 1/4, 3/8, 1/2, 5/8, 3/4, 1, 1-1/4, 1-1/2, 2`,
		}},
		{"unknown code", "people: 3", "people: 3\ncode: XPC\nlimits: {codes: [IPC, XPC]}", []string{
			`3:7: no fixture units of "XPC"; there are those of IPC, UPC`,
			`4:17: no limits of "XPC"; there are those of CDA, IRC, maker, Chicago, IPC, Minnesota, WaterSense, IECC, UPC`,
		}},
		{"limits and no folder", "people: 3", "people: 3\nlimits: {file: limits.csv}", []string{
			`3:16: a file of limits in a scenario that is not a file; save the scenario beside the file of limits and name its file`,
		}},
		{"way-point off the route", "trunk: {tube: copper L, size: 3/4,", "trunk: {tube: copper L, size: 3/4, via: [[46 ft, 30 ft, 0 ft], [40 ft, 30 ft, 0 ft]],", []string{
			`13:11: layout "trunk", trunk: way-point 2 is not on the route: the route runs back on itself; move it or take it out`,
			`17:11: layout "pumped", trunk: way-point 2 is not on the route: the route runs back on itself; move it or take it out`,
		}},
		{"way-points of a short tree", "    arrangement: trunk-and-branch\n    trunk: {", "    arrangement: short-tree\n    trunk: {via: [[46 ft, 30 ft, 0 ft]], ", []string{
			`15:18: way-points of a trunk whose way is to be found; remove them, or write arrangement: trunk-and-branch with one heater and no longest branch`,
		}},
		{"a place that is none", "trunk: {tube", "trunk: {via: [], tube", []string{
			`15:18: no list of places; write 1 to 20000, such as [[24 ft, 8 ft, 3 ft]]`,
		}},
		{"several heaters and a pump", "    arrangement: pumped", "    heaters: [[2 ft, 30 ft, 0 ft], [40 ft, 9 ft, 0 ft]]\n    arrangement: pumped", []string{
			`18:14: heaters in a layout that is pumped (trunk-and-branch) with several heaters; remove it or change the arrangement`,
		}},
		{"a heater of no fixture", "    trunk: {", "    heaters: [[2 ft, 30 ft, 0 ft], [400 ft, 9 ft, 0 ft]]\n    trunk: {", []string{
			`13:11: layout "trunk": heater 2 is nearest to no fixture; leave it out or move it`,
			`18:5: a pump in a layout whose like has several heaters; give heaters: one place, or let it be like another`,
		}},
		{"longest branch without a loop", "    branch:", "    longest branch: 6 ft\n    branch:", []string{
			`16:21: longest branch in a layout that is trunk-and-branch; remove it or change the arrangement`,
		}},
		{"return line to be chosen", "return: {tube: PEX, size: 1/2", "return: {tube: PEX, size: choose", []string{
			`20:31: a return line whose size is to be chosen; state its size: it carries what the pump sends, and no demand of fixtures`,
		}},
		{"kind without sizes", "trunk: {tube: copper L, size: 3/4", "trunk: {tube: lead, size: choose", []string{
			`15:19: unknown tube "lead"; nearest: PEX, CPVC, PE-RT, PP-R`,
		}},
		{"a node without a place", "to: kitchen sink, length: 60 ft", "to: kitchen sink, at: [46 ft, 8 ft, 3 ft], length: 60 ft", []string{
			`22:11: layout "found": it is not said where it has tee; give every pipe at: where it ends, or none`,
		}},
		{"elbows", "length: 60 ft", "length: 60 ft, elbows: -1", []string{
			`25:62: "-1" is out of range; give a whole number from 0 to 100`,
		}},
		{"no tube", "trunk: {tube: copper L, size: 3/4,", "trunk: {size: 3/4,", []string{
			`15:12: the trunk has no tube; add tube: copper L`,
		}},
		{"exception for nobody", "branch: {", "branch: {except: {hall showr: {size: 3/4}}, ", []string{
			`16:23: unknown fixture "hall showr"; write "hall shower" (known fixtures: kitchen sink, hall shower)`,
		}},
		{"prices in two currencies", "layouts:", "rates: {water: 3 EUR/m3, electricity: 0.2 USD/kWh}\nlayouts:", []string{
			`12:39: a price in USD beside one in EUR; give all prices in one currency`,
		}},
		{"price without currency", "layouts:", "rates: {water: 3}\nlayouts:", []string{
			`12:16: "3" is not a price; write a price with its currency and unit, such as 4 USD/m3`,
		}},
		{"daily beside total", "layouts:", "draws: {daily: 150 L, total: rated}\nlayouts:", []string{
			`12:16: a daily volume beside a total; keep one of daily and total`,
		}},
		{"an anchor", "mean: 71 F", "mean: &warm 71 F", []string{
			`7:21: an anchor &warm; write the value out; a layout takes over another's with like:`,
		}},
		{"an alias of an anchor", "people: 3", "people: &n 3\nbedrooms: *n", []string{
			`2:9: an anchor &n; write the value out; a layout takes over another's with like:`,
			`3:11: an alias *n; write the value out; a layout takes over another's with like:`,
		}},
		{"an alias", "mean: 71 F", "mean: *warm", []string{
			`7:21: not YAML: unknown anchor 'warm' referenced; check the indentation, the colons and the brackets up to here`,
		}},
		{"a merge key", "mean: 71 F", "<<: {mean: 71 F}", []string{
			`7:14: a zone has no mean; add mean: over the year`,
			`7:15: unknown key "<<" in a zone; known keys: mean, amplitude, coldest, daily, conditioned`,
		}},
		{"a tag", "people: 3", "people: !!int 3", []string{
			`2:9: a tag !!int; write the value alone`,
		}},
		{"a tab", "  kitchen sink:", "\tkitchen sink:", []string{
			`10:1: a tab in the indentation; indent with spaces`,
		}},
		{"two documents", "climate:", "---\nclimate:", []string{
			`3:1: a second document begins here; a file holds one document: remove the --- or make two files`,
		}},
		{"an open bracket", "[2 ft, 30 ft, 0 ft]", "[2 ft, 30 ft, 0 ft", []string{
			`8:108: not YAML: did not find expected ',' or ']'; check the indentation, the colons and the brackets up to here`,
		}},
		{"not UTF-8", "A house", "A h\xffuse", []string{
			`1:10: a byte that is not UTF-8; save the file as plain UTF-8 text`,
		}},
		{"a control character", "A house", "A h\x00use", []string{
			`1:10: a control character U+0000; save the file as plain UTF-8 text`,
		}},
		{"nesting", "people: 3", "people: " + strings.Repeat("[", 30) + strings.Repeat("]", 30), []string{
			`2:25: more than 16 levels of nesting; write it flatter`,
		}},
		{"all at once", "people: 3\nclimate:\n  mains: {mean: 58 F, amplitude: 9 F", "people: 0\nclimate:\n  mains: {mean: 58, amplitude: 9 psi", []string{
			`2:9: "0" is out of range; give a whole number from 1 to 12`,
			`4:17: "58" has no unit; write a temperature with its unit, such as 120 F or 49 C`,
			`4:32: "9 psi" is a pressure; write a temperature difference with its unit, such as 9 F or 5 K`,
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if !strings.Contains(sound, c.old) {
				t.Fatalf("%q is not in the scenario", c.old)
			}
			_, err := Parse("a.yaml", []byte(strings.Replace(sound, c.old, c.new, 1)))
			var want []string
			for _, w := range c.want {
				want = append(want, "a.yaml:"+w)
			}
			if got := fmt.Sprint(err); got != strings.Join(want, "\n") {
				t.Errorf("got\n%s\nwant\n%s", got, strings.Join(want, "\n"))
			}
		})
	}
}

// A mistake in what sizes are chosen for is told alone, and not again as what the
// choice makes of it.
func TestNothingToChooseSizesBy(t *testing.T) {
	chosen := strings.Replace(sound, "size: 3/4", "size: choose", 1)
	if _, err := Parse("a.yaml", []byte(chosen)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, old, new, want string }{
		{"flow out of range", "flow: 1.5 gpm", "flow: 150 gpm", `10:63: "150 gpm" is out of range; give a flow from 0.500 L/min (0.132 gpm) to 60.0 L/min (15.9 gpm)`},
		{"no flow", ", flow: 1.5 gpm", "", `10:17: a fixture has no flow; add flow: hot and cold together, fully open; at less a household uses as much, for longer`},
		{"unknown code", "people: 3", "people: 3\ncode: IPX", `3:7: no fixture units of "IPX"; there are those of IPC, UPC`},
		{"street without pressure", "people: 3", "people: 3\nwater: {static: 4000 psi}", `3:17: "4000 psi" is out of range; give a pressure from 10.0 kPa (1.45 psi) to 2000 kPa (290 psi)`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse("a.yaml", []byte(strings.Replace(chosen, c.old, c.new, 1)))
			if got := fmt.Sprint(err); got != "a.yaml:"+c.want {
				t.Errorf("got  %s\nwant a.yaml:%s", got, c.want)
			}
		})
	}
}

func TestWholeFiles(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "a.yaml:1:1: the file is empty; begin with name:, people:, climate:, heater:, fixtures: and layouts:"},
		{"comments only", "# nothing\n", "a.yaml:1:1: the file is empty; begin with name:, people:, climate:, heater:, fixtures: and layouts:"},
		{"a list", "- a\n- b\n", "a.yaml:1:1: a list where a scenario is expected; write a mapping of keys"},
		{"too large", strings.Repeat("# comment\n", 5<<20), "a.yaml:1:1: the file is larger than 256 kB; a scenario or a study is far smaller; is this the right file?"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse("a.yaml", []byte(c.text))
			if got := fmt.Sprint(err); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// Letters are compared, not the bytes that they take.
func TestNearest(t *testing.T) {
	for _, c := range []struct{ asked, name, want string }{
		{"kitchn sink", "kitchen sink", "kitchen sink"},
		{"Kuuche", "Küüche", "Küüche"}, // two letters of six, four bytes
		{"да", "не", ""},               // no letter the same, and two bytes of four
		{"sink", "bath", ""},
		{"bath", "a bath of another length", ""},
	} {
		if got, _ := nearest(c.asked, []string{"something else", c.name}); got != c.want {
			t.Errorf("%s: got %q, want %q", c.asked, got, c.want)
		}
	}
}
