package sim

import (
	"context"
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
	}
}
