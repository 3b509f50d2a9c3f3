package studies

import (
	"context"
	"math"
	"time"

	"pipelag/studies/store"
)

// Check makes the houses of some cases, spread over all, and tells what is wrong
// with a factor's value, or with all cases, that no house can be made of.
func (c *Cases) Check() error {
	const most = 64
	type tally struct {
		sound bool
		wrong error
	}
	tallies := make([][]tally, len(c.Study.Factors))
	for k, f := range c.Study.Factors {
		tallies[k] = make([]tally, max(len(f.Levels), 1))
	}
	const golden = 0.6180339887498949 // its multiples fall apart, and beside no grid's period
	for n := range min(c.Count, most) {
		i := n
		if c.Count > most {
			_, part := math.Modf(float64(n) * golden)
			i = int(part * float64(c.Count))
		}
		_, err := c.house(i)
		for k, setting := range c.Settings(i) {
			t := &tallies[k][setting.Level]
			if err == nil {
				t.sound = true
			} else if t.wrong == nil {
				t.wrong = err
			}
		}
	}
	for _, levels := range tallies {
		for _, t := range levels {
			if !t.sound && t.wrong != nil {
				return t.wrong
			}
		}
	}
	return nil
}

// Probe simulates one year of the first case of which a house can be made, and
// tells how long that took.
func (c *Cases) Probe(ctx context.Context) (store.Run, time.Duration, error) {
	var unfit error
	for i := range c.Count {
		began := time.Now()
		h, err := c.house(i)
		if err != nil {
			unfit = err
			continue
		}
		run, err := c.year(ctx, h, nil, i, 0)
		return run, time.Since(began), err
	}
	return store.Run{}, 0, unfit
}
