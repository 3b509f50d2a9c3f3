package sim

import (
	"math"
	"testing"

	"pipelag/network"
	"pipelag/network/tubes"
	"pipelag/schedules"
)

// steadily is a temperature that never changes.
type steadily float64

func (s steadily) At(float64) float64 { return float64(s) }

// noWishes is a household that is out.
type noWishes struct{}

func (noWishes) Year(uint64, int) schedules.Year                    { return noWishes{} }
func (noWishes) Day(_ int, into []schedules.Wish) []schedules.Wish { return into }

// bench is a heater, one tube and one tap, all at room temperature.
func bench(t testing.TB, kind, size string, length, room, setpoint float64) *House {
	t.Helper()
	tube, err := tubes.Find(kind, size)
	if err != nil {
		t.Fatal(err)
	}
	n, mistakes := network.Listed("bench", []string{"tap"}, []network.Segment{
		{From: "heater", To: "tap", Length: length, Run: network.Run{Tube: tube, Zone: "room"}},
	})
	if len(mistakes) > 0 {
		t.Fatal(mistakes)
	}
	return &House{
		Name:     "bench",
		Fixtures: []Fixture{{Name: "tap", Use: schedules.Kitchen, Flow: 1e-4, Usable: 43}},
		Schedule: noWishes{},
		Climate: schedules.Climate{
			Mains: steadily(15),
			Zones: []schedules.Zone{{Name: "room", Temperature: steadily(room)}},
		},
		Heater:  Heater{Setpoint: setpoint, Volume: 0.2, Loss: 1, Efficiency: 1, Zone: "room"},
		Layouts: []Layout{{Network: n}},
	}
}

func TestPurgeVolume(t *testing.T) {
	for _, c := range []struct {
		kind, size     string
		length, flow   float64
		usable, ratio  float64
		setpoint, room float64
	}{
		{"copper L", "3/4", 24.38, 0.0732e-3, 43, 1.31, 48.9, 18.3},
		{"PEX", "3/8", 10.97, 0.0315e-3, 43, 2.02, 48.9, 18.3},
		{"PEX", "3/8", 10.97, 0.0315e-3, 35, 1.338, 48.9, 18.3},
		{"PEX", "3/8", 10.97, 0.0315e-3, 46, 2.627, 48.9, 18.3},
	} {
		for _, grid := range []Grid{1, 0.6, 0.3, 0.1, 0.03} {
			h := bench(t, c.kind, c.size, c.length, c.room, c.setpoint)
			p, err := newPlant(h, &h.Layouts[0], grid)
			if err != nil {
				t.Fatal(err)
			}
			y := newYear(p, 1, 0)
			w := schedules.Wish{Kind: schedules.Washing, Start: 10, Flow: c.flow, Duration: 1, Mixed: 41, Usable: c.usable, Patience: 1000}
			if err := y.day(0, []schedules.Wish{w}); err != nil {
				t.Fatal(err)
			}
			v := y.ledger.months[0].taps[0].purged.water / h.Layouts[0].Network.Pipes[0].Volume()
			err = y.finish()
			t.Logf("%s %s grid %.2f: %.4f (%.3f) imbalance %.2g %v", c.kind, c.size, float64(grid), v, c.ratio, y.ledger.imbalance(), err)
			_ = math.Abs
		}
	}
}
