package household

import (
	"math"
	"slices"

	"pipelag/schedules"
)

// How long a tap is kept beyond its own use. The wait itself depends on the
// plumbing, which a schedule does not know: no source.
const (
	showerWait = 90.0  // allowed for waiting [s]
	sinkWait   = 30.0  // [s]
	showerTurn = 120.0 // between one person's shower and the next's [s]
	sinkTurn   = 2.0   // between two draws at any other fixture [s]
)

// When somebody getting ready is at the lavatory, and when dishes are rinsed: even
// between these, no source.
const (
	earliestBefore, latestBefore = 8 * 60.0, 2 * 60.0 // a shower's start [s]
	soonestAfter, latestAfter    = 60.0, 6 * 60.0     // a shower's usual end [s]
	earliestRinse, latestRinse   = 15 * 60.0, 60.0    // before a dishwasher's start [s]
)

// companions adds the lavatory draws before and after each shower and the
// kitchen draws of washing up before each dishwasher.
func (y *year) companions(d int) {
	h := y.household
	y.begin(ready, d)
	r := y.random
	for _, shower := range y.showers {
		if r.Float64() < h.habits.ready/2 {
			y.draw(schedules.Lavatory, shower-latestBefore-(earliestBefore-latestBefore)*r.Float64())
		}
		if r.Float64() < h.habits.ready/2 {
			y.draw(schedules.Lavatory, shower+showerWait+events[schedules.Shower].Duration+soonestAfter+(latestAfter-soonestAfter)*r.Float64())
		}
	}
	y.begin(washingUp, d)
	for _, cycle := range y.cycles {
		draws := int(h.habits.washingUp + r.Float64())
		for range draws {
			y.draw(schedules.Kitchen, cycle-latestRinse-(earliestRinse-latestRinse)*r.Float64())
		}
	}
}

// settle orders the day's wishes and lets nobody use a fixture that is in use:
// whoever comes later waits a turn. What would still run at midnight is moved
// earlier, and the turns before it, so that days do not overlap. A wish for
// which the day has no room is dropped.
func (y *year) settle(d, begun int, wishes []schedules.Wish) []schedules.Wish {
	today := wishes[begun:]
	y.order(today)
	for i := range y.free {
		y.free[i] = 0
	}
	moved, late := false, false
	for i := range today {
		w := &today[i]
		if free := y.free[w.Fixture]; w.Start < free {
			w.Start, moved = free, true
		}
		end := w.Start + hold(w)
		y.free[w.Fixture] = end + turn(w)
		late = late || end > dayLength
	}
	if late {
		today = y.beforeMidnight(today)
		moved = true
	}
	if moved {
		y.order(today)
	}
	for i := range today {
		today[i].Start = milliseconds(today[i].Start + float64(d)*dayLength)
	}
	return wishes[:begun+len(today)]
}

func (y *year) beforeMidnight(today []schedules.Wish) []schedules.Wish {
	y.order(today)
	for i := range y.free {
		y.free[i] = dayLength
	}
	for i := len(today) - 1; i >= 0; i-- {
		w := &today[i]
		if end := w.Start + hold(w); end > y.free[w.Fixture] {
			w.Start = math.Floor((y.free[w.Fixture]-hold(w))*1000) / 1000
		}
		y.free[w.Fixture] = w.Start - turn(w)
	}
	return slices.DeleteFunc(today, func(w schedules.Wish) bool { return w.Start < 0 })
}

// hold is how long a wish is taken to keep its fixture [s].
func hold(w *schedules.Wish) float64 {
	switch w.Kind {
	case schedules.Washing:
		if w.Use == schedules.Shower {
			return showerWait + w.StepIn + w.Duration
		}
		return sinkWait + w.Duration
	case schedules.Brief:
		return w.Duration
	default:
		return milliseconds(w.Volume / w.Flow)
	}
}

func turn(w *schedules.Wish) float64 {
	if w.Use == schedules.Shower {
		return showerTurn
	}
	return sinkTurn
}

// place is a wish's start and where in the day's list it stands.
type place struct {
	start float64
	index int
}

// order sorts wishes by start, those made first first. They are made in a few
// runs that are nearly in order, which insertion suits; a wish is large, so small things
// are sorted and each wish moved once.
func (y *year) order(wishes []schedules.Wish) {
	y.places = y.places[:0]
	ordered := true
	for i := range wishes {
		p := place{wishes[i].Start, i}
		y.places = append(y.places, p)
		j := i
		for ; j > 0 && y.places[j-1].start > p.start; j-- {
			y.places[j] = y.places[j-1]
		}
		y.places[j] = p
		ordered = ordered && j == i
	}
	if ordered {
		return
	}
	y.unordered = append(y.unordered[:0], wishes...)
	for i, p := range y.places {
		wishes[i] = y.unordered[p.index]
	}
}

// milliseconds rounds a time [s].
func milliseconds(t float64) float64 { return rounded(t, 1000) }

// rounded keeps a value to 1/parts. Besides being as fine as anyone turns a tap,
// it hides the last bit of exponentials, in which processors differ.
func rounded(v, parts float64) float64 { return math.Round(v*parts) / parts }
