package hydraulics

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"pipelag/network"
	"pipelag/network/heat"
)

// Tap is what a fixture asks of the pipes. It holds its flow to Rated where the
// pressure is Needs or more, and is an orifice below that.
//
//	q = min(wanted, Rated √(p/Needs))
type Tap struct {
	Rated float64 // [m³/s]
	Needs float64 // gauge pressure at the tap for its rated flow [Pa]
}

// Circuit is a layout made ready for flow. It is read only once made, and may be
// used by several solvers at once.
type Circuit struct {
	network  *network.Network
	supply   supply
	water    heat.Water
	conduits []conduit
	lift     []float64 // pressure lost to height by pipe [Pa]
	needs    []float64 // by fixture, pressure per flow squared [Pa/(m³/s)²]
}

// NewCircuit makes a layout ready, taps[f] for its fixture f, with the water
// behind the heater at hot [°C].
func NewCircuit(n *network.Network, s Service, taps []Tap, hot float64) (*Circuit, error) {
	u, err := newSupply(s)
	if err != nil {
		return nil, err
	}
	water, err := heat.WaterAt(hot)
	if err != nil {
		return nil, err
	}
	if len(taps) != len(n.Taps) {
		return nil, fmt.Errorf("layout %q: %d taps for %d fixtures", n.Name, len(taps), len(n.Taps))
	}
	c := &Circuit{network: n, supply: u, water: water}
	var wrong []error
	for f, t := range taps {
		if !(t.Rated > 0 && t.Rated <= 0.1 && t.Needs > 0 && t.Needs <= 1e6) {
			wrong = append(wrong, fmt.Errorf("fixture %d: a rated flow of %g m³/s at %g Pa; both lie above 0, up to 0.1 m³/s and 1 MPa", f, t.Rated, t.Needs))
		}
		c.needs = append(c.needs, t.Needs/(t.Rated*t.Rated))
	}
	for i, p := range n.Pipes {
		c.conduits = append(c.conduits, newConduit(water, p.Tube, p.Length, p.Fittings))
		c.lift = append(c.lift, water.Density*gravity*n.Climb(i))
	}
	return c, errors.Join(wrong...)
}

// Velocity is the mean speed in a pipe at a flow [m³/s] [m/s].
func (c *Circuit) Velocity(pipe int, flow float64) float64 { return flow / c.conduits[pipe].area }

// Loss is what a pipe loses to friction and fittings at a flow [m³/s] [Pa].
func (c *Circuit) Loss(pipe int, flow float64) float64 {
	loss, _ := c.conduits[pipe].loss(flow)
	return loss
}

// Equivalent is the straight length with the loss of a pipe's fittings [m]; 0
// where no table lists them and they go by loss coefficient.
func (c *Circuit) Equivalent(pipe int) float64 { return c.conduits[pipe].added }

// Still is the pressure at a fixture with nothing drawn [Pa]; below 0 it stands
// higher than the street's pressure lifts water.
func (c *Circuit) Still(fixture int) float64 {
	p := c.supply.still
	for i := c.network.Taps[fixture]; i >= 0; i = c.network.Pipes[i].Feed {
		p -= c.lift[i]
	}
	return p
}

// Pressures gives the pressure at every fixture [Pa] for stated flows [m³/s]:
// hot water leaving the heater, cold water leaving before it, and flow by pipe.
// This is how the codes size: each pipe has a demand of its own, and demands do
// not add up along a trunk. Below 0 no pressure is left.
func (c *Circuit) Pressures(hot, cold float64, flows []float64) []float64 {
	start, _ := c.supply.at(hot, cold)
	at := make([]float64, len(c.conduits))
	for i, p := range c.network.Pipes {
		from := start
		if p.Feed >= 0 {
			from = at[p.Feed]
		}
		at[i] = from - c.lift[i] - c.Loss(i, flows[i])
	}
	left := make([]float64, len(c.network.Taps))
	for f, i := range c.network.Taps {
		left[f] = at[i]
	}
	return left
}

// Cautions tells what the figures lean on: tubes whose fittings no table lists.
func (c *Circuit) Cautions() []string {
	var names []string
	inserts := false
	for _, p := range c.network.Pipes {
		name := p.Tube.Kind + " " + p.Tube.Size
		if _, _, ok := fittingLoss(p.Tube, p.Fittings); ok || p.Fittings == (network.Fittings{}) {
			continue
		}
		inserts = inserts || inserted(p.Tube)
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if names == nil {
		return nil
	}
	text := "fittings of " + strings.Join(names, ", ") + ": no table of their equivalent lengths; they go by loss coefficients of screwed fittings, as for gas pipe (2018 IRC table A.2.2)"
	if inserts {
		text += "; insert fittings narrow the bore and may lose several times as much, from memory, so less pressure may be left than is shown; a tube bent round its corners loses less"
	}
	return []string{text}
}

// finite refuses what no flow can be.
func finite(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }
