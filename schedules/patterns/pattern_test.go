package patterns

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/reference"
	"pipelag/schedules"
)

const gpm = gallon / 60

var home = []schedules.Fixture{
	{Name: "kitchen sink", Use: schedules.Kitchen, Flow: 2.2 * gpm, Usable: 40.6},
	{Name: "shower", Use: schedules.Shower, Flow: 3.0 * gpm, Usable: 40.6},
	{Name: "basin", Use: schedules.Lavatory, Flow: 1.5 * gpm, Usable: 40.6},
	{Name: "bath", Use: schedules.Bath, Flow: 5 * gpm, Usable: 40.6},
}

// The day's totals, each with its source and status in testdata/totals.csv. The
// energies were read in the regulation. The volumes are from memory like the
// draws they add up: their rows show only that nothing is lost on the way.
func TestTotals(t *testing.T) {
	rows := reference.Rows(t, "testdata/totals.csv")
	require.Len(t, rows, len(Names()))
	for _, row := range rows {
		for name, fixtures := range map[string][]schedules.Fixture{"all fixtures": home, "one tap": home[1:2]} {
			t.Run(row["pattern"]+", "+name, func(t *testing.T) {
				p, err := New(row["pattern"], fixtures)
				require.NoError(t, err)
				wishes := p.Year(1, 0).Day(3, nil)
				require.Equal(t, row["draws"], strconv.Itoa(len(wishes)))
				for _, w := range wishes {
					require.LessOrEqual(t, w.Flow, fixtures[w.Fixture].Flow)
				}
				volume, energy := p.Daily()
				got := volume / gallon
				if row["quantity"] == "energy_kWh" {
					got = energy / 3.6e6
				}
				want := row.Number(t, "value")
				require.False(t, math.IsNaN(got))
				require.InDelta(t, want, got, 1e-9*want)
			})
		}
	}
}

// EU 814/2013: profile M is about 100 L/day of water at 60 °C from 10 °C (read).
func TestMediumIsAHundredLitres(t *testing.T) {
	p, err := New("EU 814/2013 M", home)
	require.NoError(t, err)
	litres := 0.0
	for _, w := range p.Day(0, nil) {
		litres += (w.Volume + w.Flow*w.Duration) * 1000 * (w.Mixed - euCold) / (60 - euCold)
	}
	require.InDelta(t, 100, litres, 1)
}

func TestEveryDayIsAlikeAndInOrder(t *testing.T) {
	for _, name := range Names() {
		p, err := New(name, home)
		require.NoError(t, err)
		first, last := p.Day(0, nil), p.Year(9, 9).Day(364, nil)
		require.Len(t, last, len(first))
		for i := range first {
			require.InDelta(t, 364*day, last[i].Start-first[i].Start, 1e-6)
			if i > 0 {
				require.GreaterOrEqual(t, first[i].Start, first[i-1].Start)
			}
			require.True(t, first[i].Start >= 0 && first[i].Start < day)
		}
	}
}

func TestRefusals(t *testing.T) {
	_, err := New("no such", home)
	require.ErrorContains(t, err, "10 CFR 430 very small, 10 CFR 430 low")
	_, err = New("EU 814/2013 M", nil)
	require.Error(t, err)
	slow := []schedules.Fixture{{Name: "drip", Use: schedules.Lavatory, Flow: 0.05 * gpm, Usable: 40}}
	_, err = New("10 CFR 430 very small", slow)
	require.ErrorContains(t, err, "drip passes 0.00315 L/s and would still be running")
}

func ExampleNew() {
	p, err := New("10 CFR 430 medium", []schedules.Fixture{
		{Name: "shower", Use: schedules.Shower, Flow: 2 * gpm, Usable: 40.6},
		{Name: "basin", Use: schedules.Lavatory, Flow: 1 * gpm, Usable: 40.6},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range p.Year(1, 0).Day(0, nil)[:3] {
		fmt.Printf("%s %s %.1f L\n", clock(w.Start), w.Use, w.Flow*w.Duration*1000)
	}
	// Output:
	// 06:00 shower 56.8 L
	// 06:30 lavatory 7.6 L
	// 07:40 shower 34.1 L
}
