package plots

import (
	"bytes"
	"compress/zlib"
	"encoding/json"
	"fmt"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/units"
)

func read(tb testing.TB, name string, into any) {
	tb.Helper()
	data, err := os.ReadFile("testdata/" + name)
	require.NoError(tb, err)
	require.NoError(tb, json.Unmarshal(data, into))
}

func courtyard(tb testing.TB) *sim.Result {
	r := new(sim.Result)
	read(tb, "courtyard.json", r)
	return r
}

func traces(tb testing.TB) []*sim.Trace {
	var t []*sim.Trace
	read(tb, "traces.json", &t)
	return t
}

func plan(tb testing.TB) Plan {
	var p Plan
	read(tb, "plan.json", &p)
	return p
}

func watched(tb testing.TB) *sim.Watch {
	w := new(sim.Watch)
	read(tb, "day.json", w)
	return w
}

// shares is a study's indices as they might be: one of them below 0 by chance.
func shares() Sensitivity {
	i := func(mean float64) sim.Interval { return sim.Interval{Mean: mean, Low: mean - 0.03, High: mean + 0.03} }
	return Sensitivity{"", "water purged", []Factor{
		{"people", i(0.21), i(0.26)},
		{"length of the trunk", i(0.44), i(0.51)},
		{"temperature of the crawlspace", i(-0.01), i(0.02)},
		{"flow of the kitchen tap", i(0.09), i(0.16)},
	}}
}

// target is a limit on stored volume as a study might find it.
func target() Target {
	t := Target{Limited: "stored volume to the farthest tap", Of: units.Volume, Saved: sim.Purged, Knee: 3}
	for i, c := range []float64{0.04, 0.11, 0.24, 0.42, 0.55, 0.71, 0.83, 0.95} {
		saving := 3.1 * (1 - c)
		t.Points = append(t.Points, TargetPoint{0.0005 * float64(i+1), c, sim.Interval{Mean: saving, Low: 0.88 * saving, High: 1.12 * saving}})
	}
	return t
}

func material(tb testing.TB) *Material {
	m := &Material{Result: courtyard(tb), Traces: traces(tb), Day: watched(tb), Week: &Week{First: 14}}
	read(tb, "week.json", &m.Week.Wishes)
	read(tb, "fixtures.json", &m.Week.Fixtures)
	m.Tubes = []Cooling{{"3/4 in copper, bare", []float64{0, 600, 1800}, []float64{50, 43, 33}}, {"3/8 in PEX, bare", []float64{0, 600, 1800}, []float64{50, 36, 25}}}
	s, t := shares(), target()
	m.Sensitivities, m.Targets = []Sensitivity{s}, []Target{t}
	m.Plans = []Plan{plan(tb)}
	return m
}

// every is all figures of the courtyard house, in both widths, with the axes of
// either system and of both.
func every(tb testing.TB) map[string]*Figure {
	m := material(tb)
	figures := map[string]*Figure{}
	for _, width := range []Width{OneColumn, TwoColumns} {
		for k, system := range []units.System{units.US, units.SI, units.US, units.SI} {
			s := NewSet(m.Result, system, width)
			name := system.String()
			if s.Opposite = k > 1; s.Opposite {
				name += "both"
			}
			names, _ := Kinds()
			for _, kind := range names {
				some := *m
				if kind == "profiles" {
					some.Traces = m.Traces[:1]
				}
				require.Contains(tb, some.Kinds(), kind)
				drawn, err := some.Draw(kind, s)
				require.NoError(tb, err, kind)
				require.Len(tb, drawn, 1)
				figures[fmt.Sprintf("%s-%d-%s", kind, width+1, name)] = drawn[0].Figure
			}
			f, err := NewTap(s, m.Traces[1:2])
			require.NoError(tb, err)
			figures[fmt.Sprintf("tap one-%d-%s", width+1, name)] = f
		}
	}
	return figures
}

