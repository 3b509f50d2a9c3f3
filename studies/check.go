package studies

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"pipelag/internal/fault"
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

// checkEnds makes a house with each end of each range, beside what others may be until
// one can be made.
func (c *Cases) checkEnds() error {
	beside := c.beside()
	var all scenarios.Errors
	for k, f := range c.Study.Factors {
		if f.Range == nil {
			continue
		}
		for _, end := range []float64{f.Range.From, f.Range.To} {
			if err := c.wrongEnd(beside, k, end); err != nil {
				all = append(all, c.Study.AtEnd(k, end, err)...)
			}
		}
	}
	if len(all) > 0 {
		return all
	}
	return nil
}

// beside are the settings that ends are tried beside: all factors at the middle of their
// ranges or at their first values, and then each in turn at each other value that it lists.
func (c *Cases) beside() [][]scenarios.Setting {
	first := make([]scenarios.Setting, len(c.Study.Factors))
	for k, f := range c.Study.Factors {
		if f.Range != nil {
			first[k].Number = sampling.Number(f.Range, 0.5)
		}
	}
	all := [][]scenarios.Setting{first}
	for k, f := range c.Study.Factors {
		for level := 1; level < len(f.Levels); level++ {
			other := slices.Clone(first)
			other[k].Level = level
			all = append(all, other)
		}
	}
	return all
}

// wrongEnd tells why no house can be made with an end of a factor's range beside any of
// some settings; nil if one can be, or if none can with any of five values through the
// range either, for then the other factors may be to blame.
func (c *Cases) wrongEnd(beside [][]scenarios.Setting, factor int, end float64) error {
	try := func(settings []scenarios.Setting, x float64) error {
		settings = slices.Clone(settings)
		settings[factor].Number = x
		_, err := c.houseOf(settings)
		return err
	}
	wrong := make([]error, len(beside))
	for i, settings := range beside {
		if wrong[i] = try(settings, end); wrong[i] == nil {
			return nil
		}
	}
	for i, settings := range beside {
		for _, share := range []float64{0, 0.25, 0.5, 0.75, 1} {
			if try(settings, sampling.Number(c.Study.Factors[factor].Range, share)) == nil {
				return wrong[i]
			}
		}
	}
	return nil
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

// Probe simulates one year of the first case that does not fail, and tells how long
// that took.
func (c *Cases) Probe(ctx context.Context) (store.Run, time.Duration, error) {
	var failure error
	for i := range c.Count {
		began := time.Now()
		h, unfit := c.house(i)
		run, err := c.year(ctx, h, unfit, i, 0)
		switch {
		case err != nil:
			return run, 0, err
		case run.Cause == "":
			return run, time.Since(began), nil
		case run.Fault:
			return run, 0, fmt.Errorf("%w: case %d: %s", fault.Err, i+1, run.Cause)
		case failure == nil:
			failure = errors.New(run.Cause)
		}
	}
	return store.Run{}, 0, fmt.Errorf("no case can be lived in, the first for this: %w", failure)
}
