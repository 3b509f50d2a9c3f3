package main

import (
	"encoding/json"
	"math"
	"strconv"

	"github.com/rogpeppe/go-internal/testscript"
)

// asked are the keys that an object must have.
func asked(ts *testscript.TestScript, of any, what string, names ...string) map[string]any {
	m, ok := of.(map[string]any)
	if !ok {
		ts.Fatalf("%s is no object", what)
	}
	for _, name := range names {
		if _, ok := m[name]; !ok {
			ts.Fatalf("%s has no %s", what, name)
		}
	}
	return m
}

// tracekeys FILE OPENINGS: the file is a trace under the keys that other
// programs read, with so many openings.
func tracekeys(ts *testscript.TestScript, _ bool, args []string) {
	var whole any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &whole))
	t := asked(ts, whole, "the trace", "version", "scenario", "layout", "fixture", "flow_L_per_s", "stored_L", "pipes", "openings")
	asked(ts, t["scenario"], "the scenario", "name", "sha256")
	for _, p := range t["pipes"].([]any) {
		asked(ts, p, "a pipe", "from", "to", "length_m", "inside_mm", "outside_mm", "water_J_per_mK", "wall_J_per_mK", "inner_W_per_mK", "outer_W_per_mK")
	}
	openings := t["openings"].([]any)
	if want, err := strconv.Atoi(args[1]); err != nil || len(openings) != want {
		ts.Fatalf("%d openings, want %s", len(openings), args[1])
	}
	for i, o := range openings {
		o := asked(ts, o, "an opening", "rest_s", "before_C", "wait_s", "purged_L", "series", "profiles", "parts_s")
		if (o["rest_s"] == nil) != (i == 0) {
			ts.Fatalf("opening %d: rest %v", i, o["rest_s"])
		}
		asked(ts, o["before_C"], "before_C", "heater_end", "middle", "tap_end")
		series := asked(ts, o["series"], "the series", "t_s", "tap_C")
		if n := len(series["t_s"].([]any)); n < 2 || n != len(series["tap_C"].([]any)) {
			ts.Fatalf("opening %d: a series of %d", i, n)
		}
		parts, sum := asked(ts, o["parts_s"], "parts_s", "plug", "wall", "loss", "dispersion"), 0.0
		for _, part := range []string{"plug", "wall", "loss", "dispersion"} {
			sum += parts[part].(float64)
		}
		if wait := o["wait_s"].(float64); !(math.Abs(sum-wait) < 1e-9*wait) {
			ts.Fatalf("opening %d: the parts make %g s, the wait is %g s", i, sum, wait)
		}
	}
}
