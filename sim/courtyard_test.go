package sim_test

import (
	"context"
	"encoding/json"
	"errors"
	"testing"

	"pipelag/scenarios"
	"pipelag/sim"
)

func courtyard(tb testing.TB) *sim.House {
	tb.Helper()
	s, err := scenarios.LoadEmbedded("courtyard")
	if err != nil {
		tb.Fatal(err)
	}
	h := s.House()
	return &h
}

func run(tb testing.TB, h *sim.House, o sim.Options) *sim.Result {
	tb.Helper()
	r, err := sim.Run(context.Background(), h, o)
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// The same seed gives the same bytes whatever the number of workers, including
// more workers than years, where the layouts of a year are split among them.
func TestWorkersDoNotMatter(t *testing.T) {
	h := courtyard(t)
	h.Layouts = []sim.Layout{h.Layouts[0], h.Layouts[2], h.Layouts[6]}
	var one []byte
	for _, workers := range []int{1, 5} {
		text, err := json.Marshal(run(t, h, sim.Options{Seed: 7, Years: 2, Grid: 5, Workers: workers}))
		if err != nil {
			t.Fatal(err)
		}
		if one == nil {
			one = text
		} else if string(text) != string(one) {
			t.Errorf("%d workers give another result than one", workers)
		}
	}
}

// A layout's figures do not depend on which others stand beside it.
func TestLayoutsDoNotDisturbEachOther(t *testing.T) {
	h := courtyard(t)
	both := run(t, h, sim.Options{Seed: 3, Years: 1, Grid: 5})
	alone := *h
	alone.Layouts = h.Layouts[6:7]
	single := run(t, &alone, sim.Options{Seed: 3, Years: 1, Grid: 5})
	for q := range sim.Quantities {
		if got, want := single.Layouts[0].Annual[q].Mean, both.Layouts[6].Annual[q].Mean; got != want {
			t.Errorf("%s: %g alone, %g beside others", sim.Quantity(q).Key(), got, want)
		}
	}
}

func TestResultSurvivesJSON(t *testing.T) {
	h := courtyard(t)
	h.Layouts = h.Layouts[:2]
	text, err := json.Marshal(run(t, h, sim.Options{Seed: 1, Years: 2, Grid: 5}))
	if err != nil {
		t.Fatal(err)
	}
	var back sim.Result
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(&back)
	if err != nil {
		t.Fatal(err)
	}
	// Values go through a change of units both ways, so compare once more round.
	var twice sim.Result
	if err := json.Unmarshal(again, &twice); err != nil {
		t.Fatal(err)
	}
	for i := range back.Layouts {
		for q := range sim.Quantities {
			a, b := back.Layouts[i].Annual[q], twice.Layouts[i].Annual[q]
			if d := a.Mean - b.Mean; d > 1e-12*a.Mean || d < -1e-12*a.Mean {
				t.Errorf("%s: %g became %g", sim.Quantity(q).Key(), a.Mean, b.Mean)
			}
		}
	}
	if len(back.Differences) != 1 || back.Differences[0].Against != h.Layouts[0].Network.Name {
		t.Errorf("differences became %+v", back.Differences)
	}
}

func TestRunStopsWhenAsked(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	h := courtyard(t)
	years := 0
	_, err := sim.Run(ctx, h, sim.Options{Seed: 1, Years: 1000, Grid: 5, Progress: func(int) {
		years++
		stop()
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("a stopped run gives %v", err)
	}
	if years > 10 {
		t.Errorf("%d years passed after the run was stopped", years)
	}
}

// Who cannot take a year ends the run, and is told no more years.
func TestRunEndsWhereAYearIsNotTaken(t *testing.T) {
	h := courtyard(t)
	h.Layouts = h.Layouts[:2]
	full := errors.New("no room")
	told := 0
	_, err := sim.Run(context.Background(), h, sim.Options{Seed: 1, Years: 8, Grid: 5, Workers: 3, Year: func(layouts []sim.Values) error {
		if told++; told < 3 {
			return nil
		}
		return full
	}})
	if !errors.Is(err, full) || told != 3 {
		t.Errorf("told %d years, ended with %v", told, err)
	}
}

// Precision stops as soon as every difference is known, and says so when the
// years run out first.
func TestPrecision(t *testing.T) {
	h := courtyard(t)
	h.Layouts = []sim.Layout{h.Layouts[0], h.Layouts[2]}
	wide := &sim.Precision{Quantity: sim.Purged, HalfWidth: 1} // a cubic metre
	r := run(t, h, sim.Options{Seed: 1, Years: 20, Grid: 5, Precision: wide})
	if r.Years >= 20 || r.Differences[0].Annual[sim.Purged].HalfWidth() > 1 {
		t.Errorf("%d years to ± %g m³", r.Years, r.Differences[0].Annual[sim.Purged].HalfWidth())
	}
	narrow := &sim.Precision{Quantity: sim.Purged, HalfWidth: 1e-6}
	r = run(t, h, sim.Options{Seed: 1, Years: 3, Grid: 5, Precision: narrow})
	if r.Years != 3 || len(r.Warnings) == 0 {
		t.Errorf("%d years and warnings %q where the precision cannot be met", r.Years, r.Warnings)
	}
}

// One layout-year on one core, for each layout of each embedded scenario.
func BenchmarkLayoutYear(b *testing.B) {
	for _, name := range scenarios.Embedded() {
		s, err := scenarios.LoadEmbedded(name)
		if err != nil {
			b.Fatal(err)
		}
		h := s.House()
		layouts := h.Layouts
		for i := range layouts {
			b.Run(name+"/"+layouts[i].Network.Name, func(b *testing.B) {
				one := h
				one.Layouts = layouts[i : i+1]
				b.ReportAllocs()
				timeRun(b, &one, sim.Options{Years: 1})
			})
		}
	}
}

// Ten years of six layouts, on all cores.
func BenchmarkTenYearsOfSixLayouts(b *testing.B) {
	h := courtyard(b)
	h.Layouts = h.Layouts[:6]
	for b.Loop() {
		run(b, h, sim.Options{Seed: 1, Years: 10})
	}
}