func TestFiguresAreWhole(t *testing.T) {
	for name, f := range every(t) {
		t.Run(name, func(t *testing.T) {
			header, rows := f.Data()
			require.NotEmpty(t, rows)
			for _, row := range rows {
				require.Len(t, row, len(header))
				for _, cell := range row {
					require.NotContains(t, cell, "NaN")
				}
			}
			require.Contains(t, f.Caption(), "Courtyard house")
			require.True(t, strings.HasSuffix(f.Caption(), "pipelag 1.0.0."))
			if k := slices.IndexFunc(kinds, func(k kind) bool { return k.name == strings.Split(name, "-")[0] }); k >= 0 && kinds[k].needs == "a result" {
				require.Contains(t, f.Caption(), "10 simulated years, seed 1")
			}
			require.LessOrEqual(t, float64(f.height), float64(235*vg.Millimeter), "taller than a page")
			var b bytes.Buffer
			require.NoError(t, f.Write(&b, SVG))
			require.NotContains(t, b.String(), "NaN")
			require.NotContains(t, b.String(), "Inf")
		})
	}
}

func TestSameBytesTwice(t *testing.T) {
	began := time.Now().Truncate(time.Second)
	first := map[string][]byte{}
	for round := range 2 {
		if round == 1 { // a file that held the time would now hold another
			time.Sleep(time.Until(began.Add(1100 * time.Millisecond)))
		}
		for name, f := range every(t) {
			if !strings.HasSuffix(name, "1-us") {
				continue
			}
			for _, format := range []Format{SVG, PDF, PNG} {
				if format == PNG && !strings.HasPrefix(name, "t") {
					continue // slow, and drawn alike
				}
				var b bytes.Buffer
				require.NoError(t, f.Write(&b, format))
				key := name + "." + format.String()
				if round == 0 {
					first[key] = b.Bytes()
				} else {
					require.True(t, bytes.Equal(first[key], b.Bytes()), key)
				}
			}
		}
	}
}

func TestPrintSize(t *testing.T) {
	for width, millimetres := range map[Width]float64{OneColumn: 88, TwoColumns: 180} {
		f, err := NewMonths(NewSet(courtyard(t), units.SI, width), courtyard(t))
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, f.Write(&b, PNG))
		image, err := png.Decode(&b)
		require.NoError(t, err)
		require.InDelta(t, millimetres/25.4*300, float64(image.Bounds().Dx()), 1)
	}
}

