package main

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pipelag/network/limits"
	"pipelag/units"
)

// clause is one limit with what was held against it.
type clause struct {
	limits.Verdict          // the first of them
	broken         []string // who breaks it
	found          []string // by what value
	decimals       int      // of what is asked, where fewer do not tell it from what is found; else 0
	met            int
	unjudged       []string // who is not judged
	partly         bool     // others are judged by it, or not for another reason
}

// breakers are those who break it with the value found, which all may share.
func (c *clause) breakers() string {
	all := named(c.broken)
	if len(all) > 1 && len(slices.Compact(slices.Clone(c.found))) == 1 {
		text := strings.Join(all, ", ") + " all "
		if len(all) == 2 {
			text = all[0] + " and " + all[1] + ", both "
		}
		if c.found[0] != neverHot {
			text += "with "
		}
		return text + c.found[0]
	}
	for i := range all {
		all[i] += " " + c.found[i]
	}
	return strings.Join(all, ", ")
}

// tubeTo begins what a tube is called, as fixtures are by their names.
const tubeTo = "tube to "

// named are several names to be told in a row: a limit is on tubes or on fixtures.
func named(names []string) []string {
	all := slices.Clone(names)
	if len(all) > 1 && strings.HasPrefix(all[0], tubeTo) {
		for i := range all {
			all[i] = strings.TrimPrefix(all[i], tubeTo)
		}
		all[0] = "tubes to " + all[0]
	}
	return all
}

// clauses gathers the verdicts on fixtures and tubes by limit: broken ones first,
// then those not judged.
func (l *layoutOff) clauses(system units.System) []*clause {
	var all []*clause
	add := func(name string, verdicts []limits.Verdict) {
		for _, v := range verdicts {
			i := slices.IndexFunc(all, func(c *clause) bool { return c.Limit == v.Limit && c.Asked == v.Asked && c.Why == v.Why })
			if i < 0 {
				i = len(all)
				all = append(all, &clause{Verdict: v})
			}
			switch c := all[i]; v.Outcome {
			case limits.Broken:
				text, decimals := foundText(system, v)
				c.broken, c.found = append(c.broken, name), append(c.found, text)
				c.decimals = max(c.decimals, decimals)
			case limits.Met:
				c.met++
			default:
				c.unjudged = append(c.unjudged, name)
			}
		}
	}
	for _, f := range l.Fixtures {
		add(f.Name, f.Verdicts)
	}
	for _, t := range l.Tubes {
		add(tubeTo+t.Pipe.To, t.Verdicts)
	}
	for _, c := range all {
		c.partly = slices.ContainsFunc(all, func(other *clause) bool { return other != c && other.Limit == c.Limit && other.Asked == c.Asked })
	}
	slices.SortStableFunc(all, func(a, b *clause) int { return cmp.Compare(a.rank(), b.rank()) })
	return all
}

func (c *clause) rank() int {
	switch {
	case c.broken != nil:
		return 0
	case c.unjudged != nil:
		return 1
	}
	return 2
}

// verdicts lists the limits broken, not judged and met.
func (l *layoutOff) verdicts(b *bytes.Buffer, system units.System) {
	for i, c := range l.clauses(system) {
		if i == 0 {
			b.WriteString("\nLimits\n")
		}
		writeNote(b, left("  "+outcomes[c.rank()], 14), c.text(system)+": "+c.on())
	}
}

// outcomes are the words for the ranks of clauses.
var outcomes = [...]string{"broken", "not judged", "met"}

// on says who breaks a limit, why it is not judged, or by how many it is met; and what its
// clause asks besides.
func (c *clause) on() string {
	if c.Beside != "" {
		return c.judged() + "; " + c.Beside
	}
	return c.judged()
}

func (c *clause) judged() string {
	switch c.rank() {
	case 0:
		text := c.breakers()
		if c.met > 0 {
			text += fmt.Sprintf("; met by %d more", c.met)
		}
		return text
	case 1:
		if c.partly {
			return c.Why + " (" + strings.Join(named(c.unjudged), ", ") + ")"
		}
		return c.Why
	}
	return fmt.Sprintf("by %d", c.met)
}

// name is a limit's code and clause.
func (c *clause) name() string {
	if says(c.Limit.Clause, c.Limit.Code) {
		return c.Limit.Clause
	}
	return c.Limit.Code + " " + c.Limit.Clause
}

// text names a limit with its edition and clause.
func (c *clause) text(system units.System) string {
	limit := c.Limit
	text := c.name()
	if !says(text, limit.Source) {
		text += " (" + limit.Source + ")"
	}
	for _, of := range []string{limit.Use, limit.Material} {
		if of != "" {
			text += ", " + of
		}
	}
	switch {
	case limit.Size == "":
	case limit.Quantity == limits.Resistance:
		text += ", " + limit.Size + " in and larger"
	default:
		text += ", " + limit.Size + " in"
	}
	how := " at most "
	if limit.Quantity.AtLeast() {
		how = " at least "
	}
	if c.Asked == 0 { // the table has no such row
		return text + ", " + limit.Quantity.String()
	}
	asked := limitText(system, limit.Quantity, c.Asked)
	if c.decimals > 0 {
		asked = decimalText(system, limit.Quantity, c.Asked, c.decimals)
	}
	if limit.Flow > 0 {
		asked += " at " + system.Format(limit.Flow, units.Flow)
	}
	return text + ", " + limit.Quantity.String() + how + asked
}

// says tells whether a text holds every word of another.
func says(text, other string) bool {
	words := func(text string) []string {
		return strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" /,;()", r) })
	}
	here := words(text)
	return !slices.ContainsFunc(words(other), func(word string) bool { return !slices.Contains(here, word) })
}

// neverHot stands for the volume drawn until hot water comes where none does.
const neverHot = "never hot"

// limitText is a limited quantity with its unit.
func limitText(system units.System, q limits.Quantity, si float64) string {
	if math.IsInf(si, 0) {
		return neverHot
	}
	return system.Format(si, q.Dimension())
}

// foundText is a value that breaks a limit. Where it would read like what is asked it is
// written with as many decimals as tell the two apart; their number is 0 where it is not.
func foundText(system units.System, v limits.Verdict) (text string, decimals int) {
	q := v.Limit.Quantity
	text = limitText(system, q, v.Found)
	if text != limitText(system, q, v.Asked) {
		return text, 0
	}
	for decimals = 1; decimals < mostDecimals; decimals++ {
		if text = decimalText(system, q, v.Found, decimals); text != decimalText(system, q, v.Asked, decimals) {
			break
		}
	}
	return text, decimals
}

// mostDecimals are more than any verdict hangs on.
const mostDecimals = 12

// decimalText is a limited quantity with its unit, to a number of decimals.
func decimalText(system units.System, q limits.Quantity, si float64, decimals int) string {
	d := q.Dimension()
	return fmt.Sprintf("%.*f %s", decimals, system.Convert(si, d), system.Unit(d))
}
