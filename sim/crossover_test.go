package sim

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"pipelag/internal/check"
	"pipelag/network"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/pipework"

	"github.com/stretchr/testify/require"
)

// shellTube holds 0.3 L/m and has next to no wall.
var shellTube = tubes.Tube{
	Kind: "shell", Inside: math.Sqrt(4 / math.Pi * 3e-4), Outside: math.Sqrt(4/math.Pi*3e-4) + 1e-3,
	Material: tubes.Material{Metal: true, Conductivity: 0.01, Density: 1, SpecificHeat: 400, Emissivity: 0.5},
}

// throughCold is a house whose fixtures stand along one line, with a crossover at
// the last, all of tubes that lose nothing to a wall or to their surroundings.
// hot is what the pipes of the line hold, from the heater, and cold that of those beside
// it, from the crossover [m³]. Pipes begin at 0 °C; the heater gives 45 °C, and the mains
// have 15 °C.
func throughCold(t *testing.T, rule control.Rule, hot, cold []float64) *plant {
	t.Helper()
	run := network.Run{Tube: shellTube, Zone: "room"}
	h := bench(t, "copper L", "3/4", 1, 0, 45)
	h.Fixtures = nil
	var fixtures []string
	var segments []network.Segment
	from := "heater"
	for i := range hot {
		tap := fmt.Sprintf("tap %d", i)
		fixtures = append(fixtures, tap)
		h.Fixtures = append(h.Fixtures, Fixture{Name: tap, Flow: 2e-4, Usable: 40})
		if i < len(hot)-1 {
			tee := fmt.Sprintf("tee %d", i)
			segments = append(segments, network.Segment{From: from, To: tee, Length: 1, Run: run})
			from = tee
		}
		segments = append(segments, network.Segment{From: from, To: tap, Length: 1, Run: run})
	}
	n, mistakes := network.Listed("line", fixtures, segments)
	require.Empty(t, mistakes)
	n, err := n.WithCrossover("line", len(hot)-1, func(network.Pipe) network.Run { return run })
	require.NoError(t, err)
	for i := range n.Pipes {
		n.Pipes[i].Length = 1e-4 / shellTube.Volume()
	}
	for k, i := range n.Loop() {
		n.Pipes[i].Length = slices.Concat(hot, cold)[k] / shellTube.Volume()
	}
	h.Layouts = []Layout{{Network: n, Pump: &Pump{Rule: rule, Flow: pumpFlow, Power: 40, Crossover: &Crossover{Lukewarm: 25}}}}
	// Cells of 0.05 L in the loop.
	return mustPlant(t, h, pipework.Model{Grid: 2.0 / 3, NoDispersion: true, NoLoss: true})
}

const pumpFlow = 1.1e-4 // [m³/s]

// pumped runs the pump of a plant for a time from the beginning.
func pumped(t *testing.T, p *plant, duration float64) *year {
	t.Helper()
	p.layout.Pump.Rule = control.Demand{Rise: 50, Warm: 80, MaxRun: duration}
	y := newYear(p, 1, 0)
	y.call()
	y.runTo(duration + 1)
	require.False(t, y.pump.on)
	return y
}

// cold opens the cold side of a tap.
func cold(fixture int, y *year, flow, volume float64) schedules.Wish {
	return schedules.Wish{Fixture: fixture, Kind: schedules.Brief, Start: y.Now, Flow: flow, Duration: volume / flow, Usable: 40, Mixed: 20}
}

