package plots_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"

	"pipelag/plots"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/units"
)

var update = flag.Bool("update", false, "write the figures of the examples anew")

// show prints a figure's caption and says whether it is as it was when last
// looked at, in testdata.
func show(name string, f *plots.Figure, err error) {
	if err != nil {
		fmt.Println(err)
		return
	}
	var b bytes.Buffer
	if err := f.Write(&b, plots.SVG); err != nil {
		fmt.Println(err)
		return
	}
	path := filepath.Join("testdata", name+".svg")
	if *update {
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			fmt.Println(err)
		}
	}
	fmt.Println(f.Caption())
	if want, err := os.ReadFile(path); err != nil || !bytes.Equal(want, b.Bytes()) {
		fmt.Printf("The figure is not that of %s: %v\n", path, err)
	}
}

// load reads what a run (ten years, seed 1), traces (kitchen sink, run 4 min,
// rests of 10 min and 1 h), a takeoff (layout 7) and the schedule (days 15 to 21 of the first year)
// once gave for the embedded courtyard house, rounded. They are something to
// draw, and prove nothing about the engine.
func load[T any](name string) T {
	var v T
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		panic(err)
	}
	if err := json.Unmarshal(data, &v); err != nil {
		panic(err)
	}
	return v
}

// courtyard is ten years of the house with a courtyard in seven layouts.
func courtyard() *sim.Result { return load[*sim.Result]("courtyard.json") }

func set(width plots.Width) plots.Set { return plots.NewSet(courtyard(), units.US, width) }

func ExampleNewWaits() {
	f, err := plots.NewWaits(set(plots.TwoColumns), courtyard())
	show("waits", f, err)
	// Output:
	// Courtyard house. Waits for usable hot water by fixture and layout. The height of a shape is the share of draws that still wait after so long, the whole height all draws by people who wait. Lines stand at 10 and 30 s, the ends of what the American Society of Plumbing Engineers is quoted to call acceptable and marginal. The number is the share that waits more than 30 s. Nobody waits at: dishwasher, main tub, clothes washer. 10 simulated years, seed 1, pipelag 1.0.0.
}

func ExampleNewWater() {
	f, err := plots.NewWater(set(plots.OneColumn), courtyard())
	show("water", f, err)
	// Output:
	// Courtyard house. Where the water of a year goes, by layout. The whisker below an account's end is the 95 % interval of its mean. The number is the sum. 10 simulated years, seed 1, pipelag 1.0.0.
}

func ExampleNewEnergy() {
	f, err := plots.NewEnergy(set(plots.TwoColumns), courtyard())
	show("energy", f, err)
	// Output:
	// Courtyard house. Where heat is lost in a year, and the energy taken in, by layout. The heater takes electricity. The whisker below an account's end is the 95 % interval of its mean. The number is the sum. 10 simulated years, seed 1, pipelag 1.0.0.
}

func ExampleNewDifferences() {
	f, err := plots.NewDifferences(set(plots.TwoColumns), courtyard().Differences, nil)
	show("differences", f, err)
	// Output:
	// Courtyard house. Differences of a year from trunk and branch, year by year with the same draws. Whiskers are 95 % intervals of the mean, hidden where they are narrower than the dot. To the left of the line is less than trunk and branch. 10 simulated years, seed 1, pipelag 1.0.0.
}

func ExampleNewMonths() {
	f, err := plots.NewMonths(set(plots.OneColumn), courtyard())
	show("months", f, err)
	// Output:
	// Courtyard house. Water purged and heat lost from pipes through the year, by layout, and the temperature of the mains; means of each month. 10 simulated years, seed 1, pipelag 1.0.0.
}

func ExampleNewTradeoff() {
	f, err := plots.NewTradeoff(set(plots.OneColumn), courtyard())
	show("tradeoff", f, err)
	// Output:
	// Courtyard house. Water purged in a year against the energy taken by heater and pump. The heater takes electricity. Crosses are 95 % intervals, hidden where they are narrower than the dot; that of the energy adds heater's and pump's, which makes it wide rather than narrow. The names in bold, and the line that joins them, are the frontier: no other layout beats them in both. 10 simulated years, seed 1, pipelag 1.0.0.
}

