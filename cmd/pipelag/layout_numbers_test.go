package main

import (
	"slices"
	"testing"

	"pipelag/network"
	"pipelag/scenarios"
	"pipelag/sim"
)

func TestLayoutNumbers(t *testing.T) {
	for want, numbers := range map[string][]int{
		"layout 4":                {4},
		"layouts 1, 2":            {2, 1},
		"layouts 1 to 3":          {1, 2, 3},
		"layouts 1, 3 to 6, 8, 9": {1, 3, 4, 5, 6, 8, 9, 9},
	} {
		if got := layoutNumbers(numbers); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// TestGathered tells once what is assumed alike of several layouts, and apart what
// differs or is of one.
func TestGathered(t *testing.T) {
	got := gathered([]assumption{
		{"code", "IPC", "usual", ""},
		{"layouts.*.bare", "5 %", "usual", ""},
		{"layouts.one.pump.heat", "50 %", "round", "one"},
		{"layouts.one.two.pump.heat", "50 %", "round", "one.two"},
		{"layouts.one.pump.rise", "5 K", "memory", "one"},
		{"layouts.three.pump.rise", "4 K", "memory", "three"},
		{"layouts.three.pump.heat", "50 %", "round", "three"},
		{"rates.water", "3", "invented", ""},
	}, []string{"one", "one.two", "three"})
	want := []assumption{
		{"code", "IPC", "usual", ""},
		{"layouts.*.bare", "5 %", "usual", ""},
		{"pump.heat of layouts 1 to 3", "50 %", "round", ""},
		{"layouts.one.pump.rise", "5 K", "memory", "one"},
		{"layouts.three.pump.rise", "4 K", "memory", "three"},
		{"rates.water", "3", "invented", ""},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %v", got)
	}
}

// TestAssumedOfLayoutsRun leaves out what is assumed of layouts that are not run, whatever
// they are called.
func TestAssumedOfLayoutsRun(t *testing.T) {
	house := &sim.House{Layouts: []sim.Layout{{Network: &network.Network{Name: "clock"}}}}
	got := assumed([]scenarios.Assumption{
		{Path: "heater.loss", Value: "40 W"},
		{Path: "layouts.*.bare", Value: "5 %"},
		{Path: "layouts.clock.pump.heat", Value: "50 %", Layout: "clock"},
		{Path: "layouts.clock.x.pump.heat", Value: "40 %", Layout: "clock.x"},
		{Path: "layouts.*.x.pump.heat", Value: "30 %", Layout: "*.x"},
	}, house)
	want := []assumption{
		{Path: "heater.loss", Value: "40 W"},
		{Path: "layouts.*.bare", Value: "5 %"},
		{Path: "layouts.clock.pump.heat", Value: "50 %", Layout: "clock"},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %v", got)
	}
}
