// Package store keeps the results of a study in a folder: in pieces, each
// written whole or not at all and with a checksum, so that a study that was
// killed goes on where it was, and parts made on different machines merge.
//
// A run is known by its case and its replicate: with the same study they
// determine it to the last bit, so it does not matter who made it, or twice.
package store

import "pipelag/sim"

// Run is one simulated year of every layout of one case.
type Run struct {
	Case      int      `json:"case"`      // from 0
	Replicate int      `json:"replicate"` // from 0
	Seed      uint64   `json:"seed"`
	Cause     string   `json:"cause,omitempty"` // why it failed; empty if it did not
	Fault     bool     `json:"fault,omitempty"` // it failed by a fault of the program, and not for its house
	Layouts   []Layout `json:"layouts,omitempty"`
}

// Layout is a layout's year, and what is built.
type Layout struct {
	Name        string     `json:"name"`
	Arrangement string     `json:"arrangement"`
	Control     string     `json:"control"`          // of the pump, as results call it; none without one
	Insulation  float64    `json:"insulation_mm"`    // least thickness on any pipe that brings hot water
	Unlike      sim.Unlike `json:"unlike,omitempty"` // why it is not held against the first
	Annual      sim.Values `json:"annual"`
	Fixtures    []Fixture  `json:"fixtures"`
}

// Fixture is a fixture's year, and the way to it.
type Fixture struct {
	Name           string  `json:"name"`
	Stored         float64 `json:"stored_L"` // on the way from the heater; where there is a loop, beyond it
	Length         float64 `json:"length_m"` // likewise
	DrawsPerDay    float64 `json:"draws_per_day"`
	WaitingPerDay  float64 `json:"waiting_per_day"`
	WaitP50        float64 `json:"wait_p50_s"`
	WaitP90        float64 `json:"wait_p90_s"`
	PurgedPerDraw  float64 `json:"purged_L_per_draw"`
	NeverHot       float64 `json:"never_hot"`
	HotDrawnPerDay float64 `json:"hot_drawn_L_per_day"`
}
