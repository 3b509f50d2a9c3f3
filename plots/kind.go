package plots

import (
	"fmt"
	"slices"

	"pipelag/sim"
)

// resultKinds are the figures of a result.
var resultKinds = []struct {
	name string
	draw func(Set, *sim.Result) (*Figure, error)
}{
	{"waits", NewWaits},
	{"water", NewWater},
	{"energy", NewEnergy},
	{"differences", NewDifferences},
	{"months", NewMonths},
	{"tradeoff", NewTradeoff},
}

// traceKinds are the figures of traces.
var traceKinds = []struct {
	name string
	draw func(Set, []*sim.Trace) (*Figure, error)
}{
	{"tap", NewTap},
	{"profiles", func(s Set, traces []*sim.Trace) (*Figure, error) {
		if len(traces) != 1 {
			return nil, fmt.Errorf("%d traces; profiles are drawn of one", len(traces))
		}
		return NewProfiles(s, traces[0])
	}},
}

// Kinds names the figures of a result, and those of traces.
func Kinds() (ofResult, ofTraces []string) {
	for _, k := range resultKinds {
		ofResult = append(ofResult, k.name)
	}
	for _, k := range traceKinds {
		ofTraces = append(ofTraces, k.name)
	}
	return ofResult, ofTraces
}

// OfResult draws the figure of a kind from a result.
func OfResult(kind string, s Set, r *sim.Result) (*Figure, error) {
	names, others := Kinds()
	i := slices.Index(names, kind)
	if i >= 0 {
		return resultKinds[i].draw(s, r)
	}
	if slices.Contains(others, kind) {
		return nil, fmt.Errorf("figure %q needs traces, not a result; of a result, %s", kind, known("figures", names))
	}
	return nil, fmt.Errorf("unknown figure %q; of a result, %s", kind, known("figures", names))
}

// OfTraces draws the figure of a kind from traces.
func OfTraces(kind string, s Set, traces []*sim.Trace) (*Figure, error) {
	others, names := Kinds()
	i := slices.Index(names, kind)
	if i >= 0 {
		return traceKinds[i].draw(s, traces)
	}
	if slices.Contains(others, kind) {
		return nil, fmt.Errorf("figure %q needs a result, not traces; of traces, %s", kind, known("figures", names))
	}
	return nil, fmt.Errorf("unknown figure %q; of traces, %s", kind, known("figures", names))
}