func ExampleNewTap() {
	f, err := plots.NewTap(set(plots.TwoColumns), load[[]*sim.Trace]("traces.json"))
	show("tap", f, err)
	// Output:
	// Courtyard house. Temperature of the hot water at kitchen sink against time since the tap was opened, layouts together, at 1.50 gpm. Dots mark the wait until the water is usable, at 105.0 F; the heater is set to 125.0 F. No pump runs meanwhile, and no other tap is open. Where lines coincide, the one named first lies on top. pipelag 1.0.0.
}

func ExampleNewTap_one() {
	traces := load[[]*sim.Trace]("traces.json")
	f, err := plots.NewTap(set(plots.OneColumn), traces[1:2])
	show("tap_one", f, err)
	// Output:
	// Courtyard house. Temperature of the hot water at kitchen sink against time since the tap was opened, trunk and branch, insulated, at 1.50 gpm. Dots mark the wait until the water is usable, at 105.0 F; the heater is set to 125.0 F. No pump runs meanwhile, and no other tap is open. Where lines coincide, the one named first lies on top. pipelag 1.0.0.
}

func ExampleNewProfiles() {
	f, err := plots.NewProfiles(set(plots.TwoColumns), load[[]*sim.Trace]("traces.json")[0])
	show("profiles", f, err)
	// Output:
	// Courtyard house. Temperature of the water along the way from the heater to kitchen sink, trunk and branch, at times since the tap was opened. The dashed line is the usable temperature, 105.0 F. No pump runs meanwhile, and no other tap is open. pipelag 1.0.0.
}

func ExampleNewPlan() {
	f, err := plots.NewPlan(set(plots.TwoColumns), load[plots.Plan]("plan.json"))
	show("plan", f, err)
	// Output:
	// Courtyard house. Plan and elevation of pumped on demand. A tube's colour tells its size, its thickness what a length of it holds; tubes along one line are drawn side by side. Dashes are the return line. Brought out is the way to kitchen sink: 76.0 ft of tube holding 1.83 gal. pipelag 1.0.0.
}

func ExampleNewWeek() {
	f, err := plots.NewWeek(set(plots.TwoColumns), plots.Week{Fixtures: load[[]string]("fixtures.json"), Wishes: load[[]schedules.Wish]("week.json"), First: 14})
	show("week", f, err)
	// Output:
	// Courtyard house. The draws of seven days from day 15 of the year, by fixture, as the household wishes for them and the same for every layout. A bar stands where a draw begins and is as wide as it lasts; its height goes with the square root of its volume, hot and cold together, or hot alone for machines. One simulated year, seed 1, pipelag 1.0.0.
}

func ExampleNewCooldown() {
	// Water and wall cool as one through the film outside: a plain exponential,
	// with the capacities and conductances of three pipes of the traces.
	traces := load[[]*sim.Trace]("traces.json")
	var tubes []plots.Cooling
	for _, c := range []struct {
		name  string
		trace int
		pipe  int
	}{{"3/4 in copper L, bare", 0, 0}, {"3/4 in copper L, 3/4 in foam", 1, 0}, {"3/8 in PEX, bare", 2, 1}} {
		p := traces[c.trace].Pipes[c.pipe]
		tube := plots.Cooling{Name: c.name, Zone: "crawlspace", Around: 18}
		for minute := range 121 {
			t := 60 * float64(minute)
			tube.Time = append(tube.Time, t)
			tube.Temperature = append(tube.Temperature, 18+32*math.Exp(-t*p.Outer/(p.Water+p.Wall)))
		}
		tubes = append(tubes, tube)
	}
	f, err := plots.NewCooldown(set(plots.OneColumn), tubes)
	show("cooldown", f, err)
	// Output:
	// Courtyard house. Temperature of the water in tubes that stand still, against time. It is at 122.0 F at first; around the tubes it stays at 64.4 F in crawlspace. pipelag 1.0.0.
}

