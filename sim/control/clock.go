package control

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"
)

const (
	hour = 3600.0
	day  = 24 * hour
	week = 7 * day

	// instant is a time that is as good as none [s]: the resolution of the clock.
	instant = 1e-6
)

// firstDay is the weekday of day 0.
const firstDay = time.Thursday

// Days is a set of weekdays.
type Days uint8

// Everyday is all seven.
const Everyday Days = 1<<7 - 1

// On is the set of some weekdays.
func On(days ...time.Weekday) Days {
	var set Days
	for _, d := range days {
		set |= 1 << d
	}
	return set
}

// Window is a time of day on some weekdays.
type Window struct {
	From float64 // of the day, 0 to less than 86 400 [s]
	To   float64 // above 0 to 86 400; if it is not after From, of the next day [s]
	Days Days    // on which it begins
}

// Clock runs in windows; with an aquastat, in these when the return is too cool.
// Windows may touch but not overlap.
type Clock struct {
	Windows  []Window
	Aquastat *Aquastat // nil without
}

// span is one window of one week, which begins on day 0; it may end after it.
type span struct{ from, to float64 }

func (k Clock) check() error {
	var wrong []error
	if len(k.Windows) == 0 {
		wrong = append(wrong, errors.New("clock: has no window; the pump would never run"))
	}
	for i, w := range k.Windows {
		wrong = append(wrong,
			unless(w.From >= 0 && w.From < day, "clock, window %d: from %g s; must be from 0 to less than 86400 s", i+1, w.From),
			unless(w.To > 0 && w.To <= day, "clock, window %d: to %g s; must be above 0, up to 86400 s", i+1, w.To),
			unless(w.From != w.To, "clock, window %d: from and to are both %s; a whole day is 00:00 to 24:00", i+1, clock(w.From)),
			unless(w.Days != 0 && w.Days <= Everyday, "clock, window %d: on no weekday", i+1))
	}
	if k.Aquastat != nil {
		wrong = append(wrong, k.Aquastat.check())
	}
	if err := errors.Join(wrong...); err != nil {
		return err
	}
	spans := k.spans()
	for i, s := range spans {
		next := spans[(i+1)%len(spans)].from
		if i == len(spans)-1 {
			next += week
		}
		if s.to > next {
			wrong = append(wrong, fmt.Errorf("clock: the window from %s is still open when that from %s begins", weekClock(s.from), weekClock(next)))
		}
	}
	return errors.Join(wrong...)
}

func (k Clock) begin(c *Control) {
	c.aquastat = k.Aquastat
	c.gate = windows(k.spans())
}

// spans lists the windows of a week in order.
func (k Clock) spans() []span {
	var spans []span
	for _, w := range k.Windows {
		length := w.To - w.From
		if length <= 0 {
			length += day
		}
		for d := range 7 {
			if w.Days&On((firstDay+time.Weekday(d))%7) != 0 {
				from := float64(d)*day + w.From
				spans = append(spans, span{from, from + length})
			}
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	return spans
}

// windows are the spans of every week, in order.
type windows []span

func (w windows) at(now float64) (open bool, until float64) {
	begun := math.Floor((now+instant)/week) * week
	t := now - begun + instant
	until = w[0].from + week
	for _, s := range w {
		switch {
		case t >= s.from && t < s.to:
			return true, begun + s.to
		case t+week < s.to: // begun last week
			return true, begun + s.to - week
		case t < s.from:
			until = min(until, s.from)
		}
	}
	return false, begun + until
}

// clock is a time of day as text.
func clock(t float64) string {
	s := int(math.Round(t))
	return fmt.Sprintf("%02d:%02d:%02d", s/3600, s/60%60, s%60)
}

// weekClock is a time of the week with its weekday.
func weekClock(t float64) string {
	d := int(t / day)
	return fmt.Sprintf("%s %s", (firstDay+time.Weekday(d%7))%7, clock(t - float64(d)*day)[:5])
}
