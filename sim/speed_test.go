//go:build speed

package sim_test

import (
	"fmt"
	"math"
	"syscall"
	"testing"
	"time"

	"pipelag/sim"
	"pipelag/sim/pipework"
)

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
		for _, cells := range []int{12, 18, 24, pipework.DefaultCells, 48, 72} {
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
