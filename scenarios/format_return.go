package scenarios

import "pipelag/units"

// returnSaid is the way back of a loop.
type returnSaid struct {
	line, crossover         said[string]
	closes, opens, lukewarm said[float64]
	run                     runSaid
}

// The words for the line that a loop returns through.
const (
	ownLine  = "own"
	coldLine = "cold"
)

// over is the return with what it leaves unsaid taken from another. Of a line of
// its own nothing goes over to a cold line, nor the other way.
func (a returnSaid) over(b returnSaid) returnSaid {
	if a.line.at != nil && (a.line.value == coldLine) != (b.line.value == coldLine) {
		return a
	}
	return returnSaid{
		a.line.or(b.line), a.crossover.or(b.crossover),
		a.closes.or(b.closes), a.opens.or(b.opens), a.lukewarm.or(b.lukewarm),
		a.run.over(b.run),
	}
}

var returnKeys = table[returnSaid]{"a return", func() []row[returnSaid] {
	type r = returnSaid
	rows := []row[r]{
		{"line", "own, or cold for the cold line, through a crossover at a fixture; own if left out", false, choice([]string{ownLine, coldLine}, func(x *r) *said[string] { return &x.line })},
		{"crossover", "cold: the fixture it is at; the one with a cold tap farthest from the heater if left out", false, text("kitchen sink", func(x *r) *said[string] { return &x.crossover })},
		{"closes", "cold, with a pump that does not stop by itself: temperature at which the valve at the crossover shuts; 95 F if left out", false, quantity(units.Temperature, 15, 80, func(x *r) *said[float64] { return &x.closes })},
		{"opens", "and at which it opens again, below closes; 9 F lower if left out", false, quantity(units.Temperature, 0, 80, func(x *r) *said[float64] { return &x.opens })},
		{"lukewarm", "cold: temperature above which water at a cold tap is counted; 77 F if left out", false, quantity(units.Temperature, 10, 60, func(x *r) *said[float64] { return &x.lukewarm })},
	}
	return append(rows, madeOf(func(x *r) *runSaid { return &x.run })...)
}}
