package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/units"
)

func spoiledPlan(tb testing.TB, spoil func(*Plan)) Plan {
	p := plan(tb)
	spoil(&p)
	return p
}

func TestRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	seven := NewSet(courtyard(t), units.US, OneColumn)
	spoiled := func(spoil func(*sim.Result)) *sim.Result {
		r := courtyard(t)
		spoil(r)
		return r
	}
	spoiledTrace := func(spoil func(*sim.Trace)) []*sim.Trace {
		all := traces(t)
		spoil(all[0])
		return all[:1]
	}
	spoiledDay := func(spoil func(*sim.Watch)) *sim.Watch {
		w := watched(t)
		spoil(w)
		return w
	}
	spoiledTarget := func(spoil func(*Target)) Target {
		x := target()
		spoil(&x)
		return x
	}
	drawn := func(m Material, kind string) func() (*Figure, error) {
		return func() (*Figure, error) {
			all, err := m.Draw(kind, seven)
			if all != nil {
				return all[0].Figure, err
			}
			return nil, err
		}
	}
	one := func(w schedules.Wish) []schedules.Wish { return []schedules.Wish{w} }
	for _, c := range []struct {
		name string
		draw func() (*Figure, error)
		want string
	}{
		{"water of no layout", func() (*Figure, error) { return NewWater(seven, &sim.Result{}) }, "no layout"},
		{"energy NaN", func() (*Figure, error) {
			return NewEnergy(seven, spoiled(func(r *sim.Result) { r.Layouts[1].Annual[sim.HeaterInput].Mean = nan }))
		}, "heater_kWh of trunk and branch, insulated holds NaN"},
		{"water infinite", func() (*Figure, error) {
			return NewWater(seven, spoiled(func(r *sim.Result) { r.Layouts[0].Annual[sim.Purged].High = inf }))
		}, "holds +Inf"},
		{"water negative", func() (*Figure, error) {
			return NewWater(seven, spoiled(func(r *sim.Result) { r.Layouts[0].Annual[sim.Purged] = sim.Interval{Mean: -1, Low: -1, High: -1} }))
		}, "0 or more"},
		{"mean outside its interval", func() (*Figure, error) {
			return NewWater(seven, spoiled(func(r *sim.Result) { r.Layouts[0].Annual[sim.Purged] = sim.Interval{Mean: 3, Low: 1, High: 2} }))
		}, "outside its interval"},
		{"differences of none", func() (*Figure, error) {
			return NewDifferences(seven, nil, nil)
		}, "nothing to draw"},
		{"differences NaN", func() (*Figure, error) {
			return NewDifferences(seven, spoiled(func(r *sim.Result) { r.Differences[0].Annual[sim.Wait].Mean = nan }).Differences, nil)
		}, "holds NaN"},
		{"months infinite", func() (*Figure, error) {
			return NewMonths(seven, spoiled(func(r *sim.Result) { r.Layouts[2].Months[3][sim.PipeLoss] = inf }))
		}, "holds +Inf"},
		{"tradeoff NaN", func() (*Figure, error) {
			return NewTradeoff(seven, spoiled(func(r *sim.Result) { r.Layouts[0].Annual[sim.PumpInput].Mean = nan }))
		}, "holds NaN"},
		{"tradeoff of one layout", func() (*Figure, error) {
			return NewTradeoff(seven, spoiled(func(r *sim.Result) { r.Layouts = r.Layouts[:1] }))
		}, "there is nothing to draw: there is no other layout than trunk and branch"},
		{"waits of nobody", func() (*Figure, error) {
			return NewWaits(seven, spoiled(func(r *sim.Result) {
				for i := range r.Layouts {
					for k := range r.Layouts[i].Fixtures {
						r.Layouts[i].Fixtures[k].WaitCounts = nil
					}
				}
			}))
		}, "nothing to draw"},
		{"waits negative", func() (*Figure, error) {
			return NewWaits(seven, spoiled(func(r *sim.Result) { r.Layouts[0].Fixtures[0].WaitCounts = []int{-1} }))
		}, "0 or more"},
		{"waits with other fixtures", func() (*Figure, error) {
			return NewWaits(seven, spoiled(func(r *sim.Result) { r.Layouts[3].Fixtures = r.Layouts[3].Fixtures[:2] }))
		}, "has not the fixtures"},
		{"stranger to the set", func() (*Figure, error) {
			return NewWaits(seven, spoiled(func(r *sim.Result) { r.Layouts[0].Name = "other" }))
		}, `layout "other" is not of this set; layouts known are: trunk and branch;`},
		{"tap of no trace", func() (*Figure, error) { return NewTap(seven, nil) }, "nothing to draw"},
		{"tap NaN", func() (*Figure, error) {
			return NewTap(seven, spoiledTrace(func(x *sim.Trace) { x.Openings[0].Series.Tap[1] = nan }))
		}, "holds NaN"},
		{"tap without times", func() (*Figure, error) {
			return NewTap(seven, spoiledTrace(func(x *sim.Trace) { x.Openings[0].Series.Time = nil }))
		}, "as many of both"},
		{"taps of two fixtures", func() (*Figure, error) {
			all := traces(t)
			all[1].Fixture = "other"
			return NewTap(seven, all)
		}, "draw them apart"},
		{"profiles infinite", func() (*Figure, error) {
			return NewProfiles(seven, spoiledTrace(func(x *sim.Trace) { x.Openings[0].Profiles[0].Temperature[0] = inf })[0])
		}, "holds +Inf"},
		{"profiles of two", drawn(Material{Traces: traces(t)[:2]}, "profiles"), "drawn from a single trace"},
		{"profiles without any", func() (*Figure, error) { return NewProfiles(seven, traces(t)[1]) }, "nothing to draw"},
		{"week of no draws", func() (*Figure, error) { return NewWeek(seven, Week{[]string{"tap"}, nil, 0}) }, "nothing to draw"},
		{"week NaN", func() (*Figure, error) {
			return NewWeek(seven, Week{[]string{"tap"}, one(schedules.Wish{Start: nan}), 0})
		}, "holds NaN"},
		{"week of a fill without flow", func() (*Figure, error) {
			return NewWeek(seven, Week{[]string{"tap"}, one(schedules.Wish{Kind: schedules.Filling, Volume: 1}), 0})
		}, "holds +Inf"},
		{"week elsewhere", func() (*Figure, error) {
			return NewWeek(seven, Week{[]string{"tap"}, one(schedules.Wish{Flow: 1e-4, Duration: 1, Start: 8 * day}), 0})
		}, "seven days"},
		{"week of water not drawn", func() (*Figure, error) {
			return NewWeek(seven, Week{[]string{"tap"}, one(schedules.Wish{}), 0})
		}, "nothing to draw"},
		{"week at no fixture", func() (*Figure, error) {
			return NewWeek(seven, Week{[]string{"tap"}, one(schedules.Wish{Fixture: 1}), 0})
		}, "fixture 1"},
		{"cooling of none", func() (*Figure, error) { return NewCooldown(seven, nil) }, "nothing to draw"},
		{"cooling NaN", func() (*Figure, error) {
			return NewCooldown(seven, []Cooling{{"tube", []float64{0, 1}, []float64{50, nan}, "crawlspace", 15}})
		}, "holds NaN"},
		{"cooling in air of no temperature", func() (*Figure, error) {
			return NewCooldown(seven, []Cooling{{"tube", []float64{0, 1}, []float64{50, 49}, "crawlspace", nan}})
		}, "tube holds NaN"},
		{"cooling of one time", func() (*Figure, error) {
			return NewCooldown(seven, []Cooling{{"tube", []float64{0}, []float64{50}, "crawlspace", 15}})
		}, "two at least"},
		{"plan of nothing", func() (*Figure, error) { return NewPlan(seven, Plan{Layout: "trunk and branch"}) }, "nothing to draw"},
		{"plans with one of a stranger", drawn(Material{Plans: []Plan{plan(t), spoiledPlan(t, func(p *Plan) { p.Layout = "other" })}}, "plan"), `the plan of "other": layout "other" is not of this set`},
		{"plan of a stranger", func() (*Figure, error) { return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.Layout = "other" })) }, "not of this set"},
		{"plan NaN", func() (*Figure, error) {
			return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.Tubes[1].Route[0][1] = nan }))
		}, "holds NaN"},
		{"plan of a fixture nowhere", func() (*Figure, error) {
			return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.Fixtures[0].At[2] = inf }))
		}, "the place of kitchen sink holds +Inf"},
		{"plan of a heater nowhere", func() (*Figure, error) {
			return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.Heaters[0][0] = nan }))
		}, "heater holds NaN"},
		{"plan of a tube without bore", func() (*Figure, error) {
			return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.Tubes[0].Volume = 0 }))
		}, "above 0"},
		{"plan of a tube nowhere", func() (*Figure, error) {
			return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.Tubes[2].Route = nil }))
		}, "no route"},
		{"plan of a way to nobody", func() (*Figure, error) { return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.To = 9 })) }, "fixture 9"},
		{"plan of a way along nothing", func() (*Figure, error) { return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.Way = []int{99} })) }, "tube 99"},
		{"plan of a way of no length", func() (*Figure, error) { return NewPlan(seven, spoiledPlan(t, func(p *Plan) { p.Length = nan })) }, "holds NaN"},
		{"day of none", func() (*Figure, error) { return NewDay(seven, nil) }, "nothing to draw"},
		{"day infinite", func() (*Figure, error) {
			return NewDay(seven, spoiledDay(func(w *sim.Watch) { w.Temperature[2][1] = inf }))
		}, "holds +Inf"},
		{"day NaN", func() (*Figure, error) {
			return NewDay(seven, spoiledDay(func(w *sim.Watch) { w.Draws[0] = nan }))
		}, "holds NaN"},
		{"day with a row too few", func() (*Figure, error) {
			return NewDay(seven, spoiledDay(func(w *sim.Watch) { w.Temperature = w.Temperature[1:] }))
		}, "as many of both"},
		{"day with a short row", func() (*Figure, error) {
			return NewDay(seven, spoiledDay(func(w *sim.Watch) { w.Temperature[3] = w.Temperature[3][1:] }))
		}, "after 900 s there are"},
		{"day that goes back", func() (*Figure, error) {
			return NewDay(seven, spoiledDay(func(w *sim.Watch) { w.Time[3] = 0 }))
		}, "must rise"},
		{"day without end", func() (*Figure, error) {
			return NewDay(seven, spoiledDay(func(w *sim.Watch) { w.Time[len(w.Time)-1] = 1e14 }))
		}, "runs from 0 s to 1e+14 s; a day has 0 s to 86400 s"},
		{"day before midnight", func() (*Figure, error) {
			return NewDay(seven, spoiledDay(func(w *sim.Watch) { w.Time[0] = -1e14 }))
		}, "runs from -1e+14 s to 86400 s; a day has 0 s to 86400 s"},
		{"mains NaN", func() (*Figure, error) {
			return NewMonths(seven, spoiled(func(r *sim.Result) { r.Mains[4] = nan }))
		}, "the temperature of the mains holds NaN"},
		{"sensitivity to nothing", func() (*Figure, error) { return NewSensitivity(seven, Sensitivity{}) }, "nothing to draw"},
		{"sensitivity NaN", func() (*Figure, error) {
			return NewSensitivity(seven, Sensitivity{Factors: []Factor{{"length", sim.Interval{Mean: nan}, sim.Interval{}}}})
		}, "the index of length holds NaN"},
		{"sensitivity with half an interval", func() (*Figure, error) {
			return NewSensitivity(seven, Sensitivity{Factors: []Factor{{"length", sim.Interval{Mean: 0.5, Low: 0.4, High: nan}, sim.Interval{Mean: 0.5, Low: nan, High: nan}}}})
		}, "the index of length holds NaN"},
		{"sensitivity without a name", func() (*Figure, error) { return NewSensitivity(seven, Sensitivity{Factors: []Factor{{}}}) }, "no name"},
		{"sensitivity of what is fixed", func() (*Figure, error) {
			return NewSensitivity(seven, Sensitivity{Factors: []Factor{{Name: "length"}}})
		}, "does not spread"},
		{"target of one point", func() (*Figure, error) { return NewTarget(seven, Target{Points: target().Points[:1]}) }, "nothing to draw"},
		{"target infinite", func() (*Figure, error) {
			return NewTarget(seven, spoiledTarget(func(x *Target) { x.Points[1].Saving.High = inf }))
		}, "holds +Inf"},
		{"target NaN", func() (*Figure, error) {
			return NewTarget(seven, spoiledTarget(func(x *Target) { x.Points[1].Complying = nan }))
		}, "holds NaN"},
		{"target with more than all", func() (*Figure, error) {
			return NewTarget(seven, spoiledTarget(func(x *Target) { x.Points[1].Complying = 1.1 }))
		}, "must be from 0 to 1"},
		{"target that more meet than can", func() (*Figure, error) {
			return NewTarget(seven, spoiledTarget(func(x *Target) { x.Points[1].Able = 0.1 }))
		}, "must be from the 0.11 that does to 1"},
		{"target that goes back", func() (*Figure, error) {
			return NewTarget(seven, spoiledTarget(func(x *Target) { x.Points[1].Limit = 0 }))
		}, "limits must rise"},
		{"target of what is not shown", func() (*Figure, error) {
			return NewTarget(seven, spoiledTarget(func(x *Target) { x.Saved = sim.PumpTime }))
		}, "no figure shows pump_h"},
		{"target with its knee elsewhere", func() (*Figure, error) {
			return NewTarget(seven, spoiledTarget(func(x *Target) { x.Knee = len(x.Points) }))
		}, "the knee is point"},
		{"unknown kind", drawn(Material{}, "pie"), `unknown figure "pie"; figures known are: waits; water`},
		{"kind of another source", drawn(Material{Traces: traces(t)}, "waits"), "drawn from a result, which is not here; what is here gives: tap"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := c.draw()
			require.ErrorContains(t, err, c.want)
			require.Nil(t, f)
		})
	}
	_, err := ParseFormat("gif")
	require.EqualError(t, err, `unknown format "gif"; formats known are: svg; pdf; png`)
	_, err = ParseWidth("three")
	require.Error(t, err)
}
