package sim_test

import (
	"math"
	"slices"
	"testing"

	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/sim/pipework"
)

// TestColdStartIsTheTrace holds cold starts against the first openings of traces.
func TestColdStartIsTheTrace(t *testing.T) {
	for _, name := range scenarios.Embedded() {
		s, err := scenarios.LoadEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		h := s.House()
		flows := make([]float64, len(h.Fixtures))
		for f := range flows {
			flows[f] = h.Fixtures[f].Flow / 2
		}
		flows[0] = 0
		starts, err := sim.ColdStarts(&h, 0, flows)
		if err != nil {
			t.Fatal(err)
		}
		if starts[0] != nil {
			t.Errorf("%s: water comes without a flow: %+v", name, starts[0])
		}
		for f := 1; f < len(flows); f++ {
			trace, err := sim.NewTrace(&h, sim.TraceOptions{Fixture: f, Flow: flows[f], Grid: pipework.OpeningGrid})
			if err != nil {
				t.Fatal(err)
			}
			want := trace.Openings[0].Wait
			if got := starts[f]; !(math.Abs(got.Wait-*want) <= 1e-9**want) || !(math.Abs(got.Drawn-got.Wait*flows[f]) <= 1e-12*got.Drawn) {
				t.Errorf("%s, %s: %+v, the trace waits %g s", name, h.Fixtures[f].Name, got, *want)
			}
			// 10 °F above its first water, on the trace's own curve.
			risen, tap := starts[f].Risen/flows[f], trace.Openings[0].Series
			k := slices.IndexFunc(tap.Tap, func(v float64) bool { return v >= tap.Tap[0]+10/1.8 })
			if !(risen >= tap.Time[k-1] && risen <= tap.Time[k]) || !(risen < *want) {
				t.Errorf("%s, %s: 10 °F warmer after %g s, on the trace between %g and %g s", name, h.Fixtures[f].Name, risen, tap.Time[k-1], tap.Time[k])
			}
		}
	}
}

func TestNeverUsable(t *testing.T) {
	s, err := scenarios.LoadEmbedded("flat")
	if err != nil {
		t.Fatal(err)
	}
	h := s.House()
	flows := make([]float64, len(h.Fixtures))
	flows[0] = 1e-7 // a drip cools on its way
	starts, err := sim.ColdStarts(&h, 0, flows)
	if err != nil || starts[0] != nil {
		t.Errorf("a drip is usable: %+v, %v", starts[0], err)
	}
}

func BenchmarkColdStarts(b *testing.B) {
	s, err := scenarios.LoadEmbedded("courtyard")
	if err != nil {
		b.Fatal(err)
	}
	h := s.House()
	flows := make([]float64, len(h.Fixtures))
	for f := range flows {
		flows[f] = h.Fixtures[f].Flow
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := sim.ColdStarts(&h, 0, flows); err != nil {
			b.Fatal(err)
		}
	}
}

// TestProfilesAtEvenTimes: until its water is usable a tap's way is looked at every
// quarter of the time in which what the pipes hold leaves, also where the last pipe
// stands settled until the front comes, as behind a loop.
func TestProfilesAtEvenTimes(t *testing.T) {
	house := courtyard(t)
	for i := range house.Layouts {
		trace, err := sim.NewTrace(house, sim.TraceOptions{Layout: i, Fixture: 0, Flow: house.Fixtures[0].Flow, Grid: pipework.OpeningGrid})
		if err != nil {
			t.Fatal(err)
		}
		opening := &trace.Openings[0]
		quarter := trace.Stored / trace.Flow / 4
		for k, p := range opening.Profiles[:len(opening.Profiles)-1] {
			if late := p.Time - float64(k)*quarter; !(late >= 0 && late < quarter/4) {
				t.Errorf("%s: profile %d at %.1f s, a quarter is %.1f s", trace.Layout, k, p.Time, quarter)
			}
		}
	}
}
