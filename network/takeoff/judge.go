package takeoff

import (
	"fmt"
	"math"
	"slices"

	"pipelag/network/limits"
)

// judge holds fixtures and tubes against the limits.
func (t *taking) judge() {
	for f := range t.Takeoff.Fixtures {
		t.judgeFixture(f)
	}
	for i := range t.Tubes {
		t.judgeTube(i)
	}
}

func (t *taking) judgeFixture(f int) {
	fixture := &t.Takeoff.Fixtures[f]
	add := func(v limits.Verdict) { fixture.Verdicts = append(fixture.Verdicts, v) }
	way := fixture.FromLoop
	for _, l := range t.Limits.Of(limits.Length, fixture.Use) {
		add(l.Judge(way.Length, l.Value))
	}
	t.judgeLengthBySize(fixture, add)
	for _, l := range t.Limits.Of(limits.StoredVolume, fixture.Use) {
		add(l.Judge(way.Volume, l.Value))
	}
	if len(t.network.Return) > 0 {
		for _, l := range t.Limits.Of(limits.LoopVolume, fixture.Use) {
			add(l.Judge(way.Volume, l.Value))
		}
	}
	for _, l := range t.Limits.Of(limits.DrawnVolume, fixture.Use) {
		if t.Drawn == nil {
			add(l.Unjudged("it takes a simulated cold start"))
			continue
		}
		add(judgeDrawn(l, t.Drawn[f]))
	}
	for _, l := range t.Limits.Of(limits.SmallestSize, fixture.Use) {
		if least, size := t.narrowest(fixture); size == "" {
			add(l.Judge(least, l.Value))
		} else {
			add(l.Unjudged(fmt.Sprintf("the table lists no size %s", size)))
		}
	}
	for _, l := range t.Limits.Of(limits.Pressure, fixture.Use) {
		if t.circuit == nil || !t.loaded {
			add(l.Unjudged("no pressure at the code's demand is known"))
			continue
		}
		load := t.Load.Along(fixture.Path, l.Flow)
		add(l.Judge(t.circuit.Pressures(load.Hot, load.Cold(), load.Pipes)[f], l.Value))
	}
	for _, l := range t.Limits.Of(limits.InsulatedStart, fixture.Use) {
		asked := min(l.Value, fixture.Length)
		add(l.Judge(min(t.insulatedStart(fixture.Path), l.Value), asked))
	}
	excuse(fixture.Verdicts)
	if t.Uncalled {
		for i := range fixture.Verdicts {
			fixture.Verdicts[i].Beside = fixture.Verdicts[i].Limit.OfPump()
		}
	}
}

// excuse leaves unjudged what is broken where the limits that may take its place are met.
func excuse(verdicts []limits.Verdict) {
	for i := range verdicts {
		v := &verdicts[i]
		instead, holds := "", true
		for _, other := range verdicts {
			if other.Limit.Replaces(v.Limit) {
				instead, holds = other.Limit.Quantity.String(), holds && other.Holds()
			}
		}
		if v.Outcome == limits.Broken && instead != "" && holds {
			v.Outcome, v.Why = limits.Unjudged, fmt.Sprintf("the code asks for this or for the %s, as recalled, not read, and that is met", instead)
		}
	}
}

// judgeDrawn holds what is drawn until hot water comes against a limit. Where what the clause
// calls hot is recalled, it is judged only if it is met or broken by usable water as well.
func judgeDrawn(l limits.Limit, drawn Drawn) limits.Verdict {
	usable := l.Judge(drawn.Usable, l.Value)
	if !l.HotByRise() {
		return usable
	}
	risen := l.Judge(drawn.Risen, l.Value)
	if risen.Outcome == usable.Outcome {
		return risen
	}
	within := "water 5.6 K (10 F) warmer than at first, which the section calls hot as recalled, not read, comes within it, and usable water does not"
	if usable.Outcome == limits.Met {
		within = "usable water comes within it, and water 5.6 K (10 F) warmer than at first, which the section calls hot as recalled, not read, does not"
	}
	risen.Outcome, risen.Why = limits.Unjudged, within
	return risen
}

// judgeLengthBySize takes from each code the row of the largest size on the way.
func (t *taking) judgeLengthBySize(fixture *Fixture, add func(limits.Verdict)) {
	rows := t.Limits.Of(limits.LengthBySize, fixture.Use)
	for _, code := range rows.Sources() {
		table, _ := rows.Codes(code)
		largest, size := 0.0, ""
		for _, i := range fixture.FromLoop.Pipes {
			tube := t.network.Pipes[i].Tube
			nominal, known := limits.Nominal(tube.Size)
			if !known {
				largest, size = 0, tube.Size
				break
			}
			if nominal > largest {
				largest, size = nominal, tube.Size
			}
		}
		if size == "" {
			continue // the tap is on the loop
		}
		found := false
		for _, l := range table {
			if row, known := limits.Nominal(l.Size); known && largest > 0 && math.Abs(row-largest) < 1e-6 {
				add(l.Judge(fixture.FromLoop.Length, l.Value))
				found = true
			}
		}
		if !found {
			v := table[0].Unjudged(fmt.Sprintf("the table lists no size %s", size))
			v.Asked = 0
			add(v)
		}
	}
}

// narrowest is the smallest nominal size on the way to a fixture [m], or else
// the name of a size that is not nominal.
func (t *taking) narrowest(fixture *Fixture) (least float64, unknown string) {
	least = math.Inf(1)
	for _, i := range fixture.Path {
		tube := t.network.Pipes[i].Tube
		nominal, known := limits.Nominal(tube.Size)
		if !known {
			return 0, tube.Size
		}
		least = min(least, nominal)
	}
	return least, ""
}

func (t *taking) judgeTube(i int) {
	tube := &t.Tubes[i]
	if tube.Return && t.network.Crossover {
		return // what is asked of hot pipe is not asked of the cold line
	}
	add := func(v limits.Verdict) { tube.Verdicts = append(tube.Verdicts, v) }
	if !tube.Return || tube.Pumped > 0 {
		for _, l := range t.Limits.Velocities(tube.Pipe.Tube, t.Hot) {
			if !tube.Return && !t.loaded {
				add(l.Unjudged("no demand by code is known"))
				continue
			}
			add(l.Judge(tube.Velocity, l.Value))
		}
	}
	t.judgeInsulation(i, add)
}

// caution says what a practitioner would say beside the figures.
func (t *taking) caution() {
	var said []string
	for i := range t.Tubes {
		tube := t.Tubes[i].Pipe.Tube
		name := tube.Kind + " " + tube.Size
		if limits.Undersized(tube) && !t.Tubes[i].Return && !slices.Contains(said, name) {
			said = append(said, name)
			t.Cautions = append(t.Cautions, name+" is below 3/8 in, the usual prescriptive minimum: it needs an engineer and the approval of the local authority")
		}
	}
	t.Cautions = append(t.Cautions, limits.Advice)
}
