package main

// #include "plumbing.h"
import "C"

import (
	"math"
	"time"

	"pipelag/schedules"
	"pipelag/sim"
)

// totals are what a week of draws came to.
type totals struct {
	purged  float64       // [m³]
	lost    float64       // from the pipes, until they are cold again [J]
	drained float64       // heat in the water purged and left running [J]
	took    time.Duration // for the week itself
}

// tooCool is how far below the wanted temperature a fill may end before its cold
// water counts as purged [K].
const tooCool = 2

// month is the end of the January in which the week lies; the engine's accounts close
// then [s].
const month = 31 * sim.Day

// integrate lives through a week of wishes several times, of which the quickest is
// timed, and lets the pipes rest until the month ends.
func integrate(h *sim.House, seed uint64, f finesse, tries int) (totals, error) {
	sum := totals{took: math.MaxInt64}
	for range tries {
		again, err := once(h, seed, f)
		if err != nil {
			return sum, err
		}
		again.took = min(again.took, sum.took)
		sum = again
	}
	return sum, nil
}

func once(h *sim.House, seed uint64, f finesse) (totals, error) {
	var sum totals
	p, err := newPlumbing(h, f)
	if err != nil {
		return sum, err
	}
	defer p.free()
	w := &week{plumbing: p, totals: &sum, open: make([]*draw, len(h.Fixtures))}
	year := h.Schedule.Year(seed, 0)
	for d := range days {
		w.wishes = year.Day(d, w.wishes)
	}
	began := time.Now()
	if err := w.live(days * sim.Day); err != nil {
		return sum, err
	}
	sum.took = time.Since(began)
	if err := w.live(month); err != nil {
		return sum, err
	}
	sum.lost = float64(C.plumbing_lost(p.c))
	sum.drained += float64(C.plumbing_drained(p.c))
	return sum, nil
}

// week is a week being lived through.
type week struct {
	*plumbing
	*totals
	wishes []schedules.Wish // to come
	queue  []schedules.Wish // whose fixture is in use
	open   []*draw          // by fixture
}

// instant is a time that is as good as none [s].
const instant = 1e-6

// live goes on until a time [s]: at every event integration stops and begins anew.
func (w *week) live(until float64) error {
	for w.now < until-instant {
		event := min(until, (math.Floor((w.now+instant)/3600)+1)*3600)
		if len(w.wishes) > 0 {
			event = min(event, w.wishes[0].Start)
		}
		for _, d := range w.open {
			if d != nil {
				event = min(event, d.ends)
			}
		}
		if event > w.now {
			before := w.now
			if err := w.advance(event); err != nil {
				return err
			}
			w.flow(w.now - before)
		}
		if changed := w.tend(); changed {
			if err := w.restart(); err != nil {
				return err
			}
		}
		if math.Abs(w.now-math.Round(w.now/3600)*3600) < instant {
			w.strike()
		}
	}
	return nil
}

// flow books the water of a time [s].
func (w *week) flow(dt float64) {
	for _, d := range w.open {
		if d != nil && d.stage == waiting {
			w.purged += d.Flow * dt
		}
	}
}

// tend does what draws want by now, and tells whether a tap was turned.
func (w *week) tend() bool {
	changed := false
	for _, d := range w.open {
		if d != nil && w.see(d) {
			w.set(d)
			changed = true
			if d.stage == done {
				w.shut(d)
			}
		}
	}
	for i := 0; i < len(w.queue); i++ {
		if wish := w.queue[i]; w.open[wish.Fixture] == nil {
			w.queue = append(w.queue[:i], w.queue[i+1:]...)
			i--
			w.begin(wish)
			changed = true
		}
	}
	for len(w.wishes) > 0 && w.wishes[0].Start <= w.now+instant {
		wish := w.wishes[0]
		w.wishes = w.wishes[1:]
		if w.open[wish.Fixture] != nil {
			w.queue = append(w.queue, wish)
			continue
		}
		w.begin(wish)
		changed = true
	}
	return changed
}

// see tells whether a draw wants something else than before.
func (w *week) see(d *draw) bool {
	tap := w.tap(d.Fixture)
	switch {
	case d.stage == waiting && tap >= d.Usable-1e-9:
		d.served(w.now)
		return true
	case d.ends <= w.now+instant:
		d.elapse(w.now)
		return true
	case d.Kind == schedules.Filling:
		before := d.fills
		if d.fills {
			d.fills = C.plumbing_fill(w.c, C.int(d.Fixture)) < 0
		} else {
			d.fills = tap < d.Mixed
		}
		return d.fills != before
	}
	return false
}

func (w *week) begin(wish schedules.Wish) {
	d := newDraw(wish, w.now, w.tap(wish.Fixture))
	w.open[wish.Fixture] = d
	if wish.Kind == schedules.Filling {
		C.plumbing_begin_fill(w.c, C.int(wish.Fixture))
	}
	w.set(d)
}

// shut closes a draw's account.
func (w *week) shut(d *draw) {
	w.open[d.Fixture] = nil
	f := C.int(d.Fixture)
	if d.Kind == schedules.Filling && C.plumbing_fill(w.c, f) < -tooCool {
		w.purged += float64(C.plumbing_cool_water(w.c, f))
		w.drained += float64(C.plumbing_cool_heat(w.c, f))
	}
}
