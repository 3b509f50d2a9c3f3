package household

import (
	"math"

	"pipelag/schedules"
	"pipelag/schedules/published"
)

// tap is how people use a fixture.
type tap struct {
	flow logNormal // wanted; the fixture's rated flow caps it [m³/s]
	mean float64   // of the capped flow, over all households [m³/s]
}

// newTap has the published flow of the fixture's use. Machines have no
// preference: their valves pass the published flow, or what is rated.
//
// The published spread is that of many households. A typical household keeps the part
// that lies within one.
func newTap(f schedules.Fixture, population bool) tap {
	e := published.Events(f.Use)
	all := newLogNormal(e.Flow, e.FlowSD/e.Flow)
	t := tap{flow: within(all)}
	if population {
		t.mean = all.cappedMean(f.Flow)
	} else {
		t.mean = t.flow.cappedMean(f.Flow)
	}
	return t
}

// within is the spread inside one household: l with the part that lies between
// households taken out, mean unchanged.
func within(l logNormal) logNormal {
	s2 := l.sigma * l.sigma
	return logNormal{l.mu + s2*betweenHouseholds/2, math.Sqrt(s2 * (1 - betweenHouseholds))}
}

// between is the persistent factor, of mean one, that with within makes up l.
func between(l logNormal) logNormal {
	s2 := l.sigma * l.sigma * betweenHouseholds
	return logNormal{-s2 / 2, math.Sqrt(s2)}
}

// manner is how people treat the water at a use, beyond its published
// statistics. Temperatures and patience are a person's, not a pipe's.
type manner struct {
	volume   logNormal // used in a draw that is no brief opening, within a household [m³]
	brief    logNormal // used in a brief opening, within a household [m³]
	length   logNormal // factor on both between households [-]
	flow     logNormal // factor on flow between households [-]
	patience logNormal // [s]
	stepIn   logNormal // [s]
	washing  float64   // chance that a draw is a washing and not a brief opening
}

const (
	// mixedMean is the rating's use temperature of 105 °F (ANSI/RESNET/ICC 301, read);
	// its spread has no source.
	mixedMean   = 40.6 // [°C]
	mixedSpread = 1.0  // [K]

	// The hot share of a brief opening is even from 0.45 to 1: faucets run 72.7 %
	// hot (DeOreo & Mayer 2000, memory).
	leastHotShare = 0.45

	// Some 30 % of a shower's 7.8 min is gone before use (Lutz 2011, LBNL-5115E,
	// read) and 70 s of that is waiting (Home Energy 2015, read): about a minute
	// from hot to stepping in. Its spread has no source.
	stepInMean      = 60.0 // [s]
	stepInVariation = 0.8
)

// Patience has no source beyond the guidance that a wait over 30 s is a bad one (read);
// people in a shower have little choice.
var patienceMedian = [schedules.Uses]float64{
	schedules.Shower: 240, schedules.Kitchen: 60, schedules.Lavatory: 45, // [s]
}

var washingChance = [schedules.Uses]float64{schedules.Kitchen: kitchenWashing, schedules.Lavatory: lavatoryWashing}

const patienceSigma = 0.5

func newManners(t Total) (m [schedules.Uses]manner) {
	brief, washing := sinkVolumes(t)
	for u := range m {
		use := schedules.Use(u)
		e := published.Events(use)
		volume := newLogNormal(drawVolume(use, t), e.DurationSD/e.Duration)
		m[u].washing = 1
		if chance := washingChance[u]; chance > 0 {
			volume = newLogNormal(washing, washingVariation)
			m[u].washing, m[u].brief = chance, within(newLogNormal(brief, briefVariation))
		}
		m[u].volume, m[u].length = within(volume), between(volume)
		m[u].flow = between(newLogNormal(e.Flow, e.FlowSD/e.Flow))
		if median := patienceMedian[u]; median > 0 {
			m[u].patience = logNormal{math.Log(median), patienceSigma}
		}
	}
	m[schedules.Shower].stepIn = newLogNormal(stepInMean, stepInVariation)
	return m
}
