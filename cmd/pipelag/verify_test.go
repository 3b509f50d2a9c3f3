package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"pipelag/sim/verify"
)

// verifykeys FILE: the file holds checks under the keys that other programs read.
func verifykeys(ts *testscript.TestScript, _ bool, args []string) {
	var whole any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &whole))
	v := asked(ts, whole, "the document", "version", "passed", "failed", "shown", "checks")
	checks := v["checks"].([]any)
	if sum := v["passed"].(float64) + v["failed"].(float64) + v["shown"].(float64); len(checks) == 0 || sum != float64(len(checks)) {
		ts.Fatalf("%d checks, counted %g", len(checks), sum)
	}
	for _, c := range checks {
		asked(ts, c, "a check", "group", "subject", "quantity", "unit", "published", "computed", "deviation", "tolerance", "relative", "verdict", "source", "status")
	}
}

func TestAFailedCheckIsExitCode1(t *testing.T) {
	line := verify.Line{Group: "exact", Subject: "front", Quantity: "q", Unit: "-", Verdict: verify.Pass, Source: verify.Source{Title: "s", Status: "derived"}}
	if code := codeOf(t.Context(), newVerification([]verify.Line{line}).unmet()); code != codeDone {
		t.Errorf("exit code %d with all passed", code)
	}
	wrong := line
	wrong.Verdict = verify.Fail
	v := newVerification([]verify.Line{line, wrong})
	if err := v.unmet(); codeOf(t.Context(), err) != codeUnmet || err.Error() != "1 of 2 checks failed" {
		t.Errorf("exit code %d, %v", codeOf(t.Context(), err), err)
	}
	if page := string(v.page()); !strings.Contains(page, " FAIL ") || !strings.Contains(page, "2 checks: 1 passed, 1 failed, 0 shown") {
		t.Errorf("%s", page)
	}
}

func TestDeviationShown(t *testing.T) {
	tolerance := 0.02
	for _, c := range []struct {
		off      float64
		relative bool
		want     string
	}{{0.0123, true, "+1.23 %"}, {-0.0123, true, "-1.23 %"}, {1e-9, true, "0.00 %"}, {0.0123, false, "+0.012"}, {-1e-12, false, "0"}} {
		l := verify.Line{Deviation: c.off, Relative: c.relative, Tolerance: &tolerance}
		if got := checkCells(l, new(footnotes))[2].number; got != c.want {
			t.Errorf("%g shows as %s, want %s", c.off, got, c.want)
		}
	}
}
