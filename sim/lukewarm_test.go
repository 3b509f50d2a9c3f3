package sim

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/pipework"
)

// A loop that is kept hot is never lukewarm, and comes back cooler than it went by what
// it loses; one that nobody calls is as warm as the rooms, at every hour of the year.
func TestLukewarm(t *testing.T) {
	h := teeHouse(t, true)
	r, err := Run(context.Background(), h, Options{Years: 1})
	require.NoError(t, err)
	require.Zero(t, r.Layouts[0].Lukewarm)

	p := mustPlant(t, h, pipework.Model{})
	y := newYear(p, 1, 0)
	for d := range 30 {
		require.NoError(t, y.day(d, nil))
	}
	require.NoError(t, y.finish())
	m := &y.ledger.months[0]
	back := h.Heater.Setpoint - m.loopLoss/(p.volume*m.pumped)
	// Heating the pipes at first, some 5 L by 36 K, is 0.002 K of all that flowed.
	check.Within(t, back, y.ledger.returned/y.ledger.returning, 0.02, "mean of what came back")
	check.Within(t, 30*Day, y.ledger.returning, 1, "time for which it did")

	for _, c := range []struct{ rooms, hours float64 }{{18, 0}, {30, 8760}, {50, 0}} {
		h := teeHouse(t, true)
		h.Layouts[0].Pump.Rule = control.Demand{Rise: 5, Warm: 35, MaxRun: 300}
		h.Climate.Zones = []schedules.Zone{{Name: "room", Temperature: steadily(c.rooms)}}
		r, err := Run(context.Background(), h, Options{Years: 1})
		require.NoError(t, err)
		require.InDelta(t, c.hours, r.Layouts[0].Lukewarm, 1, "in rooms of %g °C", c.rooms)
		raised := strings.Join(textsOf(r.Cautions), "\n")
		require.Equal(t, c.hours > 0, strings.Contains(raised, "in which it grows, all of the year"), "in rooms of %g °C: %s", c.rooms, raised)
	}
}

func textsOf(cautions []Caution) (texts []string) {
	for _, c := range cautions {
		texts = append(texts, c.Text)
	}
	return texts
}

// A loop is said to be lukewarm for as long as it is.
func TestHowLong(t *testing.T) {
	for hours, want := range map[float64]string{
		8760: "all of the year",
		8750: "all of the year", // 24.0 h a day, as the pumps' table has it
		8395: "more than half of the time",
		4381: "more than half of the time",
		4379: "less than half of the time",
		0.5:  "less than half of the time",
	} {
		require.Equal(t, want, howLong(hours))
	}
}
