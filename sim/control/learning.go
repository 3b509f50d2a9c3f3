package control

import (
	"errors"
	"math"
)

// Learning runs in the hours of the day in which hot water has been drawn of
// late, and some time before each; with an aquastat, then only when the return
// is too cool.
//
// For each hour of the day it keeps an exponentially weighted mean of its
// draws. At midnight, n draws having been seen in that hour of the day past,
//
//	s ← s + (n − s)/N,    mean = s / (1 − (1 − 1/N)^d)
//
// after d days, s beginning at 0. The divisor gives the days seen their full
// weight, so that it runs from the second day on. An hour counts when its mean
// is Least or more. Weekdays are not told apart.
//
// Source: the rule is this program's own; Brown's exponential smoothing (1956),
// from memory.
type Learning struct {
	Days     float64 // N, over about which it remembers, 1 to 60
	Least    float64 // draws a day in an hour, above 0 to 100
	Lead     float64 // 0 to 3600 [s]
	Aquastat *Aquastat
}

func (l Learning) check() error {
	var aquastat error
	if l.Aquastat != nil {
		aquastat = l.Aquastat.check()
	}
	return errors.Join(
		within("learning, memory", l.Days, 1, 60, " days"),
		unless(l.Least > 0 && l.Least <= 100, "learning, least draws: %g a day; must be above 0, up to 100", l.Least),
		within("learning, lead", l.Lead, 0, hour, " s"),
		aquastat)
}

func (l Learning) begin(c *Control) {
	c.aquastat = l.Aquastat
	c.learning = &habits{rule: l}
	c.gate = c.learning
}

// habits is what a learning control has seen.
type habits struct {
	rule  Learning
	day   int // today
	seen  [24]float64
	score [24]float64 // s
}

// Saw takes note of a draw of hot water that begins. Only Learning heeds it.
func (c *Control) Saw(now float64) {
	if c.learning == nil {
		return
	}
	c.learning.turn(now)
	c.learning.seen[hours(now)%24]++
}

func hours(now float64) int { return int((now + instant) / hour) }

// turn closes the days that have passed.
func (h *habits) turn(now float64) {
	for ; h.day < hours(now)/24; h.day++ {
		for i := range h.score {
			h.score[i] += (h.seen[i] - h.score[i]) / h.rule.Days
			h.seen[i] = 0
		}
	}
}

// wanted tells whether an hour of the day counts.
func (h *habits) wanted(i int) bool {
	known := 1 - math.Pow(1-1/h.rule.Days, float64(h.day))
	return h.day > 0 && h.score[i%24] >= h.rule.Least*known
}

func (h *habits) at(now float64) (open bool, until float64) {
	i := hours(now)
	next := float64(i+1) * hour
	early := next - h.rule.Lead
	if now+instant < early {
		return h.wanted(i), early
	}
	return h.wanted(i) || h.wanted(i+1), next
}
