package sim

import (
	"pipelag/schedules"

	"pipelag/sim/pipework"
)

// open begins a wish, or puts it off while its fixture is in use.
func (y *year) open(w schedules.Wish) {
	if y.inUse(w.Fixture) {
		y.queue = append(y.queue, w)
		return
	}
	tap := y.layout.Network.Taps[w.Fixture]
	tip, mean := y.Standing(tap)
	d := newDraw(w, tap, tip, mean, y.coldSide(w.Fixture), y.Now)
	d.mix()
	y.draws = append(y.draws, d)
	y.plumb()
	if y.pump.control != nil && d.hot > 0 {
		y.pump.control.Saw(y.Now)
	}
	if k := y.Stream(tap); k >= 0 {
		y.draws[len(y.draws)-1].soon(tip, y.Passing(k))
	}
}

// look takes note of the water at the open taps where it has changed but not
// moved: a pipe that begins or ceases to flow, or settles, may hold other water
// at its end than it did.
func (y *year) look() {
	for i := range y.draws {
		d := &y.draws[i]
		if now := y.Outlet(d.pipe); now != d.seen {
			d.seen, d.was = now, now // no front has passed
		}
		d.cold = y.coldSide(d.Fixture)
	}
	if y.cross != nil {
		y.approach(0)
	}
}

// sees tells whether the water of stream k comes to a draw.
func (y *year) sees(d *draw, k int) bool { return y.Stream(d.pipe) == k }

// tend does what draws want by now.
func (y *year) tend() {
	changed := false
	for i := 0; i < len(y.draws); i++ {
		d := &y.draws[i]
		if d.due() > y.Now+pipework.Instant {
			continue
		}
		y.bookDraw(i)
		if d.left <= pipework.Instant && d.elapse() {
			y.shut(i)
			y.draws = append(y.draws[:i], y.draws[i+1:]...)
			i--
			changed = true
			continue
		}
		changed = d.mix() || changed
	}
	if changed {
		y.plumb()
		y.release()
	}
}

func (y *year) account(d *draw) *tapAccount { return &y.ledger.months[y.month].taps[d.Fixture] }

func (y *year) bookDraw(i int) {
	d := &y.draws[i]
	if y.cross != nil {
		y.bookCold(d)
	}
	d.book(y.Now, y.cold, y.volume, y.account(d))
}

// shut closes draw i's account.
func (y *year) shut(i int) {
	d := &y.draws[i]
	d.shut(y.account(d))
	if d.Kind == schedules.Washing {
		y.waits[d.Fixture].add(d.waited)
	}
}

// release begins put-off wishes whose fixtures have come free, in their order.
func (y *year) release() {
	for i := 0; i < len(y.queue); i++ {
		if w := y.queue[i]; !y.inUse(w.Fixture) {
			y.queue = append(y.queue[:i], y.queue[i+1:]...)
			i--
			y.open(w)
		}
	}
}

func (y *year) inUse(fixture int) bool {
	for i := range y.draws {
		if y.draws[i].Fixture == fixture {
			return true
		}
	}
	return false
}
