package scenarios

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pipelag/sim/control"
)

const soundLoop = "    return: {tube: PEX, size: 1/2, zone: crawlspace}\n    pump: {control: demand, flow: 2 gpm, power: 60 W}\n"

// Every way in which a return through the cold line contradicts itself is told with
// its place.
func TestCrossoverMistakes(t *testing.T) {
	loop := func(back, pump string) string {
		return fmt.Sprintf("    return: {%s}\n    pump: {control: %s, flow: 2 gpm, power: 60 W}\n", back, pump)
	}
	for _, c := range []struct{ name, old, new, want string }{
		{"unknown line", soundLoop, loop("line: warm, tube: PEX, size: 1/2, zone: crawlspace", "button"), `a.yaml:20:20: unknown value "warm"; known values: own, cold`},
		{"unknown fixture", soundLoop, loop("line: cold, crossover: kitchen", "button"), `a.yaml:20:37: unknown fixture "kitchen"; known fixtures: kitchen sink, hall shower`},
		{"no cold pipe at the fixture", "hall shower: {use: shower,", "hall shower: {use: dishwasher,", ""},
		{"crossover of an own line", soundLoop, loop("tube: PEX, size: 1/2, zone: crawlspace, crossover: kitchen sink", "button"), `a.yaml:20:54: crossover of a loop with a return line of its own; remove it, or write line: cold`},
		{"valve of an own line", soundLoop, loop("line: own, tube: PEX, size: 1/2, zone: crawlspace, closes: 95 F, opens: 85 F", "continuous"), `a.yaml:20:65: closes of a loop with a return line of its own; remove it, or write line: cold
a.yaml:20:79: opens of a loop with a return line of its own; remove it, or write line: cold`},
		{"opens above closes", soundLoop, loop("line: cold, closes: 90 F, opens: 95 F", "continuous"), `a.yaml:20:47: opens at 35.0 C (95.0 F) is not below closes at 32.2 C (90.0 F); let opens be below closes; the valve would move without end`},
		{"closes above the set point", soundLoop, loop("line: cold, closes: 130 F", "continuous"), `a.yaml:20:34: the valve at the crossover never shuts at 54.4 C (130.0 F): the heater is set to 51.7 C (125.0 F); let closes be some degrees below the set point`},
		{"valve of a pump with a sensor", soundLoop, loop("line: cold, closes: 95 F", "button"), `a.yaml:20:26: closes where the pump's control is button, which stops by its own sensor at the crossover; remove it, and give the pump warm:`},
		{"aquastat", soundLoop, loop("line: cold", "aquastat, on: 90 F, off: 100 F"), `a.yaml:21:21: aquastat where the loop returns through the cold line, whose temperature at the heater tells nothing; write control: continuous, clock, learning, button or motion; the crossover's valve is the thermostat`},
		{"tube without size", soundLoop, loop("line: cold, tube: PEX", "button"), `a.yaml:20:13: the cold line has only one of tube and size; add the other, or leave both out for those of the hot pipes beside it`},
		{"size to be chosen", soundLoop, loop("line: cold, tube: PEX, size: choose", "button"), `a.yaml:20:43: a cold line whose size is to be chosen; state its size, or leave tube and size out for those of the hot pipes beside it`},
		{"a loop by every fixture", soundLoop, "    longest branch: 5 ft\n" + loop("line: cold", "button"), `a.yaml:20:21: a longest branch of a loop that returns through the cold line; remove it, or give the return a line of its own`},
		{"no pump", soundLoop, "    return: {line: cold}\n", `a.yaml:17:5: a layout that is pumped (trunk-and-branch) has no pump; add pump:`},
		{"not pumped", "    branch: {tube: copper L, size: 1/2, zone: crawlspace}\n", "    branch: {tube: copper L, size: 1/2, zone: crawlspace}\n    return: {line: cold}\n", `a.yaml:17:13: return in a layout that is not pumped; write arrangement: pumped, or remove it`},
		{"both lines, listed", "  - name: found\n    pipes:\n", "  - name: found\n" + loop("line: cold", "button") + "    pipes:\n      - {from: tee, to: heater, length: 12 ft, tube: PEX, size: 1/2, zone: crawlspace, return: true}\n", `a.yaml:23:13: a return through the cold line beside a return line of its own; remove one of them: line: cold, or the pipes with return: true`},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(sound, c.old, c.new, 1)
			if text == sound {
				t.Fatalf("%q is not in the scenario", c.old)
			}
			want := c.want
			if want == "" {
				text = strings.Replace(text, soundLoop, loop("line: cold, crossover: hall shower", "button"), 1)
				want = `a.yaml:20:37: a crossover at "hall shower", which has no cold pipe; put it at a fixture with a cold tap`
			}
			_, err := Parse("a.yaml", []byte(text))
			if got := fmt.Sprint(err); got != want {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
	all := strings.NewReplacer("use: kitchen", "use: dishwasher", "use: shower", "use: dishwasher", soundLoop, loop("line: cold", "button")).Replace(sound)
	_, err := Parse("a.yaml", []byte(all))
	if got, want := fmt.Sprint(err), `a.yaml:20:13: a return through the cold line, and no fixture has a cold pipe; give the return a line of its own`; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestCrossoverIsBuilt follows a return through the cold line from its words.
func TestCrossoverIsBuilt(t *testing.T) {
	s := built(t, soundLoop, "    return: {line: cold}\n    pump: {control: continuous, flow: 2 gpm, power: 60 W}\n")
	l := s.house.Layouts[1]
	n := l.Network
	if !n.Crossover || n.LoopEnd != n.Taps[0] || len(n.Return) != len(n.Path(0)) {
		t.Fatalf("no crossover at the kitchen sink: %+v", n)
	}
	for k, i := range n.Path(0) {
		hot, cold := n.Pipes[i], n.Pipes[n.Return[len(n.Return)-1-k]]
		if cold.Tube != hot.Tube || cold.Zone != hot.Zone || cold.Length != hot.Length || cold.Sleeve.Thickness != 0 {
			t.Errorf("%+v is not as %+v, bare", cold, hot)
		}
	}
	if c := l.Pump.Crossover; *c.Valve != (control.Aquastat{On: 30, Off: 35}) || c.Lukewarm != 25 {
		t.Errorf("crossover %+v, valve %+v", c, c.Valve)
	}
	for _, key := range []string{"tube", "zone", "insulation", "closes", "opens", "lukewarm"} {
		if !slices.ContainsFunc(s.Assumed, func(a Assumption) bool { return a.Path == "layouts.pumped.return."+key }) {
			t.Errorf("%s is not told to be assumed", key)
		}
	}

	s = built(t, soundLoop, "    return: {line: cold, crossover: hall shower, tube: PEX, size: 1/2, zone: indoors, insulation: 1/2 in foam, lukewarm: 30 C}\n    pump: {control: motion, flow: 2 gpm, power: 60 W}\n")
	l = s.house.Layouts[1]
	n = l.Network
	if n.LoopEnd != n.Taps[1] || n.ColdTap(1) != 0 {
		t.Errorf("no crossover at the shower")
	}
	for _, i := range n.Return {
		if p := n.Pipes[i]; p.Tube.Kind != "PEX" || p.Tube.Size != "1/2" || p.Zone != "indoors" || !(math.Abs(p.Sleeve.Thickness-0.0127) < 1e-9) || p.BareShare != defaultBare {
			t.Errorf("%+v is not what is said", p)
		}
	}
	if c := l.Pump.Crossover; c.Valve != nil || c.Lukewarm != 30 || l.Pump.Rule.(control.Demand).Warm != 35 {
		t.Errorf("crossover %+v of %+v", c, l.Pump.Rule)
	}

	// A layout listed pipe by pipe has one beside its pipes, and a layout like one
	// with a line of its own takes nothing of that line.
	s = built(t, "  - name: found\n", "  - name: like\n    like: pumped\n    return: {line: cold}\n  - name: found\n    return: {line: cold}\n    pump: {control: button, flow: 2 gpm, power: 60 W}\n")
	like, found := s.house.Layouts[2].Network, s.house.Layouts[3].Network
	if !like.Crossover || like.Pipes[like.Return[0]].Tube.Kind != "copper L" {
		t.Errorf("%+v took over the other's line", like.Pipes[like.Return[0]])
	}
	if !found.Crossover || found.Arrangement != "listed" || len(found.Return) != 2 {
		t.Errorf("%+v has no crossover", found)
	}
}
