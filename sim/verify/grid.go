package verify

import (
	"context"
	"math"

	"pipelag/network"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/schedules/household"
	"pipelag/sim"
	"pipelag/sim/control"
	"pipelag/sim/exact"
	"pipelag/sim/heater"
	"pipelag/sim/pipework"
)

// courtyard is a one-storey house round a courtyard, with the kitchen at the far
// corner from the heater, lived in for four weeks by three people, and where
// things stand in it. The house is invented.
func courtyard() (*sim.House, network.Site, error) {
	at := func(x, y, z float64) network.Point { return network.Point{X: x * foot, Y: y * foot, Z: z * foot} }
	fixtures := []struct {
		fixture schedules.Fixture
		at      network.Point
	}{
		{schedules.Fixture{Name: "kitchen sink", Use: schedules.Kitchen, Flow: 1.5 * gpm}, at(52, 10, 4)},
		{schedules.Fixture{Name: "dishwasher", Use: schedules.Dishwasher, Flow: 1.5 * gpm}, at(55, 10, 3)},
		{schedules.Fixture{Name: "hall shower", Use: schedules.Shower, Flow: 2 * gpm}, at(26, 40, 7.5)},
		{schedules.Fixture{Name: "hall lavatory", Use: schedules.Lavatory, Flow: 1.2 * gpm}, at(30, 40, 4)},
		{schedules.Fixture{Name: "main tub", Use: schedules.Bath, Flow: 4 * gpm}, at(51, 41, 3)},
		{schedules.Fixture{Name: "main lavatory", Use: schedules.Lavatory, Flow: 1.2 * gpm}, at(50, 36, 4)},
		{schedules.Fixture{Name: "clothes washer", Use: schedules.ClothesWasher, Flow: 2.2 * gpm}, at(9, 30, 5)},
	}
	site := network.Site{Heater: at(4, 34, 0)}
	var users []schedules.Fixture
	h := &sim.House{
		Name:    "courtyard",
		Climate: schedules.Climate{Mains: steadily(celsius(58)), Zones: []schedules.Zone{{Name: "crawlspace", Temperature: steadily(celsius(60))}}},
		Heater:  sim.Heater{Kind: heater.Held{Setpoint: celsius(125), Loss: 2, Efficiency: 1}, Setpoint: celsius(125), Zone: "crawlspace"},
	}
	for _, f := range fixtures {
		f.fixture.Usable = celsius(105)
		users = append(users, f.fixture)
		site.Fixtures = append(site.Fixtures, network.Stand{Name: f.fixture.Name, At: f.at})
		h.Fixtures = append(h.Fixtures, sim.Fixture{Name: f.fixture.Name, Use: f.fixture.Use, Flow: f.fixture.Flow, Usable: f.fixture.Usable})
	}
	family, err := household.New(household.Config{People: 3, Bedrooms: 3, Fixtures: users})
	if err != nil {
		return nil, site, err
	}
	h.Schedule = schedules.Beginning{Schedule: family, Days: 28}

	run := func(kind, size string) (network.Run, error) {
		t, err := tubes.Find(kind, size)
		return network.Run{Tube: t, Zone: "crawlspace"}, err
	}
	runs := make([]network.Run, 3)
	for i, tube := range [][2]string{{"copper L", "3/4"}, {"copper L", "1/2"}, {"PEX", "1/2"}} {
		if runs[i], err = run(tube[0], tube[1]); err != nil {
			return nil, site, err
		}
	}
	each := func(r network.Run) (list []network.Run) {
		for range fixtures {
			list = append(list, r)
		}
		return list
	}
	trunk, err := network.TrunkAndBranch("trunk and branch", site, runs[0], each(runs[1]))
	if err != nil {
		return nil, site, err
	}
	home, err := network.HomeRuns("home run", site, []network.Manifold{{Name: "manifold", At: at(8, 34, 0), Supply: runs[0]}}, nil, each(runs[2]), nil)
	if err != nil {
		return nil, site, err
	}
	h.Layouts = []sim.Layout{{Network: trunk}, {Network: home}}
	return h, site, nil
}

// inGrid are the totals that must not hang on the grid.
var inGrid = []struct {
	quantity   sim.Quantity
	name, unit string
	size       float64 // of the unit, in SI
}{
	{sim.Purged, "purged", "L", litre},
	{sim.Wait, "waiting", "h", 3600},
	{sim.PipeLoss, "lost from pipes", "kWh", 3.6e6},
	{sim.HeaterInput, "into the heater", "kWh", 3.6e6},
}

