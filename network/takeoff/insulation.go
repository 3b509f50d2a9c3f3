package takeoff

import (
	"fmt"
	"math"
	"slices"

	"pipelag/network"
	"pipelag/network/limits"
)

// judgeInsulation holds a tube's insulation against the limits.
func (t *taking) judgeInsulation(i int, add func(limits.Verdict)) {
	pipe := t.Tubes[i].Pipe
	nominal, known := limits.Nominal(pipe.Tube.Size)
	var verdicts []limits.Verdict
	for _, is := range append([]string{""}, t.is(i)...) {
		for _, l := range t.Limits {
			if l.Quantity != limits.Resistance || l.Use != is {
				continue
			}
			from, _ := limits.Nominal(l.Size)
			switch {
			case l.Size != "" && !known:
				verdicts = append(verdicts, l.Unjudged(fmt.Sprintf("the clause lists no size %s", pipe.Tube.Size)))
			case is == limits.Unconditioned && len(t.Conditioned) == 0:
				verdicts = append(verdicts, l.Unjudged("the scenario calls no zone conditioned"))
			case l.Size == "" || nominal >= from*(1-1e-9):
				verdicts = append(verdicts, l.Judge(resistance(pipe), l.Value))
			}
		}
	}
	for k, v := range verdicts {
		if v.Outcome != limits.Unjudged && !judged(verdicts[:k], v) || v.Outcome == limits.Unjudged && !judged(verdicts, v) {
			add(v)
		}
	}
	for _, l := range t.Limits.Of(limits.Thickness, "") {
		if !known {
			nominal = pipe.Tube.Outside
		}
		add(l.Judge(pipe.Sleeve.Thickness, min(nominal, l.Value)))
	}
}

// judged tells whether what a verdict is on has been judged: a clause may ask the same of
// a tube for several reasons, of which one is enough.
func judged(verdicts []limits.Verdict, v limits.Verdict) bool {
	return slices.ContainsFunc(verdicts, func(other limits.Verdict) bool {
		return other.Outcome != limits.Unjudged && other.Limit.Code == v.Limit.Code && other.Limit.Clause == v.Limit.Clause && other.Asked == v.Asked
	})
}

// is tells what a tube is that a clause may ask insulation of.
func (t *taking) is(i int) []string {
	var is []string
	tube := &t.Tubes[i]
	if tube.Pipe.Burial.Depth > 0 { // its zone is the ground's
		is = append(is, limits.Buried)
	} else if !slices.Contains(t.Conditioned, tube.Pipe.Zone) {
		is = append(is, limits.Unconditioned)
	}
	if t.Arrangement == "home-run" && tube.Serves > 1 {
		is = append(is, limits.ToManifold)
	}
	if t.Uncalled && (t.loop[i] || tube.Return) {
		is = append(is, limits.InLoop)
	}
	return is
}

// insulatedStart is how far from the heater a way is insulated without a break [m].
func (t *taking) insulatedStart(path []int) float64 {
	covered := 0.0
	for _, i := range path {
		p := t.network.Pipes[i]
		if p.Sleeve.Thickness <= 0 {
			break
		}
		covered += p.Length
	}
	return covered
}

// resistance is a sleeve's, by its outside area.
//
//	R = r₂ ln(r₂/r₁)/k  [m² K/W]
//
// Source: ASTM C335 and the R-values printed on pipe insulation go by the
// outside area; from memory. 13 mm of foam, k 0.036, on 22 mm: 0.52 m² K/W.
func resistance(p network.Pipe) float64 {
	if p.Sleeve.Thickness <= 0 {
		return 0
	}
	inner := p.Tube.Outside / 2
	outer := inner + p.Sleeve.Thickness
	return outer * math.Log(outer/inner) / p.Sleeve.Material.Conductivity
}
