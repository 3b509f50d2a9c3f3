//go:build speed

package sim_test

import (
	"fmt"
	"math"
	"syscall"
	"testing"
	"time"

	"pipelag/schedules"
	"pipelag/sim"
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

// least is the shortest time of some by a clock that a run of a house takes [s].
func least(t *testing.T, clock func() float64, h *sim.House, o sim.Options) float64 {
	t.Helper()
	o.Seed, o.Workers = 1, max(1, o.Workers)
	shortest := math.Inf(1)
	for range 5 {
		began := clock()
		run(t, h, o)
		shortest = min(shortest, clock()-began)
	}
	return shortest
}

// spent is the time that this process has had of processors, which others do not add
// to as they do to that of a wall clock [s].
func spent() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano()).Seconds()
}

// wall is the time on the wall [s].
func wall() float64 { return time.Since(start).Seconds() }

var start = time.Now()

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
	for _, m := range sim.Machine {
		rate[m.Name] = best(t, m.Body)
	}
	fmt.Printf("\n| a core, in plain Go | a second |\n|---|---|\n")
	for _, m := range sim.Machine {
		fmt.Printf("| %s | %.2g |\n", m.Name, rate[m.Name])
	}
	fmt.Printf("\n| cells of 2 nodes in metal, 5 in plastic | updates a second | of the arithmetic | of the cache |\n|---|---|---|---|\n")
	for i, k := range sim.Kernels {
		got := best(t, k.Body)
		rate[k.Name] = got
		flop, bytes := work(nodes[i%2])
		fmt.Printf("| %s | %.2g | %.0f %% | %.0f %% |\n", k.Name, got, 100*got*flop/rate["multiply-add"], 100*got*bytes/rate["triad in cache"])
	}
	fmt.Printf("\n| a year of the courtyard house | updates asked for | exchange | whole shifts | at the limit of arithmetic |\n|---|---|---|---|---|\n")
	for i, material := range []string{"metal", "plastic"} {
		h := courtyard(t)
		h.Layouts = h.Layouts[2*i : 2*i+1] // trunk and branch in copper, home run in PEX
		took := least(t, spent, h, sim.Options{Years: 1})
		n := updates(h, run(t, h, sim.Options{Years: 1, Seed: 1}))
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
	cell := float64(sim.DefaultGrid(n)) * n.Volume() / n.Length()
	sum := 0.0
	for f, of := range r.Layouts[0].Fixtures {
		hot := of.HotDrawnPerDay * schedules.DaysPerYear / 1000 // [m³]
		sum += hot / cell * n.PathVolume(f) / cell
	}
	return sum
}

// TestSpeedScaling prints how the time of a run grows.
func TestSpeedScaling(t *testing.T) {
	fmt.Printf("\n| of | number | time | order |\n|---|---|---|---|\n")
	for _, s := range scalings {
		var first, last float64
		for i, n := range s.at {
			h, o := s.run(t, n)
			clock := spent
			if s.name == "cores" {
				clock = wall
			}
			took := least(t, clock, h, o)
			order := "-"
			if i == 0 {
				first = took
			} else {
				order = fmt.Sprintf("%.2f", math.Log(took/last)/math.Log(float64(n)/float64(s.at[i-1])))
			}
			last = took
			fmt.Printf("| %s | %d | %.2f | %s |\n", s.name, n, took/first, order)
		}
	}
}

// TestSpeedGrid prints how far a year is off that of a fine grid, and what it takes.
func TestSpeedGrid(t *testing.T) {
	const fine = 180
	fmt.Printf("\n| layout | cells to the largest way | purged | heat lost from pipes | heat to the drain | time |\n|---|---|---|---|---|---|\n")
	for _, i := range []int{0, 2, 5, 6} {
		h := courtyard(t)
		h.Layouts = h.Layouts[i : i+1]
		annual := func(cells int) sim.Intervals {
			return run(t, h, sim.Options{Seed: 1, Years: 1, Cells: cells}).Layouts[0].Annual
		}
		limit := annual(fine)
		usual := least(t, spent, h, sim.Options{Years: 1})
		for _, cells := range []int{12, 18, 24, sim.DefaultCells, 48, 72} {
			took := least(t, spent, h, sim.Options{Years: 1, Cells: cells})
			got := annual(cells)
			fmt.Printf("| %s | %d |", h.Layouts[0].Network.Name, cells)
			for _, q := range []sim.Quantity{sim.Purged, sim.PipeLoss, sim.Drain} {
				fmt.Printf(" %+.1f %% |", 100*(got[q].Mean/limit[q].Mean-1))
			}
			fmt.Printf(" %.1f |\n", took/usual)
		}
	}
}
