package main

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"pipelag/network"
	"pipelag/network/placement"
	"pipelag/scenarios"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/units"
)

// placed is the search of a place in one layout.
type placed struct {
	Layout   string       `json:"layout"`
	Now      spotDocument `json:"now"`
	Best     spotDocument `json:"best"`
	RunnerUp spotDocument `json:"runner_up"`
	Tried    int          `json:"tried"`
	Refused  int          `json:"refused"`       // places that gave no layout
	Why      string       `json:"why,omitempty"` // the first of them
}

// placementDocument is a search for other programs.
type placementDocument struct {
	Version    string           `json:"version"`
	Scenario   documentScenario `json:"scenario"`
	Thing      string           `json:"thing"`
	Placements []placed         `json:"placements"`
	LeftOut    []string         `json:"left_out"` // layouts that have none to move, and why
}

// spotDocument is a place for each thing moved.
type spotDocument struct {
	At     [][3]float64 `json:"at_m"` // null where there is none
	Stored float64      `json:"stored_beyond_loop_L"`
	Gain   float64      `json:"gain"` // how much less that is than now, as a share
}

// apart is how far from the best place the runner-up is at least [m]: it is to
// be another place, and not the one beside it.
const apart = 1

// place searches a place for the heater or the manifolds of each layout that has
// one to move.
func place(s *scenarios.Scenario, h *sim.House, o *takeoffOptions, stdout io.Writer) error {
	weights := drawsADay(h)
	var all []placed
	var unmoved []string
	for _, l := range h.Layouts {
		plan := s.Plan(l.Network.Name)
		var found *placed
		var err error
		switch {
		case plan == nil:
			unmoved = append(unmoved, fmt.Sprintf("%q lists its pipes", l.Network.Name))
		case o.place == "heater" && len(plan.Heaters) > 1:
			unmoved = append(unmoved, fmt.Sprintf("%q has several heaters", l.Network.Name))
		case o.place == "manifold" && len(plan.Manifolds) == 0:
			unmoved = append(unmoved, fmt.Sprintf("%q has no manifold", l.Network.Name))
		case o.place == "manifold" && len(plan.Manifolds) > 1:
			found, err = placeManifolds(s, plan, l.Network, weights)
		default:
			found, err = placeOne(s, plan, l.Network, o.place, weights)
		}
		if err != nil {
			unmoved = append(unmoved, fmt.Sprintf("%q: %v", l.Network.Name, err))
		}
		if found != nil {
			all = append(all, *found)
		}
	}
	if len(all) == 0 {
		return fmt.Errorf("--place %s: no layout has one that can be moved: %s", o.place, strings.Join(unmoved, "; "))
	}
	if o.json {
		d := placementDocument{Version: version(), Thing: o.place, Placements: all, LeftOut: append([]string{}, unmoved...)}
		d.Scenario.Name, d.Scenario.SHA256 = s.Name, s.SHA256
		return writeJSON(stdout, d)
	}
	return write(stdout, placementPage(s.Name, o, h, weights, all, unmoved))
}

// drawsADay are those of each fixture, in the first year of the first seed.
func drawsADay(h *sim.House) []float64 {
	draws := make([]float64, len(h.Fixtures))
	year := h.Schedule.Year(1, 0)
	var day []schedules.Wish
	for d := range schedules.DaysPerYear {
		day = year.Day(d, day[:0])
		for _, w := range day {
			draws[w.Fixture] += 1.0 / schedules.DaysPerYear
		}
	}
	return draws
}

// placeOne tries every place for the heater or the one manifold of a layout, which
// is laid anew for each.
func placeOne(s *scenarios.Scenario, plan *scenarios.Plan, n *network.Network, thing string, weights []float64) (*placed, error) {
	candidates, manifold := s.Candidates()
	now := plan.Heaters[0]
	if thing == "manifold" {
		candidates, now = manifold, plan.Manifolds[0].At
	}
	if candidates == nil {
		candidates = placement.Plane(plan.Site, now.Z)
	}
	r, err := placement.Search(candidates, weights, apart, func(at network.Point) (*network.Network, error) {
		moved := *plan
		if thing == "heater" {
			moved.Heaters = []network.Point{at}
		} else {
			moved.Manifolds = slices.Clone(plan.Manifolds)
			moved.Manifolds[0].At = at
		}
		return moved.Lay()
	})
	if err != nil {
		return nil, err
	}
	return newPlaced(n.Name, placement.Choice{At: []network.Point{now}, Volume: placement.Stored(n, weights)}, r), nil
}

