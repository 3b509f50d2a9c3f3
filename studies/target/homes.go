// Package target tells what a limit would do to a stock of homes: at each value,
// how many meet it, what the others could be piped like instead, what that saves
// and costs, and from where on a tighter limit saves little more.
//
// Not modelled: who would change what of their own accord, homes that are piped
// like none of the layouts, what prices will be.
package target

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/store"
	"pipelag/studies/summary"
)

// Measure is what a limit is set on.
type Measure int

// The measures.
const (
	StoredVolume Measure = iota // between heater or loop and the worst fixture [L], at most
	Length                      // of the longest way from heater or loop [m], at most
	Wait                        // at the fixture where the 90th percentile of waits is longest [s], at most
	Insulation                  // least thickness on any pipe that brings hot water [mm], at least
	Control                     // of the pump: 0 any, 1 on demand, 2 no pump, at least
	measures
)

var measureNames = [measures]string{"stored-volume", "length", "wait", "insulation", "control"}

// String is the measure's name on the command line.
func (m Measure) String() string { return measureNames[m] }

// Measures are the names of all measures.
func Measures() []string { return slices.Clone(measureNames[:]) }

// ParseMeasure finds a measure by its name.
func ParseMeasure(text string) (Measure, error) {
	if i := slices.Index(measureNames[:], text); i >= 0 {
		return Measure(i), nil
	}
	return 0, fmt.Errorf("unknown limit %q; limits are set on %s", text, strings.Join(measureNames[:], ", "))
}

// atLeast tells a floor from a ceiling.
func (m Measure) atLeast() bool { return m == Insulation || m == Control }

// Gain is what a home may save in a year.
type Gain int

// The gains.
const (
	Water  Gain = iota // drawn, purged and run [m³]
	Energy             // into heater and pump [J]
	Money              // for both
	Carbon             // [kg CO₂]
	Gains  = int(Carbon) + 1
)

// home is one case: by layout, what it measures and what its year takes.
type home struct {
	measured []float64
	barred   []bool // it is not held against the home's own
	year     [][Gains]float64
	cost     []float64 // of building; nil where none are given
	// The home in each of its years, with what these come to alone; nil for those not made.
	// There are some where intervals are over replicates.
	replicates []*home
}

// What is gathered of a layout beside the gains.
const (
	measured = Gains + iota
	unlike
	gathered
)

// gather makes homes of a study's cases, by number of case; one that failed, or that
// mixes two others, is nil.
func gather(c *studies.Cases, f *store.Folder, m Measure) ([]*home, []studies.LeftOut, error) {
	layouts := len(c.Study.Layouts)
	numbers, err := studies.Gather(f, layouts, gathered, func(l *store.Layout, into []float64) {
		a := &l.Annual
		into[Water] = a[sim.Purged] + a[sim.LeftRunning] + a[sim.Used]
		into[Energy] = a[sim.HeaterInput] + a[sim.PumpInput]
		into[Money], into[Carbon] = a[sim.Cost], a[sim.Carbon]
		into[measured], into[unlike] = m.of(l), float64(l.Unlike)
	})
	if err != nil {
		return nil, nil, err
	}
	homes := make([]*home, numbers.Cases)
	var made []int
	for i := range homes {
		if c.Mixed(i) {
			continue
		}
		if homes[i] = newHome(layouts, c.Study.Costs, func(number, layout int) float64 { return numbers.Mean(number, layout, i) }); homes[i] == nil {
			continue
		}
		made = append(made, i)
		if IntervalsOver(c) == Replicates {
			for r := range numbers.Replicates {
				homes[i].replicates = append(homes[i].replicates, newHome(layouts, c.Study.Costs, func(number, layout int) float64 { return numbers.Run(number, layout, i, r) }))
			}
		}
	}
	return homes, numbers.LeftOut(c.Study.Layouts, unlike, made), nil
}

// newHome makes a home of what is gathered of its layouts; nil if that was not made.
func newHome(layouts int, cost []float64, of func(number, layout int) float64) *home {
	h := &home{measured: make([]float64, layouts), barred: make([]bool, layouts), year: make([][Gains]float64, layouts), cost: cost}
	alike := func(layout int) bool { return of(unlike, layout) == float64(sim.Alike) }
	for k := range layouts {
		h.measured[k] = of(measured, k)
		h.barred[k] = k > 0 && !(alike(0) && alike(k))
		for g := range Gains {
			h.year[k][g] = of(g, k)
		}
		if math.IsNaN(h.measured[k]) {
			return nil
		}
	}
	return h
}

// of measures a layout.
func (m Measure) of(l *store.Layout) float64 {
	switch m {
	case Insulation:
		return l.Insulation
	case Control:
		switch l.Control {
		case "none":
			return 2
		case "button", "motion", "button and motion":
			return 1
		}
		return 0
	}
	worst := 0.0
	for _, f := range l.Fixtures {
		switch {
		case m == StoredVolume:
			worst = max(worst, f.Stored)
		case m == Length:
			worst = max(worst, f.Length)
		case f.WaitingPerDay > 0:
			worst = max(worst, f.WaitP90)
		}
	}
	return worst
}

// rounding is the relative difference up to which two numbers are taken for one.
const rounding = 1e-9

// meets tells whether a measured value meets a limit.
func (m Measure) meets(measured, limit float64) bool {
	if m.atLeast() {
		return measured >= limit*(1-rounding)
	}
	return measured <= limit*(1+rounding)
}

// remedy is the layout that a home has under a limit: its own, the first, if that
// meets it; else of those that do and are not barred the cheapest, or the first
// where no costs are given; −1 if there is none.
func (h *home) remedy(m Measure, limit float64) int {
	best := -1
	for k, x := range h.measured {
		switch {
		case h.barred[k] || !m.meets(x, limit):
		case k == 0:
			return 0
		case best < 0 || h.cost != nil && h.cost[k] < h.cost[best]:
			best = k
		}
	}
	return best
}

// sound are the homes of some cases that did not fail.
func sound(homes []*home, g summary.CasesAt) []*home {
	var all []*home
	for _, i := range g.Cases {
		if homes[i] != nil {
			all = append(all, homes[i])
		}
	}
	return all
}
