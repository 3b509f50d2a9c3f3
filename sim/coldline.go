package sim

import "math"

// sendBack shares what the pump sends between the cold line's pipes and the cold
// sides of the taps on it, and leaves the heater the rest.
func (y *year) sendBack() {
	flow := y.looped
	left := flow
	for k, i := range y.coldLine {
		for j := range y.draws {
			if d := &y.draws[j]; y.coldTaps[d.Fixture] == k {
				left -= d.coldFlow()
			}
		}
		if math.Abs(left) < rounding*flow {
			left = 0
		}
		y.Wanted[i] = left
	}
	y.looped = max(0, left)
	y.drawn[0] += flow - y.looped // what taps took of it, the heater takes from the mains
}

// coldSide is the temperature on the cold side of a fixture's tap [°C].
func (y *year) coldSide(fixture int) float64 {
	if y.cross == nil || y.coldTaps[fixture] == len(y.coldLine) {
		return y.cold
	}
	k := y.coldTaps[fixture]
	near := y.coldLine[k]
	in, from, out := 0.0, y.layout.Network.LoopEnd, max(0, -y.Wanted[near])
	if k > 0 {
		from = y.coldLine[k-1]
		in = max(0, y.Wanted[from])
	} else if y.pump.on {
		in = y.layout.Pump.Flow
	}
	switch {
	case in == 0 && out == 0:
		return y.ColdEnd(near)
	case out == 0:
		return y.Outlet(from)
	case in == 0:
		return y.Outlet(near)
	}
	return (in*y.Outlet(from) + out*y.Outlet(near)) / (in + out)
}

// bookCold accounts for what a draw had from the cold line until now, which is to
// be booked as a draw afterwards.
func (y *year) bookCold(d *draw) {
	if y.coldTaps[d.Fixture] == len(y.coldLine) {
		return
	}
	m := &y.ledger.months[y.month]
	water := d.coldFlow() * (y.Now - d.since)
	m.coldHeat += y.volume * water * (d.cold - y.cold)
	if d.cold > y.layout.Pump.Crossover.Lukewarm {
		m.coldWarm += water
	}
}
