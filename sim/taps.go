package sim

import "pipelag/schedules"

// open begins a wish, or puts it off while its fixture is in use.
func (y *year) open(w schedules.Wish) {
	if y.inUse(w.Fixture) {
		y.queue = append(y.queue, w)
		return
	}
	tap := y.layout.Network.Taps[w.Fixture]
	tip, mean := y.standing(tap)
	d := newDraw(w, tap, tip, mean, y.coldSide(w.Fixture), y.now)
	d.mix()
	y.draws = append(y.draws, d)
	y.plumb()
	if y.pump.control != nil && d.hot > 0 {
		y.pump.control.Saw(y.now)
	}
	if y.of[tap] >= 0 {
		y.draws[len(y.draws)-1].soon(tip, y.streams[y.of[tap]].duration)
	}
}

// standing is the temperature of the water at the end of pipe i, which may have
// cooled since anyone looked: right at the end, and of the next cell to leave [°C].
func (y *year) standing(i int) (tip, mean float64) {
	if y.pipes[i].flows {
		return y.outlet(i), y.outlet(i)
	}
	y.relax(i, y.now)
	p := &y.pipes[i]
	return p.tip(y.ambientAt(p.zone, y.now)), p.standing()
}

// look takes note of the water at the open taps where it has changed but not
// moved: a pipe that begins or ceases to flow, or settles, may hold other water
// at its end than it did.
func (y *year) look() {
	for i := range y.draws {
		d := &y.draws[i]
		if now := y.outlet(d.pipe); now != d.seen {
			d.seen, d.was = now, now // no front has passed
		}
		d.cold = y.coldSide(d.Fixture)
	}
	if y.cross != nil {
		y.approach(0)
	}
}

// sees tells whether the water of stream k comes to a draw.
func (y *year) sees(d *draw, k int) bool { return y.of[d.pipe] == k }

// tend does what draws want by now.
func (y *year) tend() {
	changed := false
	for i := 0; i < len(y.draws); i++ {
		d := &y.draws[i]
		if d.due() > y.now+instant {
			continue
		}
		y.bookDraw(i)
		if d.left <= instant && d.elapse() {
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
	d.book(y.now, y.cold, y.volume, y.account(d))
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
