package main

// #include "plumbing.h"
import "C"

import "pipelag/schedules"

// stage is what an open tap is doing.
type stage int

const (
	waiting  stage = iota // running until usable
	stepping              // usable, and nobody there yet
	using
	done
)

// draw is a wish being met, by the engine's rules.
type draw struct {
	schedules.Wish
	stage stage
	ends  float64 // when the stage does at the latest [s]
	fills bool    // with hot water alone, as the fill lags
}

func newDraw(w schedules.Wish, now, tap float64) *draw {
	d := &draw{Wish: w, stage: using}
	switch w.Kind {
	case schedules.Washing:
		d.stage, d.ends = waiting, now+w.Patience
		if tap >= w.Usable {
			d.served(now)
		}
	case schedules.Brief:
		d.ends = now + w.Duration
	default:
		d.ends = now + w.Volume/w.Flow
		d.fills = tap < w.Mixed
	}
	return d
}

// served ends the wait: usable water is here.
func (d *draw) served(now float64) {
	d.stage, d.ends = stepping, now+d.StepIn
	if d.StepIn == 0 {
		d.elapse(now)
	}
}

// elapse moves on to the next stage.
func (d *draw) elapse(now float64) {
	if d.stage == using {
		d.stage = done
		return
	}
	d.stage, d.ends = using, now+d.Duration
}

// turned is how the hot side of its tap stands, what share of a brief draw is hot,
// at what temperature something happens, the volume of a fill, and whether the heat
// drawn goes to the drain.
func (d *draw) turned() (way C.int, share, usable, volume float64, drains int) {
	if d.stage < using {
		drains = 1
	}
	switch {
	case d.stage == done:
		return C.SHUT, 0, 0, 0, 0
	case d.Kind == schedules.Brief:
		return C.SHARE, d.HotShare, 0, 0, 0
	case d.Kind == schedules.Appliance:
		return C.FULL, 1, 0, 0, 0
	case d.Kind == schedules.Filling && d.fills:
		return C.FULL, 1, d.Usable, d.Volume, 0
	case d.Kind == schedules.Filling:
		return C.MIXED, 1, d.Usable, d.Volume, 0
	case d.stage == waiting:
		return C.FULL, 1, d.Usable, 0, drains
	default:
		return C.MIXED, 1, 0, 0, drains
	}
}