// What the pump leaves in the cold line stays there and comes out first: V litres
// at 45 °C, whatever the line holds beyond, then what stood there, then the mains.
// What is more than the line holds is in the heater. By arithmetic.
func TestPlugIsDrawnFirst(t *testing.T) {
	const hotHolds, coldHolds = 3e-3, 4e-3
	for _, v := range []float64{0.5e-3, 1.7e-3, 3.9e-3, 6e-3} {
		p := throughCold(t, control.Continuous{}, []float64{hotHolds}, []float64{coldHolds})
		y := pumped(t, p, (hotHolds+v)/pumpFlow)
		cell := coldHolds/50 + hotHolds/30
		in := min(v, coldHolds)

		y.open(cold(0, y, 1e-4, 20e-3))
		y.runTo(1e4)
		require.Empty(t, y.draws)
		m := &y.ledger.months[0]
		check.Within(t, in, m.coldWarm, cell, "lukewarm at the tap")
		check.Within(t, p.volume*(in*(45-15)-(coldHolds-in)*15), m.coldHeat, p.volume*45*cell, "heat brought to the tap")
		check.Within(t, m.coldHeat, m.taps[0].used.heat, 1, "and it is in the tap's account")
		check.Within(t, 20e-3, m.taps[0].used.water, 1e-9, "water of the tap")
		check.Within(t, 45, y.ledger.hottest, 1e-9, "hottest")
		check.Within(t, v, m.coldOver, cell, "above 40 °C")
		require.NoError(t, y.finish())
		// It has given the hot line's fill and the plug for water of 0 °C, until that was at an end.
		check.Within(t, p.volume*(hotHolds+in)*45, m.supplied, p.volume*45*cell, "heat given to the loop")
	}
}

// Water drawn on the cold side nearer to the heater does not move what stands
// beyond; while the pump runs, a cold tap gets what the pump sends and the rest
// from the mains, in proportion, and the heater takes as much from the mains.
func TestColdTapOnTheWay(t *testing.T) {
	pump := pumpFlow
	line := []float64{2e-3, 1e-3}
	p := throughCold(t, control.Continuous{}, line, []float64{1e-3, 2e-3})
	y := pumped(t, p, 3.5e-3/pump) // half a litre of plug beyond the first tap
	y.open(cold(0, y, 1e-4, 5e-3))
	y.runTo(1000)
	m := &y.ledger.months[0]
	check.Within(t, 0, m.coldWarm, 1e-12, "lukewarm at the tap on the way")
	check.Within(t, -p.volume*2e-3*15, m.coldHeat, p.volume*15*1e-4, "what stood before it")
	y.open(cold(1, y, 1e-4, 5e-3))
	y.runTo(2000)
	check.Within(t, 0.5e-3, m.coldWarm, 1e-4, "lukewarm at the last tap")

	q := throughCold(t, control.Continuous{}, line, []float64{1e-3, 2e-3})
	y = newYear(q, 1, 0)
	y.runTo(1000)
	check.Within(t, 45, y.coldSide(0), 1e-9, "the loop's water at the tap on the way")
	flow := 2.5 * pump
	y.open(cold(0, y, flow, 1))
	y.runTo(1500)
	check.Within(t, 45/2.5+15*1.5/2.5, y.coldSide(0), 1e-9, "two fifths of the loop's")
	check.Within(t, pump, y.drawn[0], 1e-18, "the heater's from the mains")
	check.Within(t, 0, y.looped, 1e-18, "back to the heater")
	y.runTo(1501)
	y.bookDraw(0)
	before := y.ledger.months[0].coldHeat
	y.runTo(1601)
	y.bookDraw(0)
	check.Alike(t, p.volume*100*pump*(45-15), y.ledger.months[0].coldHeat-before, 1e-9, "heat to the tap is what the pump sends")
	require.NoError(t, y.finish())
}

// A valve shuts as the front comes to it, and then nothing moves; the water that
// crossed was never hotter than the valve lets it be.
func TestValveLimitsThePlug(t *testing.T) {
	for _, off := range []float64{20, 35, 44} {
		p := throughCold(t, control.Continuous{}, []float64{3e-3}, []float64{4e-3})
		p.layout.Pump.Crossover.Valve = &control.Aquastat{On: 10, Off: off}
		y := newYear(p, 1, 0)
		y.runTo(50 * hour)
		y.book()
		m := &y.ledger.months[0]
		check.Within(t, 3e-3, m.pumped, 3e-3/30, "pumped until it shut")
		check.Within(t, off, y.ledger.hottest, 1e-6, "hottest that crossed")
		check.Within(t, 0, m.coldOver, max(0, off-40)*1e-4, "above 40 °C")
		check.Alike(t, 50*hour, m.running, 1e-9, "the motor runs on")
		check.Alike(t, 50*hour*40, m.pump, 1e-9, "and takes its power")
		require.NoError(t, y.finish())
	}
}

