package main

import "pipelag/sim"

// traceDocument is a trace for other programs, in SI units.
type traceDocument struct {
	Version  string           `json:"version"`
	Scenario documentScenario `json:"scenario"`
	Layouts  []string         `json:"layouts"` // all of the scenario
	*sim.Trace
	Coefficients []pipeDocument `json:"coefficients,omitempty"` // in the order of pipes
	Assumptions  []assumption   `json:"assumptions"`
}

type pipeDocument struct {
	From         string                `json:"from"`
	To           string                `json:"to"`
	Tube         string                `json:"tube"`
	Coefficients []coefficientDocument `json:"coefficients"`
}

type coefficientDocument struct {
	Name    string  `json:"name"`
	Symbol  string  `json:"symbol"`
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Formula string  `json:"formula"`
	Source  string  `json:"source"`
}

func (t *traced) document() any {
	d := &traceDocument{Version: version(), Layouts: layoutNames(t.house), Trace: t.Trace, Assumptions: t.assumptions()}
	d.Scenario.Name, d.Scenario.SHA256 = t.scenario.Name, t.scenario.SHA256
	for _, p := range t.explained() {
		pipe := pipeDocument{From: p.From, To: p.To, Tube: p.Tube}
		for _, c := range p.Explained {
			pipe.Coefficients = append(pipe.Coefficients, coefficientDocument(c))
		}
		d.Coefficients = append(d.Coefficients, pipe)
	}
	return d
}
