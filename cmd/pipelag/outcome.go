package main

import (
	"fmt"
	"slices"

	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/sim/pipework"
)

// outcome is a result, the layouts that are not held against the first, and what was
// assumed for want of a better word from the scenario.
type outcome struct {
	*sim.Result
	LeftOut []layoutOut  `json:"left_out"`
	Assumed []assumption `json:"assumptions"`
}

// layoutOut is a layout that is not held against the first, or the first if none is
// held against it, and why.
type layoutOut struct {
	Layout string `json:"layout"`
	Why    string `json:"unlike"`
}

// layoutsOut are those of a result.
func layoutsOut(r *sim.Result) []layoutOut {
	all := []layoutOut{}
	for _, o := range notHeld(r) {
		all = append(all, layoutOut{o.Layout, o.Why.String()})
	}
	return all
}

// names are the layouts', in the order of their numbers.
func (o *outcome) names() []string {
	var all []string
	for _, l := range o.Layouts {
		all = append(all, l.Name)
	}
	return all
}

type assumption struct {
	Path   string `json:"path"`
	Value  string `json:"value"`
	Why    string `json:"why"`
	Layout string `json:"layout,omitempty"` // that it is of; empty where it is of none or of all
}

// text is the assumption as a line.
func (a assumption) text() string { return a.Path + ": " + a.Value + " (" + a.Why + ")" }

// assumed are the assumptions that concern the layouts run.
func assumed(all []scenarios.Assumption, h *sim.House) []assumption {
	kept := []assumption{}
	for _, a := range all {
		if a.Layout == "" || slices.ContainsFunc(h.Layouts, func(l sim.Layout) bool { return l.Network.Name == a.Layout }) {
			kept = append(kept, assumption(a))
		}
	}
	return kept
}

// onGrid says on which grid a result was found, if not on the default.
func onGrid(r *sim.Result) []assumption {
	if r.Cells == 0 {
		return nil
	}
	return []assumption{{Path: "--grid", Value: fmt.Sprintf("%d cells to the largest way to a tap", r.Cells), Why: fmt.Sprintf("asked for; %d without", pipework.DefaultCells)}}
}
