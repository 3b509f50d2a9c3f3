package sim

import (
	"pipelag/network/heat"

	"gonum.org/v1/gonum/floats"
)

// TracePipe is one pipe on the way to the tap, with its coefficients: at the flow of
// the trace, with water as the engine takes it, and for a loss from the set point to
// the pipe's mean surroundings of the year.
type TracePipe struct {
	From    string  `json:"from"`
	To      string  `json:"to"`
	Length  float64 `json:"length_m"`
	Inside  float64 `json:"inside_mm"`
	Outside float64 `json:"outside_mm"`
	Water   float64 `json:"water_J_per_mK"`
	Wall    float64 `json:"wall_J_per_mK"`
	Inner   float64 `json:"inner_W_per_mK"` // water to the first wall node
	Outer   float64 `json:"outer_W_per_mK"` // last wall node to the surroundings

	Tube      string             `json:"-"` // kind and size
	Explained []heat.Coefficient `json:"-"` // all of them, with formula and source
}

// pipe is pipe i of the way.
func (t *tracer) pipe(i int) (TracePipe, error) {
	p := t.layout.Network.Pipes[i]
	line, err := p.Line()
	if err != nil {
		return TracePipe{}, err
	}
	ambient := t.Air(t.Zone(i), 0)
	excess := t.house.Heater.Setpoint - ambient
	return TracePipe{
		From: p.From, To: p.To, Length: p.Length,
		Inside: p.Tube.Inside * 1e3, Outside: p.Tube.Outside * 1e3,
		Water: line.WaterCapacity(t.water), Wall: floats.Sum(line.WallCapacity()),
		Inner: line.Inner(t.water, t.flow), Outer: line.Outer(excess, ambient),
		Tube: p.Tube.Kind + " " + p.Tube.Size, Explained: line.Explain(t.water, t.flow, excess, ambient),
	}, nil
}
