package sim

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pipelag/internal/check"
	"pipelag/network"
	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/pipework"
)

var cottageSite = network.Site{
	Heater: network.Point{X: 1, Y: 1},
	Fixtures: []network.Stand{
		{Name: "shower", At: network.Point{X: 11, Y: 4, Z: 4.5}},
		{Name: "sink", At: network.Point{X: 7, Y: 2, Z: 1}},
		{Name: "basin", At: network.Point{X: 13, Y: 1.5, Z: 3.5}},
	},
}

// cottage is a trunk with three fixtures, part in a cellar, part sleeved.
func cottage(t testing.TB) *House {
	t.Helper()
	trunk := network.Run{Tube: mustTube(t, "copper L", "3/4"), Zone: "cellar"}
	branch := network.Run{Tube: mustTube(t, "PEX", "1/2"), Zone: "room"}
	n, err := network.TrunkAndBranch("cottage", cottageSite, trunk, []network.Run{branch, branch, branch})
	if err != nil {
		t.Fatal(err)
	}
	h := bench(t, "PEX", "1/2", 1, 20, 52)
	h.Climate.Zones = []schedules.Zone{{Name: "cellar", Temperature: steadily(14)}, {Name: "room", Temperature: steadily(21)}}
	h.Fixtures = []Fixture{{Name: "shower", Flow: 1.3e-4, Usable: 41}, {Name: "sink", Flow: 0.9e-4, Usable: 43}, {Name: "basin", Flow: 0.6e-4, Usable: 38}}
	h.Layouts = []Layout{{Network: n}}
	return h
}

// randomWeek is a hundred and fifty or so wishes of all kinds, bunched, with now
// and then two at once.
func randomWeek(h *House) [][]schedules.Wish { return randomDays(h, 7) }

func randomDays(h *House, days int) [][]schedules.Wish {
	r := rand.New(rand.NewPCG(3, 1))
	week := make([][]schedules.Wish, days)
	for d := range week {
		for range 8 {
			start := (float64(d) + 0.25 + 0.7*r.Float64()) * Day
			for range 1 + r.IntN(4) {
				f := r.IntN(3)
				w := schedules.Wish{Fixture: f, Start: start, Flow: h.Fixtures[f].Flow * (0.5 + r.Float64()/2), Usable: h.Fixtures[f].Usable, Mixed: 39}
				switch r.IntN(6) {
				case 0:
					w.Kind, w.Duration, w.HotShare = schedules.Brief, 5+20*r.Float64(), 0.5
				case 1:
					w.Kind, w.Volume = schedules.Filling, 0.002+0.01*r.Float64()
				case 2:
					w.Kind, w.Volume = schedules.Appliance, 0.004
				default:
					w.Kind, w.Duration, w.Patience, w.StepIn = schedules.Washing, 20+300*r.Float64(), 300, 10
				}
				week[d] = append(week[d], w)
				start += 400 * r.Float64() * r.Float64()
			}
		}
		slices.SortStableFunc(week[d], func(a, b schedules.Wish) int {
			if a.Start < b.Start {
				return -1
			}
			return 1
		})
		for len(week[d]) > 0 && week[d][len(week[d])-1].Start >= float64(d+1)*Day {
			week[d] = week[d][:len(week[d])-1]
		}
	}
	return week
}

// daysOf is what a house's random days, within January, come to.
func daysOf(t *testing.T, h *House, grid pipework.Grid, days int) Values {
	t.Helper()
	y := newYear(mustPlant(t, h, pipework.Model{Grid: grid}), 1, 0)
	for d, wishes := range randomDays(h, days) {
		if err := y.day(d, wishes); err != nil {
			t.Fatal(err)
		}
	}
	if err := y.finish(); err != nil {
		t.Error(err)
	}
	return y.ledger.months[0].values(h, 0)
}

// The totals of a week on the default grid against one ten times finer, and how
// they converge. The year's totals are sums of such weeks.
func TestGridConvergence(t *testing.T) {
	t.Parallel()
	h := cottage(t)
	totals := func(grid pipework.Grid) Values { return daysOf(t, h, grid, 7) }
	grid := pipework.DefaultGrid(h.Layouts[0].Network)
	fine, coarse := totals(grid/10), totals(grid)
	for _, q := range []Quantity{Purged, PipeLoss, Used, LeftRunning, HotDrawn, Wait, Drain, TankLoss, HeaterInput} {
		limit := 0.01
		if q == Purged || q == PipeLoss {
			limit = 0.005
		}
		t.Logf("%s: on the default grid %+.3f %% off a tenth of it", q.Key(), (coarse[q]/fine[q]-1)*100)
		check.Alike(t, fine[q], coarse[q], limit, q.Key())
	}
	// Fronts that stop between two cells make the error uneven from one grid to
	// the next, so the order is that over three halvings.
	var off []float64
	grids := []pipework.Grid{2, 1, 0.5, 0.25}
	for _, grid := range grids {
		off = append(off, math.Abs(totals(grid)[Purged]/fine[Purged]-1))
	}
	observed := math.Log2(off[0]/off[3]) / 3
	t.Logf("purged on grids of %v m, off that of %g m: %.5f; order %.2f", grids, float64(grid)/10, off, observed)
	if !(observed >= 1) {
		t.Errorf("order %.2f of convergence; first order at least is expected", observed)
	}
}