// TestNothingClipped holds every text of every figure within its page and apart
// from every other text.
func TestNothingClipped(t *testing.T) {
	figures := every(t)
	many := crowded(t)
	crowd := Material{Result: many}
	for _, width := range []Width{OneColumn, TwoColumns} {
		for _, both := range []bool{false, true} {
			for _, kind := range crowd.Kinds() {
				s := NewSet(many, units.SI, width)
				s.Opposite = both
				drawn, err := crowd.Draw(kind, s)
				require.NoError(t, err)
				figures[fmt.Sprintf("crowded %s-%d-%t", kind, width+1, both)] = drawn[0].Figure
			}
		}
	}
	for _, width := range []Width{OneColumn, TwoColumns} {
		f, err := NewPlan(NewSet(courtyard(t), units.SI, width), crowdedPlan(t))
		require.NoError(t, err)
		require.LessOrEqual(t, float64(f.height), float64(235*vg.Millimeter), "taller than a page")
		figures[fmt.Sprintf("crowded plan-%d", width+1)] = f
	}
	unsure := courtyard(t) // as of two years
	for i := range unsure.Layouts {
		for q := range unsure.Layouts[i].Annual {
			v := &unsure.Layouts[i].Annual[q]
			v.Low, v.High = 0.7*v.Mean, 1.3*v.Mean
		}
	}
	for _, kind := range []string{"water", "energy", "tradeoff"} {
		drawn, err := (&Material{Result: unsure}).Draw(kind, NewSet(unsure, units.US, OneColumn))
		require.NoError(t, err)
		figures["unsure "+kind] = drawn[0].Figure
	}
	large := courtyard(t) // as of a town
	for i := range large.Layouts {
		for q := range large.Layouts[i].Annual {
			v := &large.Layouts[i].Annual[q]
			v.Mean, v.Low, v.High = 1e5*v.Mean, 1e5*v.Low, 1e5*v.High
		}
	}
	for _, kind := range []string{"water", "energy"} {
		for _, width := range []Width{OneColumn, TwoColumns} {
			drawn, err := (&Material{Result: large}).Draw(kind, NewSet(large, units.SI, width))
			require.NoError(t, err)
			figures[fmt.Sprintf("large %s-%d", kind, width+1)] = drawn[0].Figure
		}
	}
	never := traces(t)
	never[0].Openings[0].Wait, never[2].Openings[1].Wait = nil, nil
	for _, some := range [][]*sim.Trace{never, never[:1]} {
		f, err := NewTap(NewSet(many, units.SI, OneColumn), some)
		require.NoError(t, err)
		figures[fmt.Sprintf("never hot, of %d", len(some))] = f
	}
	for _, both := range []bool{false, true} {
		s := NewSet(many, units.US, OneColumn)
		s.Opposite = both
		f, err := NewWeek(s, Week{[]string{"tap"}, []schedules.Wish{{Flow: 1e-4, Duration: 60}}, 0})
		require.NoError(t, err)
		figures[fmt.Sprintf("week of a short name %t", both)] = f
	}
	for name, f := range figures {
		w := &textWatch{}
		f.draw(newPage(w, f.width, f.height))
		require.NotEmpty(t, w.seen, name)
		for i, a := range w.seen {
			inside := a.Min.X >= 0 && a.Min.Y >= 0 && a.Max.X <= f.width+0.01 && a.Max.Y <= f.height
			if !inside {
				t.Errorf("%s: %q leaves the page", name, a.text)
			}
			for _, b := range w.seen[:i] {
				over := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
				high := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
				if over > 0.2 && high > 0.2 {
					t.Errorf("%s: %q lies on %q", name, a.text, b.text)
				}
			}
		}
	}
}

// TestNumbersUncrossed holds what leads from lines to their names to pass the
// numbers of the scale in between.
func TestNumbersUncrossed(t *testing.T) {
	many := crowded(t)
	alike := courtyard(t) // whose lines all end at a number
	for i := range alike.Layouts {
		alike.Layouts[i].Months[11] = sim.Values{sim.Purged: 31 * 0.02}
	}
	figures := every(t)
	for name, r := range map[string]*sim.Result{"crowded": many, "alike": alike} {
		s := NewSet(r, units.US, OneColumn)
		s.Opposite = true
		f, err := NewMonths(s, r)
		require.NoError(t, err)
		figures["months "+name] = f
	}
	numbered := regexp.MustCompile(`^[-–]?[\d\x{a0}]+(\.\d+)?$`)
	for name, f := range figures {
		if kind, _, _ := strings.Cut(name, "-"); !strings.HasPrefix(kind, "months") && kind != "cooldown" && kind != "profiles" {
			continue
		}
		w := &textWatch{}
		f.draw(newPage(w, f.width, f.height))
		require.NotEmpty(t, w.lines, name)
		for _, text := range w.seen {
			if !numbered.MatchString(text.text) {
				continue
			}
			for _, line := range w.lines {
				for k := 1; k < len(line); k++ {
					if crosses(line[k-1], line[k], text.Rectangle) {
						t.Errorf("%s: a line from %v to %v crosses %q in %v", name, line[k-1], line[k], text.text, text.Rectangle)
					}
				}
			}
		}
	}
}

// crosses tells whether some of a hundred points between two lie in a rectangle.
func crosses(a, b vg.Point, r vg.Rectangle) bool {
	for k := range 101 {
		share := vg.Length(k) / 100
		x, y := a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y)
		if x > r.Min.X && x < r.Max.X && y > r.Min.Y && y < r.Max.Y {
			return true
		}
	}
	return false
}

