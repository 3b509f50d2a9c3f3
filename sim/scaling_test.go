package sim_test

import (
	"fmt"
	"runtime"
	"testing"

	"pipelag/network"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/sim"
)

// scalings are what the time of a run may grow with.
var scalings = []struct {
	name string
	at   []int
	run  func(tb testing.TB, n int) (*sim.House, sim.Options)
}{
	{"pipes", []int{10, 30, 100, 300, 1000}, func(tb testing.TB, n int) (*sim.House, sim.Options) {
		return block(tb, n, 5), sim.Options{Years: 1}
	}},
	{"fixtures", []int{2, 4, 8, 16, 32, 64}, func(tb testing.TB, n int) (*sim.House, sim.Options) {
		return block(tb, 127, n), sim.Options{Years: 1}
	}},
	{"years", []int{1, 2, 4, 8, 16}, func(tb testing.TB, n int) (*sim.House, sim.Options) {
		return copies(tb, 1), sim.Options{Years: n}
	}},
	{"layouts", []int{1, 2, 4, 8, 16}, func(tb testing.TB, n int) (*sim.House, sim.Options) {
		return copies(tb, n), sim.Options{Years: 1}
	}},
	{"cores", cores(), func(tb testing.TB, n int) (*sim.House, sim.Options) {
		return copies(tb, 1), sim.Options{Years: 16, Workers: n}
	}},
}

// BenchmarkScaling runs each scaling on one core, but for that of cores.
func BenchmarkScaling(b *testing.B) {
	for _, s := range scalings {
		for _, n := range s.at {
			b.Run(fmt.Sprintf("%s/%d", s.name, n), func(b *testing.B) {
				h, o := s.run(b, n)
				timeRun(b, h, o)
			})
		}
	}
}

// timeRun runs a house, on one core if its options do not say otherwise.
func timeRun(b *testing.B, h *sim.House, o sim.Options) {
	o.Seed, o.Workers = 1, max(1, o.Workers)
	for b.Loop() {
		run(b, h, o)
	}
	b.ReportMetric(float64(len(h.Layouts)*o.Years*b.N)/b.Elapsed().Seconds(), "layout-years/s")
}

// cores are 1, 2, 4 … up to all there are.
func cores() []int {
	var list []int
	for n := 1; n <= runtime.NumCPU(); n *= 2 {
		list = append(list, n)
	}
	return list
}

// copies is the courtyard house with its first layout n times.
func copies(tb testing.TB, n int) *sim.House {
	h := courtyard(tb)
	first := h.Layouts[0]
	h.Layouts = nil
	for range n {
		h.Layouts = append(h.Layouts, first)
	}
	return h
}

// block is a building of pipes of 2 m that fork at every end, with fixtures at the ends
// of the last of them, each drawn from four times a day.
func block(tb testing.TB, pipes, fixtures int) *sim.House {
	tb.Helper()
	tube, err := tubes.Find("copper L", "3/4")
	if err != nil {
		tb.Fatal(err)
	}
	h := courtyard(tb)
	h.Supply, h.Fixtures = nil, nil
	names := make([]string, pipes) // of pipes' ends
	for i := range names {
		names[i] = fmt.Sprintf("end %d", i)
	}
	var taps []string
	for f := range fixtures {
		name := fmt.Sprintf("tap %d", f)
		names[pipes-1-f] = name
		taps = append(taps, name)
		h.Fixtures = append(h.Fixtures, sim.Fixture{Name: name, Use: schedules.Kitchen, Flow: 1e-4, Usable: 41})
	}
	var segments []network.Segment
	for i, name := range names {
		from := "heater"
		if i > 0 {
			from = names[(i-1)/2]
		}
		segments = append(segments, network.Segment{From: from, To: name, Length: 2, Run: network.Run{Tube: tube, Zone: h.Climate.Zones[0].Name}})
	}
	n, mistakes := network.Listed("block", taps, segments)
	if len(mistakes) > 0 {
		tb.Fatal(mistakes)
	}
	h.Schedule, h.Layouts = regular(fixtures), []sim.Layout{{Network: n}}
	return h
}

// regular is a household of so many fixtures that draws from each as often, the same
// every day.
type regular int

func (r regular) Year(uint64, int) schedules.Year { return r }

func (r regular) Day(d int, into []schedules.Wish) []schedules.Wish {
	const times = 4
	for k := range times {
		for f := range int(r) {
			into = append(into, schedules.Wish{
				Fixture: f, Use: schedules.Kitchen, Kind: schedules.Washing,
				Start: sim.Day * (float64(d) + (float64(k)+(float64(f)+0.5)/float64(r))/times),
				Flow:  1e-4, Duration: 15, Mixed: 39, Usable: 41, Patience: 300,
			})
		}
	}
	return into
}