func ExampleNewDay() {
	f, err := plots.NewDay(set(plots.TwoColumns), load[*sim.Watch]("day.json"))
	show("day", f, err)
	// Output:
	// Courtyard house. Temperature of the water along the way from the heater to kitchen sink, trunk and branch, through day 15 of the year. Triangles mark the draws at kitchen sink, short strokes those at other taps whose water comes along part of this way. Water is usable from 105.0 F. One simulated year, seed 1, pipelag 1.0.0.
}

func ExampleNewSensitivity() {
	index := func(mean float64) sim.Interval { return sim.Interval{Mean: mean, Low: mean - 0.04, High: mean + 0.04} }
	f, err := plots.NewSensitivity(set(plots.OneColumn), plots.Sensitivity{
		Outcome: "water purged in a year",
		Factors: []plots.Factor{
			{Name: "people in the house", First: index(0.21), Total: index(0.26)},
			{Name: "length of the trunk", First: index(0.44), Total: index(0.51)},
			{Name: "mean temperature of the crawlspace", First: index(-0.01), Total: index(0.02)},
			{Name: "flow of the kitchen tap", First: index(0.09), Total: index(0.16)},
		},
	})
	show("sensitivity", f, err)
	// Output:
	// Courtyard house. What the spread of water purged in a year comes from. Dark bars are the share of the variance that a factor makes alone, light bars the share that it has any part in. Whiskers are 95 % intervals. 10 simulated years, seed 1, pipelag 1.0.0.
}

func ExampleNewTarget() {
	t := plots.Target{Count: 200, Limited: "stored volume to the farthest tap", Of: units.Volume, Saved: sim.Purged, Knee: 3}
	for i, complying := range []float64{0.04, 0.11, 0.24, 0.42, 0.55, 0.71, 0.83, 0.95} {
		saving := 3.1 * (1 - complying)
		t.Points = append(t.Points, plots.TargetPoint{
			Limit: 0.0005 * float64(i+1), Complying: complying, Able: min(1, complying+0.3),
			Saving: sim.Interval{Mean: saving, Low: 0.88 * saving, High: 1.12 * saving},
		})
	}
	f, err := plots.NewTarget(set(plots.OneColumn), t)
	show("target", f, err)
	// Output:
	// Courtyard house, 200 homes. Share of homes that comply with a limit on stored volume to the farthest tap, and what it saves a home on average, against the value of the limit. The light line is the share that comply as they are or piped another way. The band is the 95 % interval of the mean. Dots are the limits that were tried; one between two is drawn as the stricter of them. The dashed line is the knee, beyond which a stricter limit saves little more. A home that cannot meet a limit stays as it is, so a stricter one may also save less. 10 simulated years, seed 1, pipelag 1.0.0.
}

// The axes of both systems, one on either side.
func ExampleSet_opposite() {
	s := set(plots.OneColumn)
	s.Opposite = true
	f, err := plots.NewMonths(s, courtyard())
	show("months_both", f, err)
	// Output:
	// Courtyard house. Water purged and heat lost from pipes through the year, by layout, and the temperature of the mains; means of each month. 10 simulated years, seed 1, pipelag 1.0.0.
}

// A set keeps a layout's colour though a figure shows fewer of them.
func ExampleMaterial_Draw() {
	traces := load[[]*sim.Trace]("traces.json")
	m := plots.Material{Traces: []*sim.Trace{traces[0], traces[2], traces[4]}}
	drawn, err := m.Draw("tap", set(plots.TwoColumns))
	show("tap_three", drawn[0].Figure, err)
	_, err = m.Draw("waits", set(plots.TwoColumns))
	fmt.Println(err)
	_, err = m.Draw("pie", set(plots.TwoColumns))
	fmt.Println(err)
	// Output:
	// Courtyard house. Temperature of the hot water at kitchen sink against time since the tap was opened, layouts together, at 1.50 gpm. Dots mark the wait until the water is usable, at 105.0 F; the heater is set to 125.0 F. No pump runs meanwhile, and no other tap is open. Where lines coincide, the one named first lies on top. pipelag 1.0.0.
	// figure "waits" is drawn from a result, which is not here; what is here gives: tap
	// unknown figure "pie"; figures known are: waits; water; energy; differences; months; tradeoff; tap; profiles; day; week; cooldown; plan; sensitivity; target
}
