package sim

import (
	"fmt"
	"math"
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
}

// monthly is the accounts of one month.
type monthly struct {
	taps     []tapAccount // by fixture
	pipeLoss []float64    // heat lost from pipes, by zone [J]
	tankLoss float64      // heat lost through the tank's jacket [J]
	supplied float64      // heat the heater gave to water for the pipes [J]
	stirred  float64      // heat the pump gave to the water [J]
	heater   float64      // energy into the heater, of its carrier [J]
	pump     float64      // electricity into the pump [J]
	pumped   float64      // water moved round the loop [m³]
	running  float64      // time the pump ran [s]
	starts   int          // times the pump started
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
	hot    float64     // water that came through the hot pipes [m³]
	wait   float64     // [s]
	draws  int
	never  int // draws that ended before usable water came
}

func newLedger(fixtures, zones int) *ledger {
	l := new(ledger)
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
func (l *ledger) imbalance() float64 {
	in, out := 0.0, 0.0
	for i := range l.months {
		m := &l.months[i]
		in += m.supplied + m.stirred
		out += sum(m.pipeLoss)
		for k := range m.taps {
			t := &m.taps[k]
			out += t.used.heat + t.purged.heat + t.left.heat
		}
	}
	missing := in - out - (l.closed - l.opened)
	if missing == 0 {
		return 0
	}
	return missing / max(math.Abs(in), math.Abs(l.opened), 1)
}

// close checks that the accounts balance.
func (l *ledger) close() error {
	if e := l.imbalance(); !(math.Abs(e) <= balanceWithin) {
		return fmt.Errorf("the heat accounts do not close: %.3g of the heat that went in is unaccounted for, more than %g", e, balanceWithin)
	}
	return nil
}