// The same of a loop that returns through the cold line, for four weeks: its plugs
// are small and few. A valve opens every few minutes, and at which time in its cycle
// a draw meets it is luck that a finer grid throws anew; waits are left out there.
func TestGridOfACrossover(t *testing.T) {
	t.Parallel()
	h := cottage(t)
	n, err := h.Layouts[0].Network.WithCrossover("crossed", 0, func(hot network.Pipe) network.Run { return network.Run{Tube: hot.Tube, Zone: hot.Zone} })
	if err != nil {
		t.Fatal(err)
	}
	for what, pump := range map[string]Pump{
		"button": {Rule: control.Demand{Rise: 5, Warm: 35, MaxRun: 300}, Button: &control.Button{Lead: 60, Likelihood: 0.8}, Crossover: &Crossover{Lukewarm: 25}},
		"valve":  {Rule: control.Continuous{}, Crossover: &Crossover{Lukewarm: 25, Valve: &control.Aquastat{On: 30, Off: 35}}},
	} {
		pump.Flow, pump.Power = 1e-4, 40
		h.Layouts = []Layout{{Network: n, Pump: &pump}}
		grid := pipework.DefaultGrid(n)
		fine, coarse := daysOf(t, h, grid/3, 28), daysOf(t, h, grid, 28)
		totals := []Quantity{PipeLoss, Used, HeaterInput, Pumped, ColdHeat, ColdWarm}
		if pump.Crossover.Valve == nil {
			totals = append(totals, Purged, Wait)
		}
		for _, q := range totals {
			t.Logf("%s, %s: %.4g, on the default grid %+.3f %% off a third of it", what, q.Key(), fine[q], (coarse[q]/fine[q]-1)*100)
			check.Alike(t, fine[q], coarse[q], 0.01, what+", "+q.Key())
		}
	}
}

// The same of loops that are called, for four weeks: what is pumped until the far end is
// warmer hangs on where a front stands there. Motion calls most often, and every call
// moves the front on a little.
func TestGridOfACalledLoop(t *testing.T) {
	t.Parallel()
	h := cottage(t)
	back := network.Run{Tube: mustTube(t, "copper L", "1/2"), Zone: "cellar"}
	n, err := h.Layouts[0].Network.WithReturn("looped", cottageSite, back)
	if err != nil {
		t.Fatal(err)
	}
	rule := control.Demand{Rise: 5, Warm: 40, MaxRun: 300, Dead: 900}
	for what, pump := range map[string]Pump{
		"button": {Rule: rule, Button: &control.Button{Lead: 60, Likelihood: 0.8}},
		"motion": {Rule: rule, Motion: &control.Motion{Lead: 30, Likelihood: 0.9, False: 10}},
	} {
		pump.Flow, pump.Power = 1e-4, 40
		h.Layouts = []Layout{{Network: n, Pump: &pump}}
		grid := pipework.DefaultGrid(n)
		fine, coarse := daysOf(t, h, grid/4, 28), daysOf(t, h, grid, 28)
		for _, q := range []Quantity{Purged, PipeLoss, Pumped, Wait, Drain, HeaterInput} {
			limit := 0.01
			if q == Purged || q == PipeLoss {
				limit = 0.005
			}
			t.Logf("%s, %s: %.4g, on the default grid %+.3f %% off a quarter of it", what, q.Key(), fine[q], (coarse[q]/fine[q]-1)*100)
			check.Alike(t, fine[q], coarse[q], limit, what+", "+q.Key())
		}
	}
}

// TestShortWay: 0.3 m of tube are purged as on a grid twenty times finer, to within what
// runs in a twentieth of a second.
func TestShortWay(t *testing.T) {
	h := bench(t, "copper L", "1/2", 0.3, 20, 52)
	const flow = 1e-4
	fine := purge(t, mustPlant(t, h, pipework.Model{Grid: pipework.DefaultGrid(h.Layouts[0].Network) / 20}), flow, 43)
	got := purge(t, mustPlant(t, h, pipework.Model{}), flow, 43)
	check.Within(t, fine, got, flow/20, "water purged")
}
