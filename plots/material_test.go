package plots

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

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
	return Sensitivity{Outcome: "water purged", Factors: []Factor{
		{"people", i(0.21), i(0.26)},
		{"length of the trunk", i(0.44), i(0.51)},
		{"temperature of the crawlspace", i(-0.01), i(0.02)},
		{"flow of the kitchen tap", i(0.09), i(0.16)},
	}}
}

// target is a limit on stored volume as a study might find it.
func target() Target {
	t := Target{Count: 200, Limited: "stored volume to the farthest tap", Of: units.Volume, Saved: sim.Purged, Knee: 3}
	for i, c := range []float64{0.04, 0.11, 0.24, 0.42, 0.55, 0.71, 0.83, 0.95} {
		saving := 3.1 * (1 - c)
		t.Points = append(t.Points, TargetPoint{0.0005 * float64(i+1), c, min(1, c+0.3), sim.Interval{Mean: saving, Low: 0.88 * saving, High: 1.12 * saving}})
	}
	return t
}

func material(tb testing.TB) *Material {
	m := &Material{Result: courtyard(tb), Traces: traces(tb), Day: watched(tb), Week: &Week{First: 14}}
	read(tb, "week.json", &m.Week.Wishes)
	read(tb, "fixtures.json", &m.Week.Fixtures)
	m.Tubes = []Cooling{{"3/4 in copper, bare", []float64{0, 600, 1800}, []float64{50, 43, 33}, "crawlspace", 15}, {"3/8 in PEX, bare", []float64{0, 600, 1800}, []float64{50, 36, 25}, "crawlspace", 15}}
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
