package scenarios

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pipelag/network"
	"pipelag/network/limits"
	"pipelag/network/placement"
	"pipelag/network/takeoff"
)

const (
	foot = 0.3048         // [m]
	psi  = 6894.757293168 // [Pa]
	gpm  = 3.785411784e-3 / 60
)

func isNear(t *testing.T, what string, want, got float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*max(math.Abs(want), 1e-9)) {
		t.Errorf("%s is %g, not %g", what, got, want)
	}
}

// TestWater follows pressures from the file into what the engine and the takeoff
// get.
func TestWater(t *testing.T) {
	h := embedded(t, "hillside")
	w := h.Supply
	isNear(t, "static", 68*psi, w.Static)
	isNear(t, "residual", 58*psi, w.Residual)
	isNear(t, "flow at the residual", 18*gpm, w.ResidualFlow)
	isNear(t, "rise", 6*foot, w.Rise)
	isNear(t, "cold water", (55-32)/1.8, w.Cold)
	if len(w.Lines) != 2 || w.Lines[0].Tube.Kind != "copper K" || w.Lines[1].Fittings != (network.Fittings{Elbows: 5, TeeRuns: 2}) {
		t.Errorf("lines %+v", w.Lines)
	}
	isNear(t, "length of a line", 70*foot, w.Lines[0].Length)
	if len(w.Devices) != 3 || w.Devices[1].Flow != 0 || !w.Devices[2].HotOnly || w.Devices[0].Name != "meter" {
		t.Errorf("devices %+v", w.Devices)
	}
	isNear(t, "loss of the meter", 4*psi, w.Devices[0].Loss)
	for f, want := range map[int]float64{0: 8, 3: 25, 5: 20, 7: 8} { // IPC 604.3, read; the shower's is stated
		if got := h.Fixtures[f].Needs; !(math.Abs(got/psi-want) < 1e-3) {
			t.Errorf("%s needs %g psi, not %g", h.Fixtures[f].Name, got/psi, want)
		}
	}

	// Without water: one pressure at the heater's outlet, stated or assumed.
	isNear(t, "stated pressure", 45*psi, embedded(t, "courtyard").Supply.Static)
	isNear(t, "assumed pressure", 300e3, embedded(t, "flat").Supply.Static)
}

// TestWays holds the ways of laying pipes against what the file asks for.
func TestWays(t *testing.T) {
	h := embedded(t, "hillside")
	layout := func(name string) *network.Network {
		for _, l := range h.Layouts {
			if l.Network.Name == name {
				return l.Network
			}
		}
		t.Fatalf("no layout %q", name)
		return nil
	}
	// Up 3 ft, 22 ft and 32 ft along walls, 12 or so back: the trunk by its way-points.
	along := layout("trunk along the wall")
	isNear(t, "kitchen sink along the wall", (3+22+32+12)*foot, along.PathLength(0))

	sizes := func(n *network.Network) []string {
		var all []string
		for _, p := range n.Pipes {
			all = append(all, p.Tube.Size)
		}
		return all
	}
	chosen := layout("short tree, sizes chosen")
	if s := sizes(chosen); slices.Contains(s, "choose") || len(slices.Compact(slices.Sorted(slices.Values(s)))) < 3 {
		t.Errorf("sizes chosen are %v", s)
	}

	home := layout("home run, 3/8")
	if got := home.Pipes[home.Taps[1]].Tube.Size; got != "3/8" {
		t.Errorf("the dishwasher's run is of %s", got)
	}
	if got := home.Pipes[home.Taps[5]].Tube.Size; got == "3/8" || got == "choose" {
		t.Errorf("the bath's run, to be chosen, is of %s", got)
	}
	// By its way-point the kitchen's run from (24, 6, 8) is as long as the straight
	// way to (38, 26, 20), and 5/6 ft of ports lie before it in other runs only.
	isNear(t, "kitchen sink by its way-point", (18+2+3+14+20+12)*foot, home.PathLength(0))
	isNear(t, "eighth port", (18+2+3)*foot+7*2.0/12*foot+(12+2+4)*foot, home.PathLength(7))

	two := layout("home run, two manifolds")
	for f, want := range map[int]string{0: "port", 3: "lower manifold", 5: "port"} {
		path := two.Path(f)
		if !slices.ContainsFunc(path, func(i int) bool { return strings.HasPrefix(two.Pipes[i].To, want) }) {
			t.Errorf("%s does not pass a %s", h.Fixtures[f].Name, want)
		}
	}

	loop := layout("loop past every fixture")
	hot := make(map[int]bool)
	for _, i := range loop.Loop() {
		hot[i] = true
	}
	for f, fixture := range h.Fixtures {
		beyond := 0.0
		for _, i := range loop.Path(f) {
			if !hot[i] {
				beyond += loop.Pipes[i].Length
			}
		}
		if beyond > 10*foot*(1+1e-9) {
			t.Errorf("%s is %g ft beyond the loop", fixture.Name, beyond/foot)
		}
	}

	second := layout("a second heater")
	climb := second.Climb(second.Path(0)[0]) - second.Pipes[second.Path(0)[0]].Rise
	isNear(t, "height of the second heater above the first", 4*foot, climb)

	if flat := embedded(t, "flat"); flat.Layouts[0].Network.Pipes[0].Fittings.Elbows != 0 {
		t.Error("elbows came of themselves")
	}
	s, err := Parse("a.yaml", []byte(strings.Replace(sound, "length: 60 ft", "length: 60 ft, elbows: 4", 1)))
	if err != nil {
		t.Fatal(err)
	}
	n := s.House().Layouts[2].Network
	if got := n.Pipes[1].Fittings; got.Elbows != 4 {
		t.Errorf("fittings of a listed pipe are %+v", got)
	}
}

