package verify

import (
	"context"
	"strings"

	"pipelag/network"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/sim/control"
)

// controls sends water round the courtyard house's loop under each control, and
// shows its pump's hours and its losses beside what others count with. None of
// them describes this house, so none is judged.
func controls(ctx context.Context) ([]Line, error) {
	h, site, err := courtyard()
	if err != nil {
		return nil, err
	}
	h.Schedule = h.Schedule.(schedules.Beginning).Schedule // all of the year
	pex, err := tubes.Find("PEX", "1/2")
	if err != nil {
		return nil, err
	}
	demand := control.Demand{Rise: 5, Warm: celsius(105), MaxRun: 300}
	sensed := demand
	sensed.Dead = 900
	trunk := h.Layouts[0].Network
	h.Layouts = nil
	order := []string{"none", "timer", "temperature", "demand_presence_sensor", "demand_manual"}
	for i, pump := range []sim.Pump{
		{Rule: control.Continuous{}},
		{Rule: control.Clock{Windows: []control.Window{{From: 4 * 3600, To: 24 * 3600, Days: control.Everyday}}}},
		{Rule: control.Aquastat{On: celsius(105), Off: celsius(110)}},
		{Rule: sensed, Motion: &control.Motion{Lead: 20, Likelihood: 0.95, False: 10}},
		{Rule: demand, Button: &control.Button{Lead: 60, Likelihood: 0.8}},
	} {
		pump.Flow, pump.Power, pump.HeatShare = 2*gpm, 40, 0.5
		n, err := trunk.WithReturn(order[i], site, network.Run{Tube: pex, Zone: "crawlspace"})
		if err != nil {
			return nil, err
		}
		h.Layouts = append(h.Layouts, sim.Layout{Network: n, Pump: &pump})
	}
	r, err := sim.Run(ctx, h, sim.Options{Seed: 1, Years: 1})
	if err != nil {
		return nil, err
	}
	found := make(map[string]sim.LayoutResult, len(order))
	for _, l := range r.Layouts {
		found[l.Name] = l
	}
	of := func(control string, q sim.Quantity) float64 { return found[control].Annual[q].Mean }
	saved := func(control string, q sim.Quantity) float64 { return 1 - of(control, q)/of("none", q) }
	var lines []Line
	for _, row := range records("recirculation.csv") {
		name := row["control"]
		said := row.source()
		by, _, _ := strings.Cut(said.Title, " table")
		if _, here := found[name]; !here {
			continue
		}
		var t topic
		var published, computed float64
		switch row["quantity"] {
		case "pump_hours":
			t, published = topic{"hours a day that a circulation pump runs, " + by, "h"}, row.number("value")
			computed = of(name, sim.PumpTime) / 3600 / schedules.DaysPerYear
		case "energy_waste":
			t, published = topic{"heat lost from piping, over that of a loop that always runs", "-"}, row.number("value")/500
			computed = of(name, sim.PipeLoss) / of("none", sim.PipeLoss)
		case "pump_hours_saved":
			t, published = topic{"pump hours saved against a loop that always runs", "-"}, row.number("value")
			computed = saved(name, sim.PumpTime)
		case "recirculation_loss_saved", "loop_loss_saved":
			t, published = topic{"heat lost from the loop, saved against one that always runs", "-"}, row.number("value")
			computed = saved(name, sim.LoopLoss)
			said.Note += "; draws alone keep part of the loop warm, however its pump is controlled"
		default:
			continue
		}
		said.Note += "; for other houses, habits and settings than this one: not judged"
		lines = append(lines, t.absolute(strings.ReplaceAll(name, "_", " "), published, computed, noTolerance, said))
	}
	return lines, nil
}
