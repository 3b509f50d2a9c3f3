// Package takeoff lists what a layout comes to before anything is simulated: the
// way to each fixture, what stands in it, the wait by plug flow, the pressure and
// flow at the tap, the velocity in each tube, and the limits met or broken.
//
// The wait is that of water pushed out as by a piston. The pipe wall's heat and
// mixing make it longer, by a quarter to a half and more; a simulated cold start
// tells.
package takeoff

import (
	"fmt"

	"pipelag/network"
	"pipelag/network/hydraulics"
	"pipelag/network/limits"
	"pipelag/network/sizing"
	"pipelag/units"
)

// Conditions are what a layout is taken off under.
type Conditions struct {
	Fixtures    []sizing.Fixture    // in the order of the layout's taps
	Cold        float64             // fixture units of what draws cold water alone
	Service     *hydraulics.Service // nil where no pressure is stated
	Hot         float64             // temperature of the hot water [°C]
	Code        sizing.Code
	Limits      limits.Book
	Conditioned []string // zones that are heated and cooled; none where the scenario calls none so
	Pumped      float64  // sent round the loop by a pump [m³/s]; 0 without
	Uncalled    bool     // the pump runs without being called
	Drawn       []Drawn  // by fixture, in a simulated cold start; nil where none was
}

// Drawn is what runs out of a tap in a cold start; infinite where that never ends.
type Drawn struct {
	Usable float64 // until it is usable [m³]
	Risen  float64 // until it is limits.HotRise warmer than it first came [m³]
}

// Takeoff is what a layout comes to.
type Takeoff struct {
	Layout      string
	Arrangement string
	Length      float64 // of all pipes [m]
	Volume      float64 // of all pipes [m³]
	Load        sizing.Load
	Fixtures    []Fixture
	Tubes       []Tube    // by pipe
	Problems    []Problem // what keeps part of it from being listed, or water from coming
	Cautions    []string
}

// Problem is one thing wrong.
type Problem struct {
	Fixture int // −1 if none in particular
	What    string
	Right   string // what would be right
}

// Fixture is what a layout comes to for one fixture.
type Fixture struct {
	Name       string
	Use        string
	Path       []int    // pipes from the heater to the tap
	Way        []string // nodes on the way, the heater's first
	Length     float64  // developed, from the heater [m]
	Equivalent float64  // straight length that loses as much as the fittings on the way, where a table lists them [m]
	Volume     float64  // stored on the way [m³]
	FromLoop   Stretch  // what lies beyond the loop; the whole way without one
	Still      float64  // pressure with nothing drawn [Pa]; meaningless where Alone is nil
	Peak       float64  // pressure at the code's demand [Pa]; likewise
	Alone      *State   // this tap open by itself; nil where no pressure is stated
	Together   *State   // all taps open at once
	Verdicts   []limits.Verdict
}

// Stretch is the last part of a way.
type Stretch struct {
	Pipes  []int
	Length float64 // [m]
	Volume float64 // [m³]
}

// State is a tap that runs.
type State struct {
	Flow       float64   // what the pressure passes, up to the rated flow [m³/s]
	Pressure   float64   // at the tap [Pa]
	Wait       float64   // until the stored water has left, by plug flow [s]; 0 where no water comes
	Velocities []float64 // by pipe of the path [m/s]
}

// Tube is what a layout comes to for one pipe.
type Tube struct {
	Pipe     network.Pipe
	Return   bool
	Serves   int     // fixtures behind it
	Units    float64 // hot fixture units behind it
	Demand   float64 // the code's [m³/s]
	Pumped   float64 // round the loop besides [m³/s]
	Velocity float64 // at both together [m/s]
	Loss     float64 // at that demand, to friction and fittings [Pa]; 0 where no pressure is stated
	Verdicts []limits.Verdict
}

// New takes a layout off. The error is for what leaves nothing to list; all
// else that is wrong stands in Problems, beside what could be listed.
func New(n *network.Network, c Conditions) (*Takeoff, error) {
	if len(c.Fixtures) != len(n.Taps) {
		return nil, fmt.Errorf("layout %q: %d fixtures for %d taps", n.Name, len(c.Fixtures), len(n.Taps))
	}
	if c.Drawn != nil && len(c.Drawn) != len(n.Taps) {
		return nil, fmt.Errorf("layout %q: %d drawn volumes for %d taps", n.Name, len(c.Drawn), len(n.Taps))
	}
	if err := n.Validate(); err != nil {
		return nil, err
	}
	t := &taking{network: n, Conditions: c, Takeoff: &Takeoff{Layout: n.Name, Arrangement: n.Arrangement, Length: n.Length(), Volume: n.Volume()}}
	t.measure()
	t.load()
	t.press()
	t.judge()
	t.caution()
	return t.Takeoff, nil
}

// taking is a takeoff under way.
type taking struct {
	*Takeoff
	Conditions
	network *network.Network
	loop    []bool              // by pipe
	loaded  bool                // the code's demand is known
	circuit *hydraulics.Circuit // nil where no pressure is known
}

func (t *taking) problem(fixture int, right, what string, args ...any) {
	t.Problems = append(t.Problems, Problem{fixture, fmt.Sprintf(what, args...), right})
}