// gridConvergence compares four weeks on the default grid and on one ten times
// finer, and finds the order in which errors fall.
func gridConvergence(ctx context.Context) ([]Line, error) {
	h, _, err := courtyard()
	if err != nil {
		return nil, err
	}
	on := func(finer int) (*sim.Result, error) {
		return sim.Run(ctx, h, sim.Options{Seed: 1, Years: 1, Cells: finer * pipework.DefaultCells})
	}
	coarse, err := on(1)
	if err != nil {
		return nil, err
	}
	fine, err := on(10)
	if err != nil {
		return nil, err
	}
	tenth := Source{"four weeks of the same house on cells a tenth as long", "computed", ""}
	var lines []Line
	for i := range coarse.Layouts {
		for _, q := range inGrid {
			lines = append(lines, topic{"four weeks of a house, " + coarse.Layouts[i].Name, q.unit}.relative(
				q.name,
				fine.Layouts[i].Annual[q.quantity].Mean/q.size, coarse.Layouts[i].Annual[q.quantity].Mean/q.size, 0.01, tenth))
		}
	}
	order, err := frontOrder()
	if err != nil {
		return nil, err
	}
	return append(lines, topic{"order of convergence, cells of 2 m to 0.25 m", "-"}.absolute("front in copper", 2, order, 0.3,
		Source{"Strang, On the construction and comparison of difference schemes, SIAM J. Numer. Anal. 5, 1968: a symmetric splitting is of second order", "derived", ""})), nil
}

// frontOrder is the order in which a front in copper converges to Schumann's
// solution, by the largest errors on cells of 2 m and of an eighth of that.
func frontOrder() (float64, error) {
	b, err := frontBench(0.015 * litre)
	if err != nil {
		return 0, err
	}
	const halvings = 3
	var worst [2]float64
	for i, grid := range []pipework.Grid{2, 2.0 / (1 << halvings)} {
		t, err := b.trace(sim.TraceOptions{Grid: grid, NoDispersion: true})
		if err != nil {
			return 0, err
		}
		p, s := t.Pipes[0], &t.Openings[0].Series
		xi := p.Inner * b.length / (p.Water * b.speed())
		for k, at := range s.Time {
			// The solution jumps as the first hot water comes, at η = 0.
			eta := (at - b.length/b.speed()) * p.Inner / p.Wall
			if eta < 0.5 || eta > 5 {
				continue
			}
			got := (s.Tap[k] - b.room) / (b.setpoint - b.room)
			worst[i] = max(worst[i], math.Abs(got-exact.SchumannWater(xi, eta).Value))
		}
	}
	return math.Log2(worst[0]/worst[1]) / halvings, nil
}

// balance is the worst that the accounts of heat are off in four weeks of
// every arrangement, as a share of the heat that went in.
func balance(ctx context.Context) ([]Line, error) {
	h, site, err := courtyard()
	if err != nil {
		return nil, err
	}
	pex, err := tubes.Find("PEX", "1/2")
	if err != nil {
		return nil, err
	}
	back := network.Run{Tube: pex, Zone: "crawlspace"}
	for i, pump := range []sim.Pump{
		{Rule: control.Continuous{}, Flow: gpm, Power: 25, HeatShare: 0.5},
		{
			Rule:   control.Demand{Rise: 5, Warm: celsius(100), MaxRun: 300},
			Button: &control.Button{Lead: 60, Likelihood: 0.8},
			Flow:   3 * gpm, Power: 60, HeatShare: 0.5,
		},
	} {
		name := [...]string{"pumped continuously", "pumped on demand"}[i]
		n, err := h.Layouts[0].Network.WithReturn(name, site, back)
		if err != nil {
			return nil, err
		}
		h.Layouts = append(h.Layouts, sim.Layout{Network: n, Pump: &pump})
	}
	r, err := sim.Run(ctx, h, sim.Options{Seed: 1, Years: 1})
	if err != nil {
		return nil, err
	}
	var lines []Line
	for i, l := range r.Layouts {
		name := h.Layouts[i].Network.Name
		lines = append(lines, topic{"heat not accounted for, as a share of heat in", "-"}.absolute(name, 0, l.BalanceError, 1e-9,
			Source{"conservation of energy", "derived", "four weeks"}))
	}
	return lines, nil
}
