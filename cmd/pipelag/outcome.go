package main

import (
	"fmt"
	"strings"

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
	Path  string `json:"path"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

// text is the assumption as a line.
func (a assumption) text() string { return a.Path + ": " + a.Value + " (" + a.Why + ")" }

// assumed are the assumptions that concern the layouts run.
func assumed(all []scenarios.Assumption, h *sim.House) []assumption {
	kept := []assumption{}
	for _, a := range all {
		if layout, ok := strings.CutPrefix(a.Path, "layouts."); !ok || concerns(layout, h) {
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
	return []assumption{{"--grid", fmt.Sprintf("%d cells to the largest way to a tap", r.Cells), fmt.Sprintf("asked for; %d without", pipework.DefaultCells)}}
}

// concerns tells whether a key below layouts: is that of a layout of the house,
// or of all.
func concerns(path string, h *sim.House) bool {
	for _, l := range h.Layouts {
		if strings.HasPrefix(path, l.Network.Name+".") {
			return true
		}
	}
	return strings.HasPrefix(path, "*.")
}