// measure lists ways, lengths and volumes.
func (t *taking) measure() {
	n := t.network
	t.loop = make([]bool, len(n.Pipes))
	for _, i := range n.Loop() {
		t.loop[i] = true
	}
	for i, p := range n.Pipes {
		tube := Tube{Pipe: p}
		if t.loop[i] {
			tube.Pumped = t.Pumped
			tube.Velocity = tube.Pumped / p.Tube.Volume()
		}
		t.Tubes = append(t.Tubes, tube)
	}
	for _, i := range n.Return {
		t.Tubes[i].Return = true
	}
	for f, asks := range t.Conditions.Fixtures {
		fixture := Fixture{Name: asks.Name, Use: asks.Use, Path: n.Path(f), Way: []string{n.Pipes[n.Path(f)[0]].From}}
		for _, i := range fixture.Path {
			p := n.Pipes[i]
			t.Tubes[i].Serves++
			fixture.Way = append(fixture.Way, p.To)
			fixture.Length += p.Length
			fixture.Volume += p.Volume()
			if !t.loop[i] {
				fixture.FromLoop.Pipes = append(fixture.FromLoop.Pipes, i)
				fixture.FromLoop.Length += p.Length
				fixture.FromLoop.Volume += p.Volume()
			}
		}
		t.Takeoff.Fixtures = append(t.Takeoff.Fixtures, fixture)
	}
}

// load works out the code's demand and the velocities at it.
func (t *taking) load() {
	load, err := sizing.NewLoad(t.network, t.Code, t.Conditions.Fixtures, t.Cold)
	if err != nil {
		t.problem(-1, "give the fixture a use the code lists, or leave its demand out", "no demand by code: %v", err)
		return
	}
	t.loaded, t.Load = true, load
	for i := range t.Tubes {
		tube := &t.Tubes[i]
		tube.Units, tube.Demand = load.Units[i], load.Pipes[i]
		tube.Velocity = (tube.Demand + tube.Pumped) / tube.Pipe.Tube.Volume()
	}
}

// press works out pressures and the flows they pass.
func (t *taking) press() {
	if t.Service == nil {
		return
	}
	taps := make([]hydraulics.Tap, len(t.Conditions.Fixtures))
	for f, asks := range t.Conditions.Fixtures {
		taps[f] = hydraulics.Tap{Rated: asks.Rated, Needs: asks.Needs}
	}
	circuit, err := hydraulics.NewCircuit(t.network, *t.Service, taps, t.Hot)
	if err != nil {
		t.problem(-1, "state pressures, flows and heights that a house has", "no pressures: %v", err)
		return
	}
	t.circuit = circuit
	t.Cautions = append(t.Cautions, circuit.Cautions()...)
	solver := circuit.NewSolver()
	wanted, got := make([]float64, len(taps)), make([]float64, len(taps))
	for f := range taps {
		clear(wanted)
		wanted[f] = taps[f].Rated
		if t.solve(solver, wanted, got) {
			t.Takeoff.Fixtures[f].Alone = t.state(solver, f, got[f])
		}
	}
	for f := range taps {
		wanted[f] = taps[f].Rated
	}
	together := t.solve(solver, wanted, got)
	var peak []float64
	if t.loaded {
		peak = circuit.Pressures(t.Load.Hot, t.Load.Cold(), t.Load.Pipes)
		for i := range t.Tubes {
			t.Tubes[i].Loss = circuit.Loss(i, t.Tubes[i].Demand)
		}
	}
	for f := range t.Takeoff.Fixtures {
		fixture := &t.Takeoff.Fixtures[f]
		fixture.Still = circuit.Still(f)
		for _, i := range fixture.Path {
			fixture.Equivalent += circuit.Equivalent(i)
		}
		if together {
			fixture.Together = t.state(solver, f, got[f])
		}
		if peak != nil {
			fixture.Peak = peak[f]
		}
		switch {
		case fixture.Still <= 0:
			t.problem(f, "lower it, or raise the pressure with a pump", "%q stands higher than the street's pressure lifts water, by %s", fixture.Name, units.Both(-fixture.Still, units.Pressure))
		case peak != nil && peak[f] > 0 && peak[f] < taps[f].Needs:
			t.Cautions = append(t.Cautions, fmt.Sprintf("%q is left %s at the code's demand; it needs %s for its flow", fixture.Name, units.Both(peak[f], units.Pressure), units.Both(taps[f].Needs, units.Pressure)))
		case peak != nil && peak[f] <= 0:
			t.problem(f, "use wider tubes on its way, or raise the street's pressure", "no pressure is left at %q at the code's demand: %s are wanting", fixture.Name, units.Both(-peak[f], units.Pressure))
		}
	}
}

// solve finds the flows with the wanted ones open.
func (t *taking) solve(solver *hydraulics.Solver, wanted, got []float64) bool {
	err := solver.Flow(wanted, 0, got)
	if err != nil {
		t.problem(-1, "report it with the scenario", "flows were not found: %v", err)
	}
	return err == nil
}

// state is that of one tap as the solver left it.
func (t *taking) state(solver *hydraulics.Solver, f int, flow float64) *State {
	fixture := &t.Takeoff.Fixtures[f]
	s := &State{Flow: flow, Pressure: solver.PressureAt(f)}
	if s.Flow > 0 {
		s.Wait = fixture.FromLoop.Volume / s.Flow
	}
	for _, i := range fixture.Path {
		s.Velocities = append(s.Velocities, solver.Velocity(i, solver.PipeFlow(i)))
	}
	return s
}
