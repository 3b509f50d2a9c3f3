package pipework

import (
	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
	"pipelag/schedules"
)

// failer is what a check needs of a test, or of a rapid one.
type failer interface {
	check.T
	require.TestingT
}

// steadily is the air of a zone in which it never changes.
func steadily(name string, temperature float64) Zone {
	air := make([]float64, schedules.DaysPerYear*24)
	for k := range air {
		air[k] = temperature
	}
	return Zone{name, air}
}

// piece is a length of tube in a row of them, in a room.
type piece struct {
	tube   tubes.Tube
	length float64
	sleeve tubes.Sleeve
}

// rowOf is pieces of tube one behind the other, from the heater to one tap.
func rowOf(pieces ...piece) *network.Network {
	n := &network.Network{Taps: []int{len(pieces) - 1}}
	for i, p := range pieces {
		n.Pipes = append(n.Pipes, network.Pipe{Feed: i - 1, Length: p.length, Tube: p.tube, Sleeve: p.sleeve, Zone: "room"})
	}
	return n
}

func mustTube(t failer, kind, size string) tubes.Tube {
	t.Helper()
	tube, err := tubes.Find(kind, size)
	require.NoError(t, err)
	return tube
}

// water is that of 40 °C.
func water(t failer) heat.Water {
	t.Helper()
	w, err := heat.WaterAt(40)
	require.NoError(t, err)
	return w
}

// mustPlan is the plan of a network without a loop in a room at a temperature.
func mustPlan(t failer, n *network.Network, room float64, m Model) *Plan {
	t.Helper()
	p, err := NewPlan(n, Unpumped, water(t), []Zone{steadily("room", room)}, m)
	require.NoError(t, err)
	return p
}

// draw lets a flow run through all pipes of a row from now on.
func (w *System) draw(flow float64) {
	for i := range w.Wanted {
		w.Wanted[i] = flow
	}
	w.Route()
}

// runTo lets time pass until t [s].
func (w *System) runTo(t float64) {
	for {
		k, due := w.Next()
		if due > t {
			w.Now = t
			return
		}
		w.Now = due
		w.Shift(k)
	}
}

// purge is the water that a row gives, from its pipes as warm as the room and a heater
// at a set point, until that is usable [m³].
func purge(t failer, p *Plan, setpoint, flow, usable float64) float64 {
	t.Helper()
	w := NewSystem(p, setpoint, 15)
	w.draw(flow)
	last := len(w.pipes) - 1
	before, middle := w.Outlet(last), w.Passing(w.Stream(last))/2 // a cell is as warm as its middle
	for w.Outlet(last) < usable {
		k, due := w.Next()
		require.Less(t, due, 5e4, "usable water never came")
		w.Now = due
		before = w.Outlet(last)
		w.Shift(k)
	}
	return flow * (w.Now - middle + 2*middle*(usable-before)/(w.Outlet(last)-before))
}
