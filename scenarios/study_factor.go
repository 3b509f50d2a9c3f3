package scenarios

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
)

// factor makes a factor of what the file says.
func (r *reader) factor(s named[factorSaid], made *Study) Factor {
	f := Factor{Name: s.name, at: s.at}
	for _, text := range s.value.path.value {
		p, err := parsePath(text.value)
		var places []path
		if err == nil && made.base != nil {
			places, err = made.base.root.clone().set(p, &node{shape: scalar, text: "0"})
		}
		if err != nil {
			r.advise(text.at, err, pathRight)
			continue
		}
		r.apart(text.at, places, made.Factors)
		f.paths, f.places = append(f.paths, p), append(f.places, places...)
	}
	v := s.value
	ranged := v.from.at != nil || v.to.at != nil
	switch {
	case v.values.at != nil && ranged:
		r.fault(v.values.at, "values beside a range", "keep one of values and from, to")
	case v.values.at != nil:
		for _, l := range v.values.value {
			value := l.value.clone()
			value.stand(filepath.Base(r.file), s.name)
			f.Levels = append(f.Levels, Level{l.name, value})
		}
		f.Shares = r.sharesOf(v, len(f.Levels), made)
	case v.from.at == nil || v.to.at == nil:
		if said := made.factors.below(s.name); said.below("values") == nil && (said.below("from") == nil || said.below("to") == nil) {
			r.fault(s.at, fmt.Sprintf("factor %q has no values", s.name), "add values: [...], or from: and to:")
		}
	default:
		f.Range = r.rangeOf(s, made)
	}
	return f
}

// apart notes a factor's place that an earlier factor varies too, or that holds one that
// an earlier factor varies: what the earlier one puts there would be lost.
func (r *reader) apart(at *node, places []path, earlier []Factor) {
	for _, other := range earlier {
		for _, o := range other.places {
			for _, p := range places {
				switch {
				case slices.Equal(o, p):
					r.fault(at, fmt.Sprintf("factor %q varies %s too", other.Name, p), "let one of the two vary it")
				case len(o) > len(p) && slices.Equal(o[:len(p)], p):
					r.fault(at, fmt.Sprintf("factor %q varies %s, which a value of %s takes the place of", other.Name, o, p), "give this factor before that one, or let one of the two vary it")
				default:
					continue
				}
				return
			}
		}
	}
}

func (r *reader) sharesOf(v factorSaid, levels int, made *Study) []float64 {
	switch {
	case v.shares.at == nil:
		return nil
	case made.Sampling == Grid:
		r.fault(v.shares.at, "shares in a grid", "remove them, for a grid takes every value once; or choose another sampling")
	case len(v.shares.value) != levels:
		r.fault(v.shares.at, fmt.Sprintf("%d shares of %d values", len(v.shares.value), levels), "give each value its share")
	}
	return v.shares.value
}

func (r *reader) rangeOf(s named[factorSaid], made *Study) *Range {
	v, written := s.value, made.factors.below(s.name)
	g := &Range{
		Unit: v.from.value.unit, From: v.from.value.number, To: v.to.value.number, Steps: v.steps.value,
		Distribution: Distribution(cmp.Or(v.distribution.value, string(Uniform))),
		Mean:         v.mean.value.number, Deviation: v.deviation.value.number, Peak: v.peak.value.number,
		fromAt: v.from.at, toAt: v.to.at,
	}
	for _, a := range []said[amount]{v.to, v.mean, v.deviation, v.peak} {
		if a.at != nil && a.value.unit != g.Unit {
			r.fault(a.at, fmt.Sprintf("%q beside %q", a.at.text, v.from.at.text), "give all numbers of a factor in one unit")
		}
	}
	needs := func(has bool, at *node, what, right string) {
		if !has {
			r.fault(at, what, right)
		}
	}
	needs(g.From < g.To, v.to.at, "a range that ends where it begins, or before", "let to: be greater than from:")
	needs(made.Sampling != Grid || written.below("steps") != nil, v.from.at, "a range in a grid without steps", "add steps: 5, or list values:")
	needs(made.Sampling == Grid || v.steps.at == nil, cmp.Or(v.steps.at, v.from.at), "steps outside a grid", "remove steps: or choose sampling: grid")
	needs(made.Sampling != Grid || v.distribution.at == nil, cmp.Or(v.distribution.at, v.from.at), "a distribution in a grid", "remove it, for a grid takes equal steps; or choose another sampling")
	normal, triangular := g.Distribution == Normal, g.Distribution == Triangular
	needs(g.Distribution != LogUniform || g.From > 0, v.from.at, "a log-uniform range that reaches 0", "let from: be above 0")
	needs(normal == (v.mean.at != nil && v.deviation.at != nil), v.from.at, "mean and deviation go with distribution: normal, and it with them", "give all three or none")
	needs(!normal || g.Deviation > 0, cmp.Or(v.deviation.at, v.from.at), "a deviation that is not above 0", "give how far values are usually from the mean")
	needs(!normal || g.Mean > g.From-3*g.Deviation && g.Mean < g.To+3*g.Deviation, cmp.Or(v.mean.at, v.from.at), "a mean far outside the range", "let from: and to: enclose the mean")
	needs(triangular == (v.peak.at != nil), v.from.at, "a peak goes with distribution: triangular, and it with a peak", "give both or none")
	needs(!triangular || g.Peak >= g.From && g.Peak <= g.To, cmp.Or(v.peak.at, v.from.at), "a peak outside the range", "let from: and to: enclose it")
	return g
}
