package scenarios

import (
	"fmt"
	"strconv"
	"strings"

	"pipelag/sim"
	"pipelag/units"
)

// studySaid is what a study's file says, before anything is made of it.
type studySaid struct {
	name, scenario      said[string]
	layouts, questions  said[[]said[string]]
	sampling, seeds     said[string]
	samples, replicates said[int]
	seed                said[int]
	factors             []named[factorSaid]
	costs               said[[]named[money]]
}

// MostReplicates is how many years of each case a study may ask for.
const MostReplicates = 10_000

const (
	mostFactors = 30
	mostLevels  = 1000
	mostSamples = 10_000_000
)

var studyKeys = table[studySaid]{"a study", func() []row[studySaid] {
	type s = studySaid
	return []row[s]{
		{"name", "what results call the study", true, text("Tube size and material", func(x *s) *said[string] { return &x.name })},
		{"scenario", "the house to vary: a file beside the study's, or the name of one that comes with the program", true, text("courtyard", func(x *s) *said[string] { return &x.scenario })},
		{"layouts", "names of the layouts to run, the one the others are held against first; all if left out", false, oneOrMore("trunk and branch", mostLayouts, func(x *s) *said[[]said[string]] { return &x.layouts })},
		{"sampling", "grid, latin-hypercube, halton or sensitivity", true, choice(samplings, func(x *s) *said[string] { return &x.sampling })},
		{"samples", "how many, where the sampling is no grid", false, count(1, mostSamples, func(x *s) *said[int] { return &x.samples })},
		{"replicates", "years of each case; 1 if left out", false, count(1, MostReplicates, func(x *s) *said[int] { return &x.replicates })},
		{"seed", "a whole number from 0; 1 if left out", false, count(0, 1<<53-1, func(x *s) *said[int] { return &x.seed })},
		{"seeds", "common: all cases meet the same random numbers, to be told apart the better; own: each case its own, as different homes do; common if left out", false, choice([]string{commonSeeds, ownSeeds}, func(x *s) *said[string] { return &x.seeds })},
		{"factors", "what varies, by name", true, each(factorKeys, mostFactors, func(x *s) *[]named[factorSaid] { return &x.factors })},
		{"questions", "keys of the annual numbers that summaries show; purged_L, wait_h, heater_kWh and cost if left out", false, oneOrMore("purged_L", sim.Quantities, func(x *s) *said[[]said[string]] { return &x.questions })},
		{"costs", "what building each layout costs, by its name", false, costs(func(x *s) *said[[]named[money]] { return &x.costs })},
	}
}}

// The samplings and the ways to seed cases.
var samplings = []string{"grid", "latin-hypercube", "halton", "sensitivity"}

const (
	commonSeeds = "common"
	ownSeeds    = "own"
)

// factorSaid is one thing that varies: over listed values or between two.
type factorSaid struct {
	path         said[[]said[string]]
	values       said[[]named[*node]]
	shares       said[[]float64]
	from, to     said[amount]
	steps        said[int]
	distribution said[string]
	mean         said[amount]
	deviation    said[amount]
	peak         said[amount]
}

var distributions = []string{"uniform", "log-uniform", "normal", "triangular"}

var factorKeys = table[factorSaid]{"a factor", func() []row[factorSaid] {
	type f = factorSaid
	return []row[f]{
		{"path", "where in the scenario its values go, or a list of places", true, oneOrMore("heater.setpoint", 100, func(x *f) *said[[]said[string]] { return &x.path })},
		{"values", "a list of values, or a mapping from a label to what takes the place", false, levels(func(x *f) *said[[]named[*node]] { return &x.values })},
		{"shares", "how common each of the values is; alike if left out", false, shares(func(x *f) *said[[]float64] { return &x.shares })},
		{"from", "the least value", false, amountOf(func(x *f) *said[amount] { return &x.from })},
		{"to", "the greatest value", false, amountOf(func(x *f) *said[amount] { return &x.to })},
		{"steps", "in a grid: how many values from least to greatest", false, count(2, mostLevels, func(x *f) *said[int] { return &x.steps })},
		{"distribution", "uniform, log-uniform, normal or triangular, cut off at from and to; uniform if left out", false, choice(distributions, func(x *f) *said[string] { return &x.distribution })},
		{"mean", "normal: its mean", false, amountOf(func(x *f) *said[amount] { return &x.mean })},
		{"deviation", "normal: its standard deviation", false, amountOf(func(x *f) *said[amount] { return &x.deviation })},
		{"peak", "triangular: the likeliest value", false, amountOf(func(x *f) *said[amount] { return &x.peak })},
	}
}}