// crowded is twelve layouts with long names, and waits at eight fixtures.
func crowded(tb testing.TB) *sim.Result {
	r := courtyard(tb)
	for i := range r.Layouts {
		for k := range r.Layouts[i].Fixtures {
			f := &r.Layouts[i].Fixtures[k]
			if len(f.WaitCounts) == 0 {
				f.WaitCounts = r.Layouts[i].Fixtures[0].WaitCounts
			}
		}
	}
	for i := range 5 {
		l, d := r.Layouts[i], r.Differences[i]
		l.Name += " as found in the survey of the second spring, number " + fmt.Sprint(i)
		d.Layout = l.Name
		r.Layouts, r.Differences = append(r.Layouts, l), append(r.Differences, d)
	}
	return r
}

// crowdedPlan is a house of forty fixtures with long names, many of them one above
// another, each with a run of its own.
func crowdedPlan(tb testing.TB) Plan {
	p := plan(tb)
	p.Fixtures, p.Tubes, p.Way, p.To = nil, nil, []int{39}, 39
	for i := range 40 {
		at := [3]float64{float64(i*7%19) * 0.9, float64(i*5%13) * 0.8, float64(i%3) * 2.7}
		p.Fixtures = append(p.Fixtures, PlanFixture{fmt.Sprintf("basin by the second window of the long corridor, number %d", i), at})
		from := p.Heaters[0]
		p.Tubes = append(p.Tubes, PlanTube{
			Name: []string{"PEX 3/8", "PEX 1/2"}[i%2], Volume: []float64{0.6e-4, 1.1e-4}[i%2],
			Route: [][3]float64{from, {at[0], from[1], from[2]}, {at[0], at[1], from[2]}, at},
		})
	}
	return p
}

// TestOneYear draws a result that has no intervals.
func TestOneYear(t *testing.T) {
	r := courtyard(t)
	r.Years = 1
	unknown := func(v *sim.Intervals) {
		for q := range v {
			v[q].Low, v[q].High = math.NaN(), math.NaN()
		}
	}
	for i := range r.Layouts {
		unknown(&r.Layouts[i].Annual)
	}
	for i := range r.Differences {
		unknown(&r.Differences[i].Annual)
	}
	s := NewSet(r, units.SI, OneColumn)
	m := Material{Result: r}
	for _, kind := range m.Kinds() {
		drawn, err := m.Draw(kind, s)
		require.NoError(t, err, kind)
		f := drawn[0]
		var b bytes.Buffer
		require.NoError(t, f.Write(&b, SVG))
		require.NotContains(t, b.String(), "NaN", kind)
		require.Contains(t, f.Caption(), "One simulated year")
		require.NotContains(t, f.Caption(), "95 %", kind)
	}
}

// TestHeatThatComesIn draws a house whose pipes lie where it is hotter than their
// water: nothing leaves the panels, and the sum is that of all accounts.
func TestHeatThatComesIn(t *testing.T) {
	r := courtyard(t)
	l := &r.Layouts[1]
	const kWh = 3.6e6 // [J]
	l.Annual[sim.PipeLoss] = sim.Interval{Mean: -3000 * kWh, Low: -3100 * kWh, High: -2900 * kWh}
	for month := range l.Months {
		l.Months[month][sim.PipeLoss] = -250 * kWh
	}
	s := NewSet(r, units.SI, OneColumn)
	energy, err := NewEnergy(s, r)
	require.NoError(t, err)
	require.Contains(t, energy.Caption(), "What lies to the left of 0 comes in instead.")
	low, high := reach([]sim.Interval{{Mean: -5, Low: -7, High: -3}, {Mean: 2, Low: 1, High: 3}, {Mean: 4, Low: 4, High: 4}})
	require.Equal(t, []float64{-7, 6}, []float64{low, high})
	months, err := NewMonths(s, r)
	require.NoError(t, err)
	for name, f := range map[string]*Figure{"energy": energy, "months": months} {
		w := &textWatch{}
		f.draw(newPage(w, f.width, f.height))
		require.True(t, slices.ContainsFunc(w.seen, func(s standing) bool { return strings.HasPrefix(s.text, "–") }), "%s: no number below 0 on an axis", name)
	}
}

