package studies

import (
	"context"
	"errors"
	"math"
	"time"

	"pipelag/scenarios"
	"pipelag/studies/sampling"
	"pipelag/studies/store"
)

// Check makes the houses of some cases, spread over all, and tells what is wrong
// with a factor's value, or with all cases, that no house can be made of, or with
// an end of a range.
func (c *Cases) Check() error {
	if err := c.checkSpread(); err != nil {
		return err
	}
	return c.checkEnds()
}

// checkEnds makes a house with each end of each range, where every other factor is
// at its middle or its first value.
func (c *Cases) checkEnds() error {
	settings := make([]scenarios.Setting, len(c.Study.Factors))
	for k, f := range c.Study.Factors {
		if f.Range != nil {
			settings[k].Number = sampling.Number(f.Range, 0.5)
		}
	}
	var all scenarios.Errors
	for k, f := range c.Study.Factors {
		if f.Range == nil {
			continue
		}
		middle := settings[k].Number
		var wrong scenarios.Errors
		for _, end := range []float64{f.Range.From, f.Range.To} {
			settings[k].Number = end
			_, err := c.houseOf(settings)
			var here scenarios.Errors
			if errors.As(err, &here) {
				wrong = append(wrong, c.Study.AtEnd(k, end, here)...)
			} else if err != nil {
				return err
			}
		}
		if len(wrong) > 0 && c.anyHouse(settings, k) {
			all = append(all, wrong...)
		}
		settings[k].Number = middle
	}
	if len(all) > 0 {
		return all
	}
	return nil
}

// anyHouse tells whether a house can be made with any of five values through the
// range of a factor; if none can, the others may be to blame.
func (c *Cases) anyHouse(settings []scenarios.Setting, factor int) bool {
	for _, share := range []float64{0, 0.25, 0.5, 0.75, 1} {
		settings[factor].Number = sampling.Number(c.Study.Factors[factor].Range, share)
		if _, err := c.houseOf(settings); err == nil {
			return true
		}
	}
	return false
}

// checkSpread makes the houses of some cases.
func (c *Cases) checkSpread() error {
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