// placeManifolds looks for places for several manifolds at once.
func placeManifolds(s *scenarios.Scenario, plan *scenarios.Plan, n *network.Network, weights []float64) (*placed, error) {
	runs := placement.HomeRuns{Heater: plan.Heaters[0], Supply: n.Pipes[0].Tube.Volume(), Weights: weights}
	for f, stand := range plan.Site.Fixtures {
		runs.Fixtures = append(runs.Fixtures, stand.At)
		runs.Runs = append(runs.Runs, n.Pipes[n.Taps[f]].Tube.Volume())
	}
	var now []network.Point
	for _, m := range plan.Manifolds {
		now = append(now, m.At)
	}
	_, candidates := s.Candidates()
	if candidates == nil {
		for _, at := range now {
			candidates = append(candidates, placement.Plane(plan.Site, at.Z)...)
		}
	}
	r, err := runs.Place(candidates, len(now), apart)
	if err != nil {
		return nil, err
	}
	return newPlaced(n.Name, placement.Choice{At: now, Volume: placement.Stored(n, weights)}, r), nil
}

func newPlaced(layout string, now placement.Choice, r placement.Result) *placed {
	p := &placed{
		Layout: layout, Now: spotOf(now, now), Best: spotOf(r.Best, now), RunnerUp: spotOf(r.RunnerUp, now),
		Tried: r.Tried, Refused: r.Refused,
	}
	if r.Why != nil {
		p.Why = r.Why.Error()
	}
	return p
}

func spotOf(c, now placement.Choice) spotDocument {
	if c.At == nil {
		return spotDocument{}
	}
	d := spotDocument{Stored: c.Volume / thousandth, Gain: c.Gain(now)}
	for _, p := range c.At {
		d.At = append(d.At, [3]float64{p.X, p.Y, p.Z})
	}
	return d
}

func placementPage(name string, o *takeoffOptions, h *sim.House, weights []float64, all []placed, unmoved []string) []byte {
	var b bytes.Buffer
	system := o.units.System
	fmt.Fprintf(&b, "%s: a place for the %s\n", name, o.place)
	several := false
	for _, p := range all {
		tried := counted(p.Tried, "place") + " tried"
		if p.Refused > 0 {
			tried += fmt.Sprintf(", %d without a layout", p.Refused)
		}
		s := &sheet{
			title: fmt.Sprintf("%s: %s", p.Layout, tried),
			heads: []string{"x, y, z, " + system.Unit(units.Length), system.Unit(units.Volume) + " stored", "less than now"},
		}
		for _, row := range []struct {
			label string
			at    spotDocument
		}{{"  now", p.Now}, {"  best", p.Best}, {"  runner-up", p.RunnerUp}} {
			several = several || len(row.at.At) > 1
			s.add(row.label, row.at.cells(system))
		}
		s.write(&b)
		if p.Refused > 0 {
			writeNote(&b, "  ", "The first that gives none: "+p.Why)
		}
		if p.RunnerUp.At != nil && sim.Less(p.RunnerUp.Stored, p.Best.Stored) == 0 {
			writeNote(&b, "  ", "The runner-up leaves as little as the best: nothing hangs on where the one stands in which they differ.")
		}
	}
	b.WriteByte('\n')
	var draws []string
	for f, w := range weights {
		draws = append(draws, fmt.Sprintf("%s %.1f", h.Fixtures[f].Name, w))
	}
	writeNote(&b, "- ", "Stored: the water on the way to a tap, beyond a loop where there is one, the mean over the draws; draws a day: "+strings.Join(draws, ", ")+".")
	if several {
		writeNote(&b, "- ", "Several manifolds stand now as the layout has them. At other places each is fed straight from the heater with the tube of the first supply, whatever feeds it now, and serves the fixtures whose way through it holds least, whatever it serves now; ports and way-points are left out.")
	}
	if o.place == "manifold" {
		writeNote(&b, "- ", "A supply wider than the runs holds more on each length than it saves, and draws the best place to the heater.")
	}
	if unmoved != nil {
		writeNote(&b, "- ", "Left out: "+strings.Join(unmoved, "; ")+".")
	}
	writeNote(&b, "- ", "Walls, floors, cost, pressure and draws that follow one another along a shared supply are not weighed; take the layout off with its new place.")
	return b.Bytes()
}

// cells are a row of a placement: where, how much is stored, what is gained.
func (at spotDocument) cells(system units.System) []cell {
	if at.At == nil {
		return []cell{{"", "none"}, {"-", ""}, {"-", ""}}
	}
	var places []string
	for _, x := range at.At {
		places = append(places, fmt.Sprintf("%s, %s, %s", system.Number(x[0], units.Length), system.Number(x[1], units.Length), system.Number(x[2], units.Length)))
	}
	gain := fmt.Sprintf("%.1f %%", 100*at.Gain)
	return []cell{{"", strings.Join(places, " and ")}, {system.Number(at.Stored*thousandth, units.Volume), ""}, {gain, ""}}
}