// TestCrossoversApart: a layout with a crossover is beaten only by another, and beats
// none without.
func TestCrossoversApart(t *testing.T) {
	r := courtyard(t)
	onFrontier := func() []string {
		f, err := NewTradeoff(NewSet(r, units.SI, OneColumn), r)
		require.NoError(t, err)
		_, rows := f.Data()
		var named []string
		for _, row := range rows {
			if row[len(row)-1] == "yes" {
				named = append(named, row[0])
			}
		}
		return named
	}
	require.Equal(t, []string{"home run, 3/8", "pumped continuously", "pumped on demand"}, onFrontier())
	r.Layouts[2].Crossover = &sim.CrossoverResult{At: "kitchen sink"}
	require.Equal(t, []string{"home run, 3/8", "home run, 3/8, far manifold", "pumped continuously", "pumped on demand"}, onFrontier())
}

func TestFigureCopies(t *testing.T) {
	r := courtyard(t)
	f, err := NewWater(NewSet(r, units.US, OneColumn), r)
	require.NoError(t, err)
	var before, after bytes.Buffer
	require.NoError(t, f.Write(&before, SVG))
	r.Layouts[0].Annual[sim.Purged].Mean = math.NaN()
	r.Layouts[0].Name = "changed"
	_, rows := f.Data()
	rows[0][0] = "changed"
	require.NoError(t, f.Write(&after, SVG))
	require.Equal(t, before.String(), after.String())
	_, rows = f.Data()
	require.Equal(t, "trunk and branch", rows[0][0])

	traced := traces(t)
	f, err = NewTap(NewSet(courtyard(t), units.US, OneColumn), traced)
	require.NoError(t, err)
	before.Reset()
	after.Reset()
	require.NoError(t, f.Write(&before, SVG))
	traced[0].Usable = math.NaN()
	traced[0].Openings[0].Series.Tap[0] = math.NaN()
	*traced[0].Openings[0].Wait = math.NaN()
	require.NoError(t, f.Write(&after, SVG))
	require.Equal(t, before.String(), after.String())
}

// TestPlanIsDrawnWhereItIs holds the table of a plan against what was given, and a
// tube drawn beside another against its own line.
func TestPlanIsDrawnWhereItIs(t *testing.T) {
	p := plan(t)
	f, err := NewPlan(NewSet(courtyard(t), units.SI, TwoColumns), p)
	require.NoError(t, err)
	header, rows := f.Data()
	require.Equal(t, "from_x_m", header[5])
	legs := 0
	for _, tube := range p.Tubes {
		legs += len(tube.Route) - 1
	}
	require.Len(t, rows, legs)
	require.Equal(t, number(p.Tubes[0].Route[0][0]), rows[0][5])

	d := newDrawing(p, NewSet(courtyard(t), units.SI, TwoColumns))
	q := newPanel(&page{}, 0, 100, 0, 100)
	q.across(0, 10)
	q.up(0, 10)
	d.Tubes = []PlanTube{
		{Name: p.Tubes[0].Name, Route: [][3]float64{{0, 5, 0}, {8, 5, 0}}},
		{Name: p.Tubes[0].Name, Route: [][3]float64{{2, 5, 0}, {6, 5, 0}, {6, 9, 0}}},
		{Name: p.Tubes[0].Name, Route: [][3]float64{{8, 5, 0}, {9, 5, 0}}},
	}
	ways := d.lanes(q, 1)
	require.Equal(t, []vg.Point{{X: 0, Y: 50}, {X: 80, Y: 50}}, ways[0], "the first keeps the line")
	require.Equal(t, []vg.Point{{X: 80, Y: 50}, {X: 90, Y: 50}}, ways[2], "the next on the line goes on along it")
	aside := ways[1][1].Y - 50
	require.Greater(t, float64(aside), float64(thickest), "the other is beside it")
	require.Equal(t, []vg.Point{{X: 20, Y: 50}, {X: 20, Y: 50 + aside}, {X: 60, Y: 50 + aside}, {X: 60, Y: 90}}, ways[1])
}