// TestSizesThatDoNotSuffice: what no choice of sizes can mend is a warning about
// its layout alone. The sinks need 8 psi, or 55 kPa (IPC 604.3), and there are 12;
// twenty showers of one unit each draw 19.6 gpm (IPC table E103.3(3), from memory),
// but 8 ft/s in the widest PP-R, of 23.2 mm, is 16.3 gpm.
func TestSizesThatDoNotSuffice(t *testing.T) {
	const house = `name: a
people: 2
pressure: %s
climate: {mains: {mean: 58 F, amplitude: 9 F, coldest: Feb 10}, zones: {indoors: {mean: 71 F}}}
heater: {kind: storage, energy: gas, volume: 50 gal, setpoint: 125 F, zone: indoors}
fixtures:
%slayouts:
`
	warnings := func(pressure, fixtures, layouts string) []string {
		t.Helper()
		s, err := Parse("a.yaml", []byte(fmt.Sprintf(house, pressure, fixtures)+layouts))
		if err != nil {
			t.Fatal(err)
		}
		if all := s.Warnings(); len(all) > 0 {
			t.Errorf("without a layout: %q", all)
		}
		return s.Warnings(s.House().Layouts...)
	}
	sinks := "  sink: {use: kitchen, flow: 1.5 gpm}\n  other sink: {use: kitchen, flow: 1.5 gpm}\n"
	pipes := func(layout, size string) string {
		return fmt.Sprintf("  - name: %s\n    pipes:\n", layout) +
			fmt.Sprintf("      - {from: heater, to: sink, length: 9 ft, tube: PEX, size: %s, zone: indoors}\n", size) +
			fmt.Sprintf("      - {from: heater, to: other sink, length: 9 ft, tube: PEX, size: %s, zone: indoors}\n", size)
	}
	weak := warnings("12 kPa", sinks, pipes("chosen", "choose")+pipes("stated", "1/2"))
	want := `layout "chosen": at the code's demand no choice of sizes leaves enough pressure at: sink, other sink; raise pressure, or let pipes be shorter`
	if len(weak) != 1 || weak[0] != want {
		t.Errorf("of 12 kPa: %q", weak)
	}
	if all := warnings("400 kPa", sinks, pipes("chosen", "choose")); len(all) > 0 {
		t.Errorf("of 400 kPa: %q", all)
	}

	showers, tree := "", "  - name: crowd\n    pipes:\n      - {from: heater, to: tee, length: 3 ft, tube: PP-R, size: choose, zone: indoors}\n"
	for i := range 20 {
		showers += fmt.Sprintf("  shower %d: {use: shower, flow: 2 gpm}\n", i)
		tree += fmt.Sprintf("      - {from: tee, to: shower %d, length: 3 ft, tube: PEX, size: 1/2, zone: indoors}\n", i)
	}
	crowd := warnings("500 kPa", showers, tree)
	want = `layout "crowd": at the code's demand water is above a velocity limit in the pipe from heater to tee, though it is the widest PP-R known, 32x4.4; let another kind of tube serve there, or several pipes`
	if len(crowd) != 1 || crowd[0] != want {
		t.Errorf("of twenty showers: %q", crowd)
	}
}

