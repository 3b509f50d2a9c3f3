package main

import (
	"context"
	"math"
	"time"

	"pipelag/schedules"
	"pipelag/sim"
)

// days are a week's.
const days = 7

// engine lives through the same week on a grid of cells to the largest way, several
// times. Its time is that of a year which the week begins, less that of a year without
// a draw, the quickest of each.
func engine(h *sim.House, seed uint64, cells, tries int) (totals, error) {
	lived := func(days int) (r *sim.Result, least time.Duration, err error) {
		shortened := *h
		shortened.Schedule = schedules.Beginning{Schedule: h.Schedule, Days: days}
		least = math.MaxInt64
		for range tries {
			began := time.Now()
			if r, err = sim.Run(context.Background(), &shortened, sim.Options{Seed: seed, Years: 1, Workers: 1, Cells: cells}); err != nil {
				return nil, 0, err
			}
			least = min(least, time.Since(began))
		}
		return r, least, nil
	}
	r, week, err := lived(days)
	if err != nil {
		return totals{}, err
	}
	_, none, err := lived(0)
	if err != nil {
		return totals{}, err
	}
	january := r.Layouts[0].Months[0]
	return totals{purged: january[sim.Purged], lost: january[sim.PipeLoss], drained: january[sim.Drain], took: week - none}, nil
}