func TestNamesAreEscaped(t *testing.T) {
	r := courtyard(t)
	const hostile = `<script>alert("x")</script>` + "\x00"
	r.Layouts[0].Name = hostile
	f, err := NewWater(NewSet(r, units.US, TwoColumns), r)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, SVG))
	require.NotContains(t, b.String(), "<script")
	require.NotContains(t, b.String(), "\x00")
}

// TestPlanInBothSystems holds the caption and the key of a plan to say lengths and
// volumes in both systems where its axes have both. A foot is 0.3048 m and a gallon
// 3.785412 L.
func TestPlanInBothSystems(t *testing.T) {
	p := Plan{
		Layout: "short", Heaters: [][3]float64{{0, 0, 0}}, Fixtures: []PlanFixture{{"basin", [3]float64{3.048, 0, 0}}},
		Tubes: []PlanTube{{"copper L 3/4", 3.785412e-3 / 3.048, false, [][3]float64{{0, 0, 0}, {3.048, 0, 0}}}},
		Way:   []int{0}, Length: 3.048, Stored: 3.785412e-3,
	}
	f, err := NewPlan(Set{System: units.US, Opposite: true, Width: TwoColumns, Layouts: []string{"short"}}, p)
	require.NoError(t, err)
	require.Contains(t, f.Caption(), "is the way to basin: 10.0 ft (3.05 m) of tube holding 1.00 gal (3.79 L).")
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, SVG))
	require.Contains(t, b.String(), ">way of 10.0 ft (3.05 m), 1.00 gal (3.79 L) to basin<")
	require.Contains(t, b.String(), ">copper L 3/4, 0.1 gal/ft (1.24 L/m)<")
	_, rows := f.Data()
	require.Equal(t, "0.1", rows[0][2])
}

// TestLatin looks for a degree sign in its one byte among the text of a PDF, and
// for a mark in place of a letter that its fonts lack.
func TestLatin(t *testing.T) {
	s := NewSet(courtyard(t), units.US, OneColumn)
	s.Opposite = true
	f, err := NewCooldown(s, []Cooling{{"tube ř", []float64{0, 600}, []float64{50, 43}}})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, PDF))
	var text []byte
	for _, part := range bytes.Split(b.Bytes(), []byte("stream\n"))[1:] {
		if z, err := zlib.NewReader(bytes.NewReader(part)); err == nil {
			plain, _ := io.ReadAll(z) // the end of a part is not of its stream
			text = append(text, plain...)
		}
	}
	require.Contains(t, string(text), "(\xb0C)")
	require.Contains(t, string(text), "tube ?")
}

// TestFontFiles holds each font of a PDF to have a file of its own, so that plain
// is not printed bold.
func TestFontFiles(t *testing.T) {
	f, err := NewWater(NewSet(courtyard(t), units.US, OneColumn), courtyard(t))
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, PDF))
	files := regexp.MustCompile(`/FontFile2 \d+ 0 R`).FindAllString(b.String(), -1)
	fonts := strings.Count(b.String(), "/Type /Font\n")
	require.Len(t, files, fonts)
	slices.Sort(files)
	require.Len(t, slices.Compact(files), fonts)
}