// The times at which water crosses hold to the second: a valve passes water from
// where its thermostat has cooled to On until it has warmed to Off, whether that
// comes of the pump or of a draw; a pump with its own sensor stops by that.
func TestCrossoverLog(t *testing.T) {
	valve := control.Aquastat{On: 30, Off: 35}
	demand := control.Demand{Rise: 5, Warm: 35, MaxRun: 300}
	windows := []control.Window{{From: 6 * hour, To: 8 * hour, Days: control.Everyday}}
	for _, c := range []struct {
		name   string
		rule   control.Rule
		button *control.Button
		valve  *control.Aquastat
	}{
		{"clock and valve", control.Clock{Windows: windows}, nil, &valve},
		{"button and crossover", demand, &control.Button{Lead: 60, Likelihood: 1}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := teeHouse(t, false)
			n, err := h.Layouts[0].Network.WithCrossover("tee", 0, func(hot network.Pipe) network.Run { return network.Run{Tube: hot.Tube, Zone: hot.Zone} })
			require.NoError(t, err)
			h.Layouts = []Layout{{Network: n, Pump: &Pump{
				Rule: c.rule, Button: c.button, Flow: 0.5e-4, Power: 20, HeatShare: 0.5,
				Crossover: &Crossover{Valve: c.valve, Lukewarm: 25},
			}}}
			events := pumpEvents(t, h, n.LoopEnd, 2)
			require.Greater(t, len(events), 3)
			for i, e := range events {
				if clock := math.Mod(e.at, Day); e.at == 0 || c.name == "clock and valve" && (clock == 6*hour || clock == 8*hour) {
					continue
				}
				switch {
				case c.button != nil && e.on:
					check.Within(t, 7*hour+600-60, math.Mod(e.at, Day), 1e-6, "time of a call")
				case c.button != nil:
					require.GreaterOrEqual(t, e.back, min(35, events[i-1].back+5)-0.2)
					require.LessOrEqual(t, e.past, 35.2)
				case e.on:
					check.Within(t, valve.On+0.01, e.back, 0.01+1e-6, "crossover a second before the valve opens")
				default:
					require.LessOrEqual(t, e.past, valve.Off+0.2, "a second before the valve shuts")
					require.GreaterOrEqual(t, e.back, valve.Off-0.2, "as the valve shuts")
				}
			}
			golden(t, c.name, events)
		})
	}
}

// What would not be a crossover is refused.
func TestCrossoverRefused(t *testing.T) {
	h := teeHouse(t, false)
	n, err := h.Layouts[0].Network.WithCrossover("tee", 0, func(hot network.Pipe) network.Run { return network.Run{Tube: hot.Tube, Zone: hot.Zone} })
	require.NoError(t, err)
	pump := Pump{Rule: control.Continuous{}, Flow: 0.5e-4}
	refused := func(with Pump, want string) {
		t.Helper()
		_, err := newPlant(h, &Layout{Network: n, Pump: &with}, pipework.Model{})
		require.ErrorContains(t, err, want)
	}
	refused(pump, "disagree")
	pump.Crossover = &Crossover{Lukewarm: 25}
	_, err = newPlant(h, &Layout{Network: n, Pump: &pump}, pipework.Model{})
	require.NoError(t, err)
	byReturn := pump
	byReturn.Rule = control.Clock{Windows: []control.Window{{From: 0, To: hour, Days: control.On(time.Monday)}}, Aquastat: &control.Aquastat{On: 30, Off: 35}}
	refused(byReturn, "temperature of the return")
	pump.Crossover.Valve = &control.Aquastat{On: 36, Off: 35}
	refused(pump, "off at 35 °C is not above on at 36 °C")
}
