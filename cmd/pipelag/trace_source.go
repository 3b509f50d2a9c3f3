package main

import (
	"slices"

	"pipelag/plots"
	"pipelag/plots/report"
	"pipelag/scenarios"
	"pipelag/sim"
)

// follower is what a trace shows: openings, or a day.
type follower interface {
	document() any
	page() []byte
	figure() ([]byte, error)
	report() ([]byte, error)
}

// source is what is followed in, and how it is shown.
type source struct {
	*traceOptions
	scenario *scenarios.Scenario
	house    *sim.House
}

// set is what figures of the house share.
func (s *source) set() plots.Set {
	return plots.Set{System: s.units.System, Width: plots.OneColumn, Layouts: layoutNames(s.house), Scenario: s.scenario.Name, Version: version()}
}

func layoutNames(h *sim.House) []string {
	var names []string
	for _, l := range h.Layouts {
		names = append(names, l.Network.Name)
	}
	return names
}

// origin says how to get a report's numbers again.
func (s *source) origin(seed string) report.Origin {
	return report.Origin{Command: s.command, Version: version(), Seed: seed, Sources: []report.Source{{Name: "scenario", SHA256: s.scenario.SHA256, Text: s.scenario.Source}}}
}

// assumedOf are the assumptions that concern a layout.
func (s *source) assumedOf(layout string) []report.Assumption {
	alone := *s.house
	alone.Layouts = slices.DeleteFunc(slices.Clone(alone.Layouts), func(l sim.Layout) bool { return l.Network.Name != layout })
	return reportAssumed(assumed(s.scenario.Assumed, &alone))
}

// cautionsOf are those that hold for all layouts, and those of one.
func (s *source) cautionsOf(layout string) []string {
	var texts []string
	for _, c := range sim.Cautions(s.house) {
		if c.Layout == "" || c.Layout == layout {
			texts = append(texts, c.Text)
		}
	}
	return texts
}
