package summary

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pipelag/scenarios"
	"pipelag/studies"
)

// stretches is how many parts of like number a range's cases are shown in.
const stretches = 5

// group shows the cases that did not fail by each factor's values.
func (s *summing) group() {
	first := s.Groups == nil
	n := 0
	for k := range s.cases.Study.Factors {
		for _, g := range Groups(s.cases, k) {
			made := s.made(g.Cases)
			if first {
				s.Groups = append(s.Groups, Group{Factor: s.cases.Study.Factors[k].Name, Level: g.Level, Cases: len(made)})
			}
			s.Groups[n].Answers = append(s.Groups[n].Answers, s.answers(made)...)
			n++
		}
	}
}

// made are those of some cases that gave numbers.
func (s *summing) made(cases []int) []int {
	return slices.DeleteFunc(slices.Clone(cases), func(i int) bool { return math.IsNaN(s.mean(s.responses[0], i)) })
}

// CasesAt are the cases in which a factor has one value, or one of a stretch of
// its range.
type CasesAt struct {
	Level string
	Cases []int
}

// Groups splits the cases that are no mixtures by a factor's levels, or by as many
// stretches of its range, with as many cases in each. Levels that no case has are left
// out.
func Groups(c *studies.Cases, factor int) []CasesAt {
	f := &c.Study.Factors[factor]
	var cases []int
	var settings []scenarios.Setting
	for i := range c.Count {
		if !c.Mixed(i) {
			cases, settings = append(cases, i), append(settings, c.Settings(i)[factor])
		}
	}
	var groups []CasesAt
	if f.Range == nil {
		for level := range f.Levels {
			groups = append(groups, CasesAt{Level: f.Levels[level].Label})
		}
		for n, s := range settings {
			groups[s.Level].Cases = append(groups[s.Level].Cases, cases[n])
		}
	} else {
		groups = stretched(f, cases, settings)
	}
	return slices.DeleteFunc(groups, func(g CasesAt) bool { return len(g.Cases) == 0 })
}

// stretched splits the cases by a range's numbers: one group for each number
// where these are few, as in a grid.
func stretched(f *scenarios.Factor, cases []int, settings []scenarios.Setting) []CasesAt {
	var numbers []float64
	for _, s := range settings {
		numbers = append(numbers, s.Number)
	}
	slices.Sort(numbers)
	different := slices.Compact(slices.Clone(numbers))
	var groups []CasesAt
	var ends []float64 // the greatest number of each group
	if f.Range.Steps > 0 || len(different) <= stretches {
		for _, x := range different {
			groups, ends = append(groups, CasesAt{Level: f.Text(scenarios.Setting{Number: x})}), append(ends, x)
		}
	} else {
		for k := range stretches {
			first, last := numbers[k*len(numbers)/stretches], numbers[(k+1)*len(numbers)/stretches-1]
			label := strings.TrimSpace(fmt.Sprintf("%.4g to %.4g %s", first, last, f.Range.Unit))
			groups, ends = append(groups, CasesAt{Level: label}), append(ends, last)
		}
	}
	for n, s := range settings {
		k, _ := slices.BinarySearch(ends, s.Number)
		groups[k].Cases = append(groups[k].Cases, cases[n])
	}
	return groups
}
