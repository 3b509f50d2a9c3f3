//go:build speed

package pipework_test

import (
	"fmt"
	"testing"

	"pipelag/scenarios"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/sim/pipework"
)

// best is the highest rate of some runs of a benchmark: others on the machine only slow
// it down.
func best(t *testing.T, body func(*testing.B)) float64 {
	t.Helper()
	highest := 0.0
	for range 30 {
		for _, rate := range testing.Benchmark(body).Extra {
			highest = max(highest, rate)
		}
	}
	if highest == 0 {
		t.Fatal("a benchmark failed")
	}
	return highest
}

// work is what the exchange of one cell takes: a multiplication and an addition each
// for every pair of nodes, one more addition for the surroundings and one for the sum
// of what is lost; every temperature is read and written.
func work(nodes float64) (flop, bytes float64) { return 2*nodes*nodes + 2*nodes, 2 * 8 * nodes }

// nodes are those of a cell in metal and in plastic.
var nodes = [2]float64{2, 5}

// TestSpeedLimits prints what the kernel does beside what a core could, and the share
// of a year that it takes.
func TestSpeedLimits(t *testing.T) {
	rate := make(map[string]float64)
	for _, m := range pipework.Machine {
		rate[m.Name] = best(t, m.Body)
	}
	fmt.Printf("\n| a core, in plain Go | a second |\n|---|---|\n")
	for _, m := range pipework.Machine {
		fmt.Printf("| %s | %.2g |\n", m.Name, rate[m.Name])
	}
	fmt.Printf("\n| cells of 2 nodes in metal, 5 in plastic | updates a second | of the arithmetic | of the cache |\n|---|---|---|---|\n")
	for i, k := range pipework.Kernels {
		got := best(t, k.Body)
		rate[k.Name] = got
		flop, bytes := work(nodes[i%2])
		fmt.Printf("| %s | %.2g | %.0f %% | %.0f %% |\n", k.Name, got, 100*got*flop/rate["multiply-add"], 100*got*bytes/rate["triad in cache"])
	}
	fmt.Printf("\n| a year of the courtyard house | updates asked for | exchange | whole shifts | at the limit of arithmetic |\n|---|---|---|---|---|\n")
	for i, material := range []string{"metal", "plastic"} {
		s, err := scenarios.LoadEmbedded("courtyard")
		if err != nil {
			t.Fatal(err)
		}
		h := s.House()
		h.Layouts = h.Layouts[2*i : 2*i+1] // trunk and branch in copper, home run in PEX
		var n float64
		took := 1 / best(t, func(b *testing.B) {
			for b.Loop() {
				r, err := sim.Run(b.Context(), &h, sim.Options{Years: 1, Seed: 1, Workers: 1})
				if err != nil {
					b.Fatal(err)
				}
				n = updates(&h, r)
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "years/s")
		})
		flop, _ := work(nodes[i])
		fmt.Printf("| %s | %.2g | %.0f %% | %.0f %% | %.1f %% |\n", h.Layouts[0].Network.Name, n,
			100*n/rate["exchange, "+material]/took, 100*n/rate["shift, "+material]/took, 100*n*flop/rate["multiply-add"]/took)
	}
}

// updates is how many times a cell of the first layout, which has no loop, would take
// another's place in a year if none were left alone: all hot water passes the cells on
// its way, and moves them each time that it fills one.
func updates(h *sim.House, r *sim.Result) float64 {
	n := h.Layouts[0].Network
	cell := float64(pipework.DefaultGrid(n)) * n.Volume() / n.Length()
	sum := 0.0
	for f, of := range r.Layouts[0].Fixtures {
		hot := of.HotDrawnPerDay * schedules.DaysPerYear / 1000 // [m³]
		sum += hot / cell * n.PathVolume(f) / cell
	}
	return sum
}
