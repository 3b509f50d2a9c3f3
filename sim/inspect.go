package sim

import "pipelag/network/heat"

// PipeCoefficients are the numbers by which one pipe on the way to a tap takes,
// holds and loses heat, with the formula and the source of each.
type PipeCoefficients struct {
	From, To string
	Tube     string // kind and size
	All      []heat.Coefficient
}

// Inspect explains the pipes of a trace, in their order, for what TracePipe
// states: the flow of the trace, water as the engine takes it, and a loss from
// the set point to the pipe's mean surroundings of the year.
func Inspect(h *House, o TraceOptions) ([]PipeCoefficients, error) {
	layout := &h.Layouts[o.Layout]
	if o.Flow == 0 {
		o.Flow = h.Fixtures[o.Fixture].Flow
	}
	p, err := newPlant(h, layout, model{grid: o.Grid})
	if err != nil {
		return nil, err
	}
	var list []PipeCoefficients
	for _, i := range p.paths[o.Fixture] {
		pipe := layout.Network.Pipes[i]
		line, err := pipe.Line()
		if err != nil {
			return nil, err
		}
		ambient := annualMean(h.Climate.Zones[p.conduits[i].zone].Temperature)
		list = append(list, PipeCoefficients{
			From: pipe.From, To: pipe.To, Tube: pipe.Tube.Kind + " " + pipe.Tube.Size,
			All: line.Explain(p.water, o.Flow, h.Heater.Setpoint-ambient, ambient),
		})
	}
	return list, nil
}