// oneOrMore is a text or a list of them.
func oneOrMore[T any](example string, most int, to func(*T) *said[[]said[string]]) value[T] {
	one := text(example, func(s *said[string]) *said[string] { return s })
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			items := []*node{n}
			if n.shape == list {
				items = n.items
			}
			if len(items) == 0 || len(items) > most {
				r.fault(n, fmt.Sprintf("%d entries", len(items)), fmt.Sprintf("write 1 to %d", most))
				return
			}
			var all []said[string]
			for _, item := range items {
				var s said[string]
				if one.read(r, item, &s); s.at != nil {
					all = append(all, s)
				}
			}
			*to(into) = said[[]said[string]]{all, n}
		},
		schema: func() schema {
			return schema{"anyOf": []schema{one.schema(), {"type": "array", "minItems": 1, "maxItems": most, "items": one.schema()}}}
		},
	}
}

// levels are values to take turns: a list of texts, each its own label, or a
// mapping from labels to whatever may stand in the place.
func levels[T any](to func(*T) *said[[]named[*node]]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			var all []named[*node]
			if n.shape != list && n.shape != mapping {
				r.fault(n, n.shape.String()+" where values are expected", "write a list, such as [3/8, 1/2], or a mapping from labels to values")
				return
			}
			if len(n.items) == 0 || len(n.items) > mostLevels {
				r.fault(n, fmt.Sprintf("%d values", len(n.items)), fmt.Sprintf("write 1 to %d", mostLevels))
				return
			}
			seen := make(map[string]bool) // looked up only
			for i, item := range n.items {
				at, label := item, item.text
				switch {
				case n.shape == mapping && !r.key(n, i):
					continue
				case n.shape == mapping:
					at, label = n.keys[i], n.keys[i].text
				case item.shape != scalar:
					r.fault(item, item.shape.String()+" in a list of values", "give it a label: a mapping from labels to values")
					continue
				case seen[label]:
					r.fault(item, fmt.Sprintf("%q stands here twice", label), "keep one")
					continue
				}
				seen[label] = true
				all = append(all, named[*node]{label, at, item})
			}
			*to(into) = said[[]named[*node]]{all, n}
		},
		schema: func() schema {
			return schema{"anyOf": []schema{
				{"type": "array", "minItems": 1, "maxItems": mostLevels, "items": schema{"type": []string{"string", "number", "boolean"}}},
				{"type": "object", "minProperties": 1, "maxProperties": mostLevels},
			}}
		},
	}
}

// shares are percentages that make a whole.
func shares[T any](to func(*T) *said[[]float64]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.is(n, list, "a list of shares") {
				return
			}
			var all []float64
			sum := 0.0
			for _, item := range n.items {
				x, ok := r.quantity(item, units.Share, 0, 1)
				if !ok {
					return
				}
				all, sum = append(all, x), sum+x
			}
			const rounding = 0.005
			if !(sum > 1-rounding && sum < 1+rounding) {
				r.fault(n, fmt.Sprintf("shares that make %.4g %%", 100*sum), "let them make 100 %")
				return
			}
			for i := range all {
				all[i] /= sum
			}
			*to(into) = said[[]float64]{all, n}
		},
		schema: func() schema {
			return schema{"type": "array", "minItems": 1, "maxItems": mostLevels, "items": quantitySchema(units.Share)}
		},
	}
}

// amount is a number and what follows it: a unit, which the place it is put in
// judges, or nothing.
type amount struct {
	number float64
	unit   string
}

func amountOf[T any](to func(*T) *said[amount]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.scalar(n, "120 F") {
				return
			}
			text := strings.TrimSpace(n.text)
			end := strings.LastIndexAny(text[:len(text)-len(strings.TrimLeft(text, "+-−.0123456789eE"))], "0123456789.") + 1
			x, err := strconv.ParseFloat(strings.Replace(text[:end], "−", "-", 1), 64)
			if err != nil || x-x != 0 {
				r.fault(n, fmt.Sprintf("%q does not begin with a number", n.text), "write a number with its unit, such as 120 F")
				return
			}
			*to(into) = said[amount]{amount{x, strings.TrimSpace(text[end:])}, n}
		},
		schema: func() schema { return schema{"type": []string{"string", "number"}, "examples": []string{"120 F"}} },
	}
}

// costs are sums of money by name.
func costs[T any](to func(*T) *said[[]named[money]]) value[T] {
	return value[T]{
		read: func(r *reader, n *node, into *T) {
			if !r.is(n, mapping, "a mapping from layouts to costs") {
				return
			}
			var all []named[money]
			for i, key := range n.keys {
				if !r.key(n, i) || !r.scalar(n.items[i], "900 USD") {
					continue
				}
				number, currency, _ := strings.Cut(n.items[i].text, " ")
				x, err := strconv.ParseFloat(number, 64)
				if err != nil || !(x >= 0 && x <= 1e9) || len(currency) != 3 || strings.ToUpper(currency) != currency {
					r.fault(n.items[i], fmt.Sprintf("%q is no sum of money", n.items[i].text), "write an amount and its currency, such as 900 USD")
					continue
				}
				all = append(all, named[money]{key.text, key, money{x, currency}})
			}
			*to(into) = said[[]named[money]]{all, n}
		},
		schema: func() schema {
			return schema{"type": "object", "additionalProperties": schema{"type": "string", "pattern": "^[0-9.]+ [A-Z]{3}$"}}
		},
	}
}
