package sim

import (
	"fmt"
	"math"

	"pipelag/sim/heater"

	"gonum.org/v1/gonum/floats"
)

// ledger is where every litre and every joule of one layout-year ends, in
// exactly one account each, by month.
//
// Litres are as they leave the spout, hot and cold together. Heat is counted
// above the mains water of the moment, which is what the heater had to add.
type ledger struct {
	months [12]monthly
	opened float64 // heat stored in pipes when the year began [J]
	closed float64 // and when it ended
	heater float64 // share of its own heat that the heater's account misses, with its sign

	lukewarm int // hours at which some water in the loop was as warm as Legionella likes
	// How warm water came back while a pump that keeps its loop hot moved it, times the
	// time [°C s], and that time [s].
	returned, returning float64
	hottest             float64 // water sent into the cold line; 0 if none was [°C]
	coolest             float64 // water that the store would give at any hour [°C]
	rests               []rest  // by fixture
}

// rest is what a tap's own pipes hold and how long that has stood at most.
type rest struct {
	volume  float64 // [m³]
	longest float64 // [s]
}

// monthly is the accounts of one month.
type monthly struct {
	taps     []tapAccount             // by fixture
	pipeLoss []float64                // heat lost from pipes, by zone [J]
	loopLoss float64                  // of that, from the pipes of a loop that is pumped [J]
	tankLoss float64                  // heat lost from the heater, through jacket and flue [J]
	supplied float64                  // heat the heater gave to water for the pipes [J]
	stirred  float64                  // heat the pump gave to the water [J]
	energy   [heater.Carriers]float64 // into the heater, by carrier [J]
	pump     float64                  // electricity into the pump [J]
	pumped   float64                  // water moved round the loop [m³]
	running  float64                  // time the pump ran [s]
	starts   int                      // times the pump started
	coldLoss float64                  // of pipeLoss, from the cold line that the pump sends water through [J]
	coldHeat float64                  // what its water brought to cold taps [J]
	coldWarm float64                  // of that water, what was lukewarm [m³]
	coldOver float64                  // water sent into it hotter than the energy code lets it be [m³]
}

// flowAccount is water and the heat in it.
type flowAccount struct {
	water float64 // [m³]
	heat  float64 // [J]
}

func (a *flowAccount) add(water, heat float64) {
	a.water += water
	a.heat += heat
}

// tapAccount is one fixture's month.
type tapAccount struct {
	used   flowAccount
	purged flowAccount // ran out before it was usable
	left   flowAccount // usable, and nobody there
	cooled float64     // of what was used, after usable water had come and gone again [m³]
	hot    float64     // water that came through the hot pipes [m³]
	wait   float64     // [s]
	draws  int
	never  int // draws that ended before usable water came
}

func newLedger(fixtures, zones int) *ledger {
	l := &ledger{coolest: never, rests: make([]rest, fixtures)}
	for m := range l.months {
		l.months[m].taps = make([]tapAccount, fixtures)
		l.months[m].pipeLoss = make([]float64, zones)
	}
	return l
}

// balanceWithin is how much of the heat that went in may be missing.
const balanceWithin = 1e-9

// imbalance is heat in less heat out less the growth of what is stored, as a
// share of heat in:
//
//	(supplied + stirred − used − purged − left − lost − Δstored) / (supplied + stirred)
//
// or what the heater's own account misses, whichever is more.
func (l *ledger) imbalance() float64 {
	in, out := 0.0, 0.0
	for i := range l.months {
		m := &l.months[i]
		in += m.supplied + m.stirred
		out += floats.Sum(m.pipeLoss)
		for k := range m.taps {
			t := &m.taps[k]
			out += t.used.heat + t.purged.heat + t.left.heat
		}
	}
	missing := in - out - (l.closed - l.opened)
	if missing != 0 {
		missing /= max(math.Abs(in), math.Abs(l.opened), 1)
	}
	if math.Abs(l.heater) > math.Abs(missing) {
		return l.heater
	}
	return missing
}

// close checks that the accounts balance.
func (l *ledger) close() error {
	if e := l.imbalance(); !(math.Abs(e) <= balanceWithin) {
		return fmt.Errorf("the heat accounts do not close: %.3g of the heat that went in is unaccounted for, more than %g", e, balanceWithin)
	}
	return nil
}
