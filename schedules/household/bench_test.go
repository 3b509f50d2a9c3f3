package household

import (
	"testing"

	"pipelag/schedules"
)

const litre, gpm = 1e-3, 3.785411784e-3 / 60

// home has one of everything, and a second lavatory.
var home = []schedules.Fixture{
	{Name: "kitchen sink", Use: schedules.Kitchen, Flow: 1.8 * gpm, Usable: 40.6},
	{Name: "hall shower", Use: schedules.Shower, Flow: 2.0 * gpm, Usable: 40.6},
	{Name: "hall basin", Use: schedules.Lavatory, Flow: 1.2 * gpm, Usable: 40.6},
	{Name: "attic basin", Use: schedules.Lavatory, Flow: 1.2 * gpm, Usable: 40.6},
	{Name: "bath", Use: schedules.Bath, Flow: 4 * gpm, Usable: 40.6},
	{Name: "dishwasher", Use: schedules.Dishwasher, Flow: 1.5 * gpm, Usable: 45},
	{Name: "washing machine", Use: schedules.ClothesWasher, Flow: 2.5 * gpm, Usable: 45},
}

func BenchmarkYear(b *testing.B) {
	h, err := New(Config{People: 4, Fixtures: home})
	if err != nil {
		b.Fatal(err)
	}
	var wishes []schedules.Wish
	count := 0
	b.ReportAllocs()
	for r := 0; b.Loop(); r++ {
		y := h.Year(1, r)
		count = 0
		for d := range schedules.DaysPerYear {
			wishes = y.Day(d, wishes[:0])
			count += len(wishes)
		}
	}
	b.ReportMetric(float64(count), "wishes/year")
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "years/s")
}

func BenchmarkDay(b *testing.B) {
	h, err := New(Config{People: 4, Fixtures: home})
	if err != nil {
		b.Fatal(err)
	}
	y := h.Year(1, 0)
	wishes := make([]schedules.Wish, 0, 400)
	b.ReportAllocs()
	for d := 0; b.Loop(); d++ {
		wishes = y.Day(d%schedules.DaysPerYear, wishes[:0])
	}
}
