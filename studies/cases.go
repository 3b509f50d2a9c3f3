// Package studies runs many variations of a scenario: it makes the cases of a
// study, simulates them on all cores, and keeps what they give.
//
// Not modelled: cases that depend on the results of others.
package studies

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math/big"

	"gonum.org/v1/gonum/mat"

	"pipelag/scenarios"
	"pipelag/studies/sampling"
	"pipelag/studies/store"
)

// Cases are the variations that a study comes to, in an order that stays when
// more samples are asked for; but a latin hypercube's are others then.
type Cases struct {
	Study  *scenarios.Study
	Count  int
	Whole  *big.Int   // how many the study has, of which Count were asked for
	points *mat.Dense // nil in a grid
	levels []int      // in a grid
}

// mostPoints is how many numbers a sampling may hold [-]: 128 MB of them.
const mostPoints = 16 << 20

// NewCases lays out the cases of a study; limit keeps the first of them, if it is
// not 0. A study of too many is refused with their number, and so is a limit.
func NewCases(s *scenarios.Study, limit int) (*Cases, error) {
	if limit > store.MostCases {
		return nil, fmt.Errorf("the first %d cases: more than a folder of results is planned for; ask for %d at most", limit, store.MostCases)
	}
	c := &Cases{Study: s}
	var size *big.Int
	factors := len(s.Factors)
	samples := s.Samples
	switch s.Sampling {
	case scenarios.Grid:
		for _, f := range s.Factors {
			n := len(f.Levels)
			if f.Range != nil {
				n = f.Range.Steps
			}
			c.levels = append(c.levels, n)
		}
		size = sampling.GridSize(c.levels)
	case scenarios.Sensitivity:
		size = big.NewInt(int64(samples) * int64(sampling.Mixtures(factors)))
	default:
		size = big.NewInt(int64(samples))
	}
	c.Whole = new(big.Int).Set(size)
	if limit > 0 && size.Cmp(big.NewInt(int64(limit))) > 0 {
		size.SetInt64(int64(limit))
		if s.Sampling == scenarios.Sensitivity {
			samples = (limit + sampling.Mixtures(factors) - 1) / sampling.Mixtures(factors)
		}
		if s.Sampling == scenarios.Halton {
			samples = limit
		}
	}
	if limit == 0 && size.Cmp(big.NewInt(store.MostCases)) > 0 {
		return nil, fmt.Errorf("study %q has %s cases; vary less, or run the first of them alone: pipelag study --limit", s.Name, size)
	}
	c.Count = int(size.Int64())
	sides := factors
	if s.Sampling == scenarios.Sensitivity {
		sides = 2 * factors
	}
	if s.Sampling != scenarios.Grid {
		if samples > mostPoints/sides {
			return nil, fmt.Errorf("study %q has %d samples of %d factors, more than memory is planned for; give %d samples at most", s.Name, samples, factors, mostPoints/sides)
		}
		if s.Sampling == scenarios.LatinHypercube {
			c.points = sampling.LatinHypercube(samples, sides, s.Seed)
		} else {
			c.points = sampling.Halton(samples, sides, s.Seed)
		}
	}
	return c, nil
}

// Limited tells whether the study has more cases than were asked for.
func (c *Cases) Limited() bool { return c.Whole.Cmp(big.NewInt(int64(c.Count))) > 0 }

// Levels is how many values each factor has in a grid; nil elsewhere.
func (c *Cases) Levels() []int { return c.levels }

// Settings are the values of the factors in a case.
func (c *Cases) Settings(i int) []scenarios.Setting {
	settings := make([]scenarios.Setting, len(c.Study.Factors))
	if c.points == nil {
		for k, level := range sampling.GridPoint(c.levels, i) {
			if r := c.Study.Factors[k].Range; r != nil {
				settings[k].Number = sampling.Step(r, level)
			} else {
				settings[k].Level = level
			}
		}
		return settings
	}
	var point []float64
	if c.Study.Sampling == scenarios.Sensitivity {
		point = sampling.Mixture(c.points, i)
	} else {
		point = c.points.RawRowView(i)
	}
	for k := range settings {
		f := &c.Study.Factors[k]
		if f.Range != nil {
			settings[k].Number = sampling.Number(f.Range, point[k])
		} else {
			settings[k].Level = sampling.Level(len(f.Levels), f.Shares, point[k])
		}
	}
	return settings
}

// Mixed tells whether a case is a mixture of a sensitivity design, which repeats all
// but one value of another case and so is none of a sample's own.
func (c *Cases) Mixed(i int) bool {
	return c.Study.Sampling == scenarios.Sensitivity && i%sampling.Mixtures(len(c.Study.Factors)) > 1
}

// Seed is that of a replicate of a case: pipelag run with it and one year
// simulates the same year. A mixture meets the years of the case that it repeats
// but for one factor, or chance would count as an effect of that.
func (c *Cases) Seed(i, replicate int) uint64 {
	if !c.Study.OwnSeeds {
		return c.Study.Seed + uint64(replicate)
	}
	if c.Mixed(i) {
		i -= i % sampling.Mixtures(len(c.Study.Factors))
	}
	sum := sha256.Sum256(fmt.Appendf(nil, "seed %d, case %d", c.Study.Seed, i))
	var seed uint64
	for _, b := range sum[:6] { // 48 bits, so that every program that reads tables holds it
		seed = seed<<8 | uint64(b)
	}
	return seed + uint64(replicate)
}

// Hash is that of all that determines a case's runs.
func (c *Cases) Hash() (string, error) {
	text, err := c.Study.Identity()
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), nil
}