// TestLikeALoop takes over all of a pumped layout but its loop.
func TestLikeALoop(t *testing.T) {
	text, err := embeddedFiles.ReadFile("embedded/hillside.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := Parse("a.yaml", append(text, "  - {name: no loop, like: loop past every fixture, arrangement: trunk-and-branch}\n"...))
	if err != nil {
		t.Fatal(err)
	}
	layouts := s.House().Layouts
	if last := layouts[len(layouts)-1]; last.Pump != nil || len(last.Network.Return) > 0 || last.Network.Arrangement != "trunk-and-branch" {
		t.Errorf("%s has a pump or a return line", last.Network.Arrangement)
	}
}

// TestPlanLaysAgain holds that a plan lays the layout it is of, and another once
// something is moved.
func TestPlanLaysAgain(t *testing.T) {
	s, err := LoadEmbedded("hillside")
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range s.House().Layouts {
		plan := s.Plan(l.Network.Name)
		again, err := plan.Lay()
		if err != nil {
			t.Fatal(err)
		}
		isNear(t, "volume of "+l.Network.Name, l.Network.Volume(), again.Volume())
	}
	plan := s.Plan("home run, 3/8")
	plan.Manifolds = slices.Clone(plan.Manifolds)
	plan.Manifolds[0].At.X -= foot
	moved, err := plan.Lay()
	if err != nil {
		t.Fatal(err)
	}
	isNear(t, "dishwasher", (17+2+3+2.0/12+18+20+11)*foot, moved.PathLength(1))
	isNear(t, "the scenario's own manifold", 24*foot, s.Plan("home run, 3/8").Manifolds[0].At.X)
	if flat, err := LoadEmbedded("flat"); err != nil || flat.Plan("as found") != nil || flat.Plan("nothing") != nil {
		t.Errorf("listed pipes have a plan (%v)", err)
	}
	heater, manifold := s.Candidates()
	if len(heater) != 3 || len(manifold) != 4 {
		t.Errorf("%d and %d candidates", len(heater), len(manifold))
	}
}

// TestLoadSound reads the layouts that are sound beside those that are not.
func TestLoadSound(t *testing.T) {
	write := func(text string) string {
		path := filepath.Join(t.TempDir(), "a.yaml")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	path := write(strings.Replace(sound, "size: 3/4, zone: crawlspace}\n    branch", "size: 7/16, zone: crawlspace}\n    branch", 1))
	s, err := LoadSound(path)
	var wrong Errors
	if !errors.As(err, &wrong) || len(wrong) != 1 || wrong[0].Line != 15 {
		t.Fatalf("an unknown size gives %v", err)
	}
	h := s.House()
	if len(h.Layouts) != 1 || h.Layouts[0].Network.Name != "found" || h.Schedule == nil {
		t.Errorf("the sound layouts are %d", len(h.Layouts))
	}
	if s, err := Load(path); s != nil || err == nil {
		t.Error("Load gave a part")
	}
	if s, err := LoadSound(write(strings.Replace(sound, "flow: 1.5 gpm", "flow: 1.5", 1))); s != nil || err == nil {
		t.Error("a fixture without a flow gave a scenario")
	}
	if s, err := LoadSound(write(sound)); s == nil || err != nil {
		t.Errorf("a sound file gives %v", err)
	}
}

const ownLimits = `quantity,material,use,size,above,value,flow,code,clause,source,status,note
stored volume,,,,,0.3 gal,,Our town,12.3,town hall,user,
`

// TestLimitsOfOnesOwn reads limits from a file beside the scenario's.
func TestLimitsOfOnesOwn(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	path := write("a.yaml", strings.Replace(sound, "layouts:", "code: UPC\nlimits: {codes: [UPC], file: own.csv}\nlayouts:", 1))
	own := write("own.csv", ownLimits)
	s, err := Load(path)
	if err != nil {
		t.Fatal(err)
	}
	c := s.Conditions()
	if got := c.Limits.Sources(); !slices.Equal(got, []string{"UPC", "Our town"}) || c.Code.Name != "UPC" {
		t.Errorf("limits of %v by %s", got, c.Code.Name)
	}
	off, err := takeoff.New(s.House().Layouts[2].Network, c)
	if err != nil {
		t.Fatal(err)
	}
	broken := slices.ContainsFunc(off.Fixtures[0].Verdicts, func(v limits.Verdict) bool {
		return v.Limit.Code == "Our town" && v.Outcome == limits.Broken
	})
	if !broken {
		t.Errorf("72 ft of 3/4 in keep within 0.3 gal: %+v", off.Fixtures[0].Verdicts)
	}

	write("own.csv", strings.Replace(ownLimits, "0.3 gal", "0.3", 1)+"depth,,,,,1 ft,,Our town,1,hall,user,\n")
	var wrong Errors
	if _, err := Load(path); !errors.As(err, &wrong) || len(wrong) != 2 || wrong[0].File != own || wrong[0].Line != 2 || wrong[1].Line != 3 || !strings.Contains(wrong[0].What, `"0.3" has no unit`) {
		t.Errorf("limits that cannot be read give %v", err)
	}
}

// BenchmarkTenThousandPlaces is the search of a manifold's place that has to take
// less than 2 s, with eight home runs.
func BenchmarkTenThousandPlaces(b *testing.B) {
	s, err := LoadEmbedded("courtyard")
	if err != nil {
		b.Fatal(err)
	}
	plan := s.Plan("home run, 3/8")
	var candidates []network.Point
	for i := range 100 {
		for k := range 100 {
			candidates = append(candidates, network.Point{X: 0.15 * float64(i), Y: 0.13 * float64(k), Z: 0.5})
		}
	}
	weights := slices.Repeat([]float64{1}, len(plan.Site.Fixtures))
	b.ReportAllocs()
	for b.Loop() {
		_, err := placement.Search(candidates, weights, 1, func(at network.Point) (*network.Network, error) {
			moved := *plan
			moved.Manifolds = slices.Clone(plan.Manifolds)
			moved.Manifolds[0].At = at
			return moved.Lay()
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// The far manifold of the courtyard house, moved 10 ft towards the heater.
func ExamplePlan() {
	s, err := LoadEmbedded("courtyard")
	if err != nil {
		fmt.Println(err)
		return
	}
	plan := s.Plan("home run, 3/8, far manifold")
	plan.Manifolds = slices.Clone(plan.Manifolds)
	plan.Manifolds[0].At.X -= 3.048
	n, err := plan.Lay()
	if err != nil {
		fmt.Println(err)
		return
	}
	before := s.House().Layouts[4].Network
	fmt.Printf("pipes hold %.2f L instead of %.2f L\n", 1000*n.Volume(), 1000*before.Volume())
	// Output: pipes hold 7.63 L instead of 7.93 L
}

// A limit can be on every use that a fixture can have.
func TestLimitsKnowEveryUse(t *testing.T) {
	for _, use := range uses() {
		_, err := limits.Read(strings.NewReader("quantity,material,use,size,above,value,flow,code,clause,source,status,note\nlength,," + use + ",,,5 m,,Town,7,by-law,user,\n"))
		if err != nil {
			t.Error(err)
		}
	}
}
