package sim

import "encoding/json"

// Result is what a run found, and what result files hold.
type Result struct {
	Version  string `json:"version"`
	Scenario struct {
		Name   string `json:"name"`
		SHA256 string `json:"sha256"`
	} `json:"scenario"`
	Seed        uint64         `json:"seed"`
	Years       int            `json:"years"`
	Cells       int            `json:"cells,omitempty"` // as asked for, where others than DefaultCells; see CellsGrid
	Currency    string         `json:"currency"`
	Bill        Bill           `json:"bill"`
	Mains       [12]float64    `json:"mains_C"` // means of the months
	Layouts     []LayoutResult `json:"layouts"`
	Differences []Difference   `json:"differences"`
	Cautions    []Caution      `json:"cautions"`
	Warnings    []string       `json:"warnings,omitempty"`
}

// LayoutResult is one layout's years.
type LayoutResult struct {
	Name         string           `json:"name"`
	Arrangement  string           `json:"arrangement"`
	BalanceError float64          `json:"balance_error"` // the worst of any year, as a share of heat in
	Annual       Intervals        `json:"annual"`
	Fixtures     []FixtureResult  `json:"fixtures"`
	Months       [12]Values       `json:"months"` // means
	ZoneLoss     []ZoneLoss       `json:"zone_loss"`
	Control      string           `json:"control"`     // of the pump; empty without one
	PumpStarts   float64          `json:"pump_starts"` // a year, mean
	Lukewarm     float64          `json:"lukewarm_h"`  // at which some water in the loop, its cold line included, was between 25 and 45 °C, a year, mean
	Crossover    *CrossoverResult `json:"crossover,omitempty"`
	Shortfalls   []Shortfall      `json:"shortfalls,omitempty"` // the worst first
}

// CrossoverResult is what a loop's return through the cold line came to.
type CrossoverResult struct {
	At       string  `json:"at"`         // its fixture
	Lukewarm float64 `json:"lukewarm_C"` // from which water at a cold tap is told apart
	Hottest  float64 `json:"hottest_C"`  // water that was sent into the cold line, in any year; 0 if none was
}

// FixtureResult is one fixture's years under one layout.
type FixtureResult struct {
	Name           string  `json:"name"`
	DrawsPerDay    float64 `json:"draws_per_day"`
	Waits          Waits   `json:"wait_s"`
	PurgedPerDraw  float64 `json:"purged_L_per_draw"`
	NeverHot       float64 `json:"never_hot"`       // share of draws that end before usable water comes
	WaitingDraws   float64 `json:"waiting_per_day"` // draws of those who wait for usable water, if it is not there at once
	WaitCounts     []int   `json:"wait_counts"`     // of those, over all years, by whole seconds waited; none beyond the end
	HotDrawnPerDay float64 `json:"hot_drawn_L_per_day"`
	Leg            float64 `json:"leg_L"`          // water in the pipes that lead to it alone
	LongestRest    float64 `json:"longest_rest_h"` // of that water, in any year
}

// Waits are quantiles of the wait, over draws of those who wait for usable water, 0 where it is there at once [s].
type Waits struct {
	P50 float64 `json:"p50"`
	P90 float64 `json:"p90"`
}

// ZoneLoss is the heat lost from pipes into one zone.
type ZoneLoss struct {
	Zone string  `json:"zone"`
	Loss float64 `json:"pipe_loss_kWh"` // a year, mean
}

// Difference is a layout's annual numbers less those of another, from the same
// replicates, so that what the weather and the people did to both drops out.
type Difference struct {
	Layout, Against string
	Annual          Intervals
}

// MarshalJSON writes the annual keys beside the names of the layouts.
func (d Difference) MarshalJSON() ([]byte, error) {
	annual, err := d.Annual.MarshalJSON()
	if err != nil {
		return nil, err
	}
	names, err := json.Marshal(struct {
		Layout  string `json:"layout"`
		Against string `json:"against"`
	}{d.Layout, d.Against})
	if err != nil {
		return nil, err
	}
	return append(append(names[:len(names)-1], ','), annual[1:]...), nil
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (d *Difference) UnmarshalJSON(data []byte) error {
	if err := json.Unmarshal(data, &struct{ Layout, Against *string }{&d.Layout, &d.Against}); err != nil {
		return err
	}
	return d.Annual.UnmarshalJSON(data)
}
