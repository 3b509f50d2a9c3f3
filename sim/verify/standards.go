package verify

import (
	"context"

	"pipelag/schedules"
	"pipelag/schedules/household"
	"pipelag/schedules/patterns"
)

// kitchenAndBath is a house that every standard's draws find a fixture in.
var kitchenAndBath = []schedules.Fixture{
	{Name: "kitchen sink", Use: schedules.Kitchen, Flow: 2.2 * gpm, Usable: 40.6},
	{Name: "shower", Use: schedules.Shower, Flow: 3 * gpm, Usable: 40.6},
	{Name: "basin", Use: schedules.Lavatory, Flow: 1.5 * gpm, Usable: 40.6},
	{Name: "bath", Use: schedules.Bath, Flow: 5 * gpm, Usable: 40.6},
}

func standards(context.Context) ([]Line, error) {
	lines, err := dailyPatterns()
	if err != nil {
		return nil, err
	}
	more, err := dailyVolumes()
	return append(lines, more...), err
}

// dailyPatterns are the totals of a day of each pattern as it is laid on a house, summed
// here, apart from what the pattern says of itself.
func dailyPatterns() ([]Line, error) {
	// A litre holds this much above the cold water of the European test, by the
	// regulation's own arithmetic (4.186 kJ/(kg K), 10 °C).
	const cold, capacity, kWh = 10, 4.186e6, 3.6e6
	var counts, totals []Line
	for _, r := range records("patterns.csv") {
		p, err := patterns.New(r["pattern"], kitchenAndBath)
		if err != nil {
			return nil, err
		}
		day := p.Year(1, 0).Day(0, nil)
		volume, energy := 0.0, 0.0
		for _, w := range day {
			v := w.Volume + w.Flow*w.Duration
			volume += v
			energy += v * capacity * (w.Mixed - cold)
		}
		counts = append(counts, topic{"draws of a daily pattern", "1"}.absolute(r["pattern"], r.number("draws"), float64(len(day)), 0.5, r.source()))
		total, got := topic{"water of a daily pattern", "gal"}, volume/gallon
		if r["quantity"] == "energy_kWh" {
			total, got = topic{"heat of a daily pattern", "kWh"}, energy/kWh
		}
		totals = append(totals, total.relative(r["pattern"], r.number("value"), got, r.tolerance(), r.source()))
	}
	return append(counts, totals...), nil
}

// dailyVolumes are what the stochastic household aims at in a house of three
// bedrooms.
func dailyVolumes() ([]Line, error) {
	daily := make([]*household.Household, 2)
	for i, total := range []household.Total{household.Rated, household.Benchmark} {
		h, err := household.New(household.Config{People: 4, Bedrooms: 3, Fixtures: kitchenAndBath, Total: total})
		if err != nil {
			return nil, err
		}
		daily[i] = h
	}
	rated, benchmark := daily[0], daily[1]
	var lines []Line
	for _, r := range records("daily_volumes.csv") {
		h, uses := benchmark, []schedules.Use{}
		switch r["enduse"] {
		case "fixtures":
			h, uses = rated, []schedules.Use{schedules.Shower, schedules.Bath, schedules.Kitchen, schedules.Lavatory}
		case "shower":
			uses = []schedules.Use{schedules.Shower}
		case "bath":
			uses = []schedules.Use{schedules.Bath}
		case "sinks":
			uses = []schedules.Use{schedules.Kitchen, schedules.Lavatory}
		case "clothes washer":
			uses = []schedules.Use{schedules.ClothesWasher}
		case "dishwasher":
			uses = []schedules.Use{schedules.Dishwasher}
		}
		got := 0.0
		for _, u := range uses {
			got += h.Daily(u)
		}
		lines = append(lines, topic{"daily water of a household, 3 bedrooms", "L"}.relative(r["enduse"], r.number("L_per_day"), got/litre, r.tolerance(), r.source()))
	}
	return lines, nil
}