// TestDayUpright looks for a slug of hot water near the heater at the foot of the
// picture, in the first half of the day.
func TestDayUpright(t *testing.T) {
	w := &sim.Watch{Usable: 40, Distance: []float64{1, 2, 3, 4}, Time: []float64{0, 21600, 43200, 64800, 86400}}
	for range w.Time {
		w.Temperature = append(w.Temperature, []float64{20, 20, 20, 20})
	}
	w.Temperature[0] = []float64{50, 50, 20, 20}
	w.Temperature[1] = w.Temperature[0]
	f, err := NewDay(Set{}, w)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, PNG))
	drawn, err := png.Decode(&b)
	require.NoError(t, err)
	seen := func(right, up float64) float64 { // share of the panel's width and height
		box := drawn.Bounds()
		x, y := 0.12+0.6*right, 0.15+0.65*up
		r, g, blue, _ := drawn.At(int(x*float64(box.Dx())), int((1-y)*float64(box.Dy()))).RGBA()
		return lab(color.NRGBA{uint8(r >> 8), uint8(g >> 8), uint8(blue >> 8), 0xff}, "normal")[0]
	}
	require.Less(t, seen(0.2, 0.2), 40.0, "hot by the heater in the morning")
	for _, place := range [][2]float64{{0.2, 0.8}, {0.8, 0.2}, {0.8, 0.8}} {
		require.Greater(t, seen(place[0], place[1]), 80.0, "cold at %v", place)
	}
}

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		n         int
		want      string
	}{
		{0, 100, 5, "0 20 40 60 80 100"},
		{0, 1.2, 4, "0.0 0.5 1.0"},
		{-2130, 0, 3, "–2000 –1000 0"},
		{0, 86672, 4, "0 20\u00a0000 40\u00a0000 60\u00a0000 80\u00a0000"},
		{57, 127, 4, "60 80 100 120"},
		{-386, 4716, 2, "0 2000 4000"}, // and not 0 alone
	} {
		at, decimals := ticks(c.low, c.high, c.n)
		var text []string
		for _, v := range at {
			text = append(text, tickText(v, decimals))
		}
		require.Equal(t, c.want, strings.Join(text, " "))
	}
}

func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		wanted, heights := make([]vg.Length, n), make([]vg.Length, n)
		need := vg.Length(0)
		for i := range wanted {
			wanted[i] = vg.Length(rapid.Float64Range(0, 200).Draw(t, "wanted"))
			heights[i] = vg.Length(rapid.Float64Range(5, 16).Draw(t, "height"))
			need += heights[i]
		}
		at := spread(wanted, heights, 0, 200)
		order := make([]int, n)
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(a, b int) int {
			if at[a] < at[b] {
				return -1
			}
			return 1
		})
		for k, i := range order {
			if k > 0 {
				j := order[k-1]
				if at[i]-heights[i]/2 < at[j]+heights[j]/2-1e-6 {
					t.Fatalf("%v and %v overlap", at[j], at[i])
				}
				if wanted[i] < wanted[j] {
					t.Fatalf("order changed")
				}
			}
			if at[i]-heights[i]/2 < -1e-6 || need <= 200 && at[i]+heights[i]/2 > 200+1e-6 {
				t.Fatalf("%v left its room", at[i])
			}
		}
	})
}

// TestStill holds the shares against counts done by hand.
func TestStill(t *testing.T) {
	left, total, err := still([]int{5, 0, 3, 2})
	require.NoError(t, err)
	require.Equal(t, 10, total)
	require.Equal(t, []float64{1, 0.5, 0.5, 0.2, 0}, left)
}

func BenchmarkFigures(b *testing.B) {
	figures := every(b)
	for _, format := range []Format{SVG, PDF, PNG} {
		for _, name := range []string{"waits-2-us", "tap-2-us", "tradeoff-2-us", "day-2-us"} {
			b.Run(name+"/"+format.String(), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if err := figures[name].Write(io.Discard, format); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// Multiples of 5 at 5e16 are counted in numbers above 2^53, which do not grow by
// one; the scale ends all the same.
func TestTicksFarFromZero(t *testing.T) {
	at, _ := ticks(5e16-16, 5e16+16, 5)
	require.NotEmpty(t, at)
	require.Less(t, len(at), 12)
	for _, v := range at {
		require.InDelta(t, 5e16, v, 24)
	}
}
