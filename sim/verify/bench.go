package verify

import (
	"fmt"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/sim"
	"pipelag/sim/heater"
)

const (
	gallon = 3.785411784e-3 // US gallon [m³]
	gpm    = gallon / 60    // [m³/s]
	inch   = 0.0254         // [m]
	foot   = 12 * inch      // [m]
	litre  = 1e-3           // [m³]
)

func celsius(fahrenheit float64) float64 { return (fahrenheit - 32) / 1.8 }

// steadily is a temperature that never changes [°C].
type steadily float64

// At is the temperature at any time.
func (s steadily) At(float64) float64 { return float64(s) }

// nobody is a household that is out.
type nobody struct{}

// Year is a year without wishes.
func (nobody) Year(uint64, int) schedules.Year { return nobody{} }

// Day has no wishes.
func (nobody) Day(_ int, into []schedules.Wish) []schedules.Wish { return into }

// bench is a house of one tube from the heater to a tap.
type bench struct {
	run      network.Run
	length   float64 // [m]
	room     float64 // [°C]
	setpoint float64 // [°C]
	flow     float64 // all hot [m³/s]
	usable   float64 // [°C]
}

// house makes the bench a house.
func (b bench) house() (*sim.House, error) {
	b.run.Zone = "room"
	n, mistakes := network.Listed("bench", []string{"tap"}, []network.Segment{{From: "heater", To: "tap", Length: b.length, Run: b.run}})
	if len(mistakes) > 0 {
		return nil, fmt.Errorf("%v", mistakes)
	}
	return &sim.House{
		Name:     "bench",
		Fixtures: []sim.Fixture{{Name: "tap", Use: schedules.Kitchen, Flow: b.flow, Usable: b.usable}},
		Schedule: nobody{},
		Climate:  schedules.Climate{Mains: steadily(b.room), Zones: []schedules.Zone{{Name: "room", Temperature: steadily(b.room)}}},
		Heater:   sim.Heater{Kind: heater.Held{Setpoint: b.setpoint, Loss: 1, Efficiency: 1}, Setpoint: b.setpoint, Zone: "room"},
		Layouts:  []sim.Layout{{Network: n}},
	}, nil
}

// trace opens the bench's tap.
func (b bench) trace(o sim.TraceOptions) (*sim.Trace, error) {
	h, err := b.house()
	if err != nil {
		return nil, err
	}
	return sim.NewTrace(h, o)
}

// line is a metre of the bench's pipe, and its water as the engine takes it:
// midway between the set point and the room.
func (b bench) line() (heat.Line, heat.Water, error) {
	l, err := heat.NewLine(b.run.Tube, b.run.Sleeve, b.run.BareShare, b.run.Burial, false)
	if err != nil {
		return heat.Line{}, heat.Water{}, err
	}
	w, err := heat.WaterAt((b.setpoint + b.room) / 2)
	return l, w, err
}

func (b bench) speed() float64 { return b.flow / b.run.Tube.Volume() }

// waits is how long an opening waits for usable water [s].
func waits(o *sim.Opening) (float64, error) {
	if o.Wait == nil {
		return 0, fmt.Errorf("usable water never comes")
	}
	return *o.Wait, nil
}

// tapAt is the temperature at the tap at a time, between those of a series [°C].
func tapAt(s *sim.Series, t float64) float64 {
	for i := 1; i < len(s.Time); i++ {
		if s.Time[i] >= t {
			share := (t - s.Time[i-1]) / (s.Time[i] - s.Time[i-1])
			return s.Tap[i-1] + share*(s.Tap[i]-s.Tap[i-1])
		}
	}
	return s.Tap[len(s.Tap)-1]
}

// vacuum is a sleeve that lets nothing through worth counting: by it a problem
// without loss is built from parts.
var vacuum = tubes.Sleeve{
	Material:  tubes.Material{Name: "vacuum", Conductivity: 1e-9, Density: 1, SpecificHeat: 1, Emissivity: 0.9},
	Thickness: 0.5,
}

// thin is a tube whose wall holds five millionths of the heat that its water
// does, for problems without a wall.
func thin(inside float64) tubes.Tube {
	return tubes.Tube{
		Kind: "thin", Size: "ideal", Inside: inside, Outside: 1.01 * inside,
		Material: tubes.Material{Name: "foil", Conductivity: 1000, Density: 10, SpecificHeat: 100, Emissivity: 0.9, Metal: true},
	}
}
