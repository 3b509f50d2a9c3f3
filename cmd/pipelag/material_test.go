package main

import (
	"bytes"
	"encoding/json"
	"testing"

	"pipelag/plots"
	"pipelag/scenarios"
)

// Whatever a file of a takeoff holds, its plans are drawn or refused.
func FuzzReadTakeoff(f *testing.F) {
	s, err := scenarios.LoadEmbedded("flat")
	if err != nil {
		f.Fatal(err)
	}
	house := s.House()
	house.Layouts = house.Layouts[2:]
	d := newTakenOff(s, &house).document()
	d.Assumptions = nil
	for i := range d.Layouts[0].Fixtures {
		d.Layouts[0].Fixtures[i].Verdicts = nil
	}
	for i := range d.Layouts[0].Tubes {
		d.Layouts[0].Tubes[i].Verdicts = nil
	}
	text, err := json.Marshal(d)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add(bytes.ReplaceAll(text, []byte(`"pipes":[0`), []byte(`"pipes":[9`)))
	f.Add(bytes.ReplaceAll(text, []byte(`"route_m":[[`), []byte(`"route_m":[[1e300,1e-300,-1e308],[`)))
	f.Add(bytes.ReplaceAll(text, []byte(`"length_m":`), []byte(`"length_m":-`)))
	f.Add([]byte(`{"code":"x"}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		m := new(material)
		if m.add(text, &heading{Code: []byte("1")}, "takeoff.json") != nil {
			return
		}
		for _, p := range m.Plans {
			figure, err := plots.NewPlan(m.set(plots.Set{}), p)
			if err != nil {
				continue
			}
			if err := figure.Write(new(bytes.Buffer), plots.SVG); err != nil {
				t.Error(err)
			}
		}
	})
}
