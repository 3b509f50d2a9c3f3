package sim

import (
	"strconv"

	"pipelag/network"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/sim/heater"
	"pipelag/sim/pipework"
)

// steadily is a temperature that never changes.
type steadily float64

func (s steadily) At(float64) float64 { return float64(s) }

// noWishes is a household that is out.
type noWishes struct{}

func (noWishes) Year(uint64, int) schedules.Year                   { return noWishes{} }
func (noWishes) Day(_ int, into []schedules.Wish) []schedules.Wish { return into }

// failer is what a check needs of a test, or of a rapid one.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

// piece is a length of tube in a row of them.
type piece struct {
	tube   tubes.Tube
	length float64
	zone   string
	sleeve tubes.Sleeve
}

func mustTube(t failer, kind, size string) tubes.Tube {
	t.Helper()
	tube, err := tubes.Find(kind, size)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return tube
}

// rowOf is a heater, pieces of tube one behind the other and one tap, in rooms of
// steady temperatures; the heater stands in the first.
func rowOf(t failer, pieces []piece, rooms []schedules.Zone, setpoint float64) *House {
	t.Helper()
	var segments []network.Segment
	from := "heater"
	for i, p := range pieces {
		to := "joint " + strconv.Itoa(i+1)
		if i == len(pieces)-1 {
			to = "tap"
		}
		segments = append(segments, network.Segment{
			From: from, To: to, Length: p.length,
			Run: network.Run{Tube: p.tube, Zone: p.zone, Sleeve: p.sleeve},
		})
		from = to
	}
	n, mistakes := network.Listed("bench", []string{"tap"}, segments)
	if len(mistakes) > 0 {
		t.Fatalf("%v", mistakes)
	}
	return &House{
		Name:     "bench",
		Fixtures: []Fixture{{Name: "tap", Use: schedules.Kitchen, Flow: 1e-4, Usable: 43}},
		Schedule: noWishes{},
		Climate:  schedules.Climate{Mains: steadily(15), Zones: rooms},
		Heater:   Heater{Kind: heater.Held{Setpoint: setpoint, Loss: 1, Efficiency: 1}, Setpoint: setpoint, Zone: rooms[0].Name},
		Layouts:  []Layout{{Network: n}},
	}
}

// bench is one tube of rowOf, all at room temperature.
func bench(t failer, kind, size string, length, room, setpoint float64) *House {
	t.Helper()
	return rowOf(t,
		[]piece{{tube: mustTube(t, kind, size), length: length, zone: "room"}},
		[]schedules.Zone{{Name: "room", Temperature: steadily(room)}}, setpoint)
}

func mustPlant(t failer, h *House, m pipework.Model) *plant {
	t.Helper()
	p, err := newPlant(h, &h.Layouts[0], m)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return p
}

// purge is the water drawn from a bench's tap until it is usable [m³].
func purge(t failer, p *plant, flow, usable float64) float64 {
	t.Helper()
	y := newYear(p, 1, 0)
	w := schedules.Wish{Kind: schedules.Washing, Start: 10, Flow: flow, Duration: 1, Mixed: usable - 2, Usable: usable, Patience: 5e4}
	if err := y.day(0, []schedules.Wish{w}); err != nil {
		t.Fatalf("%v", err)
	}
	if err := y.finish(); err != nil {
		t.Errorf("%v", err)
	}
	m := &y.ledger.months[0].taps[0]
	if m.never > 0 {
		t.Errorf("usable water never came")
	}
	return m.purged.water
}
