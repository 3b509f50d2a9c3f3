package main

import (
	"math"

	"pipelag/network/limits"
	"pipelag/network/takeoff"
	"pipelag/units"
)

// takeoffName is the takeoff's file in a folder of results.
const takeoffName = "takeoff.json"

// takeoffDocument is a takeoff for other programs, in SI units.
type takeoffDocument struct {
	Version     string           `json:"version"`
	Scenario    documentScenario `json:"scenario"`
	Code        string           `json:"code"`
	Layouts     []offDocument    `json:"layouts"`
	LeftOut     []string         `json:"left_out"` // layouts that could not be taken off, and why
	Warnings    []string         `json:"warnings"`
	Assumptions []assumption     `json:"assumptions"`
}

type offDocument struct {
	Name        string               `json:"name"`
	Arrangement string               `json:"arrangement"`
	Length      float64              `json:"length_m"`
	Volume      float64              `json:"volume_L"`
	HotDemand   *float64             `json:"hot_demand_L_per_s"` // null where the code knows none
	AllDemand   *float64             `json:"demand_L_per_s"`     // hot and cold
	Fixtures    []offFixtureDocument `json:"fixtures"`
	Tubes       []offTubeDocument    `json:"tubes"`
	Problems    []problemDocument    `json:"problems"`
	Cautions    []string             `json:"cautions"`
}

type offFixtureDocument struct {
	Name       string            `json:"name"`
	Use        string            `json:"use"`
	Way        []string          `json:"way"`
	Pipes      []int             `json:"pipes"` // of tubes
	Length     float64           `json:"length_m"`
	Equivalent float64           `json:"fittings_m"` // straight length that loses as much as the fittings
	Stored     float64           `json:"stored_L"`
	BeyondLoop float64           `json:"stored_beyond_loop_L"`
	Plug       *float64          `json:"plug_wait_s"`
	Cold       *float64          `json:"cold_wait_s"`
	Drawn      *float64          `json:"cold_drawn_L"`
	Still      *float64          `json:"still_kPa"`
	Peak       *float64          `json:"demand_kPa"`
	Alone      *openDocument     `json:"alone"`
	Together   *openDocument     `json:"together"`
	Verdicts   []verdictDocument `json:"limits"`
}

type openDocument struct {
	Flow       float64   `json:"flow_L_per_s"`
	Pressure   float64   `json:"pressure_kPa"`
	Velocities []float64 `json:"velocities_m_per_s"` // by pipe of the way
}

type offTubeDocument struct {
	From     string            `json:"from"`
	To       string            `json:"to"`
	Tube     string            `json:"tube"`
	Size     string            `json:"size"`
	Length   float64           `json:"length_m"`
	Volume   float64           `json:"volume_L"`
	Route    [][3]float64      `json:"route_m"` // from its beginning by its turns to its end; null where nobody said
	Return   bool              `json:"return"`
	Serves   int               `json:"serves"`
	Units    float64           `json:"fixture_units"`
	Demand   float64           `json:"demand_L_per_s"`
	Pumped   float64           `json:"pumped_L_per_s"`   // round the loop, besides
	Velocity float64           `json:"velocity_m_per_s"` // at both together
	Loss     float64           `json:"loss_kPa"`
	Verdicts []verdictDocument `json:"limits"`
}

type verdictDocument struct {
	Code     string   `json:"code"`
	Clause   string   `json:"clause"`
	Source   string   `json:"source"`
	Status   string   `json:"status"`
	Quantity string   `json:"quantity"`
	Material string   `json:"material,omitempty"` // of tubes that it is asked of
	Use      string   `json:"use,omitempty"`      // of fixtures, or what tubes are
	Size     string   `json:"size,omitempty"`     // of tubes; for insulation, the smallest
	Unit     string   `json:"unit"`               // of asked and found
	Asked    float64  `json:"asked"`
	At       float64  `json:"at_L_per_s,omitempty"` // the flow at which a pressure is asked
	Found    *float64 `json:"found"`                // null where it has no end
	Outcome  string   `json:"outcome"`
	Why      string   `json:"why,omitempty"`
	Beside   string   `json:"beside,omitempty"` // what the clause asks besides, which nothing is held against
}

type problemDocument struct {
	Fixture string `json:"fixture,omitempty"`
	What    string `json:"what"`
	Right   string `json:"right"`
}

const kilopascal = 1000.0 // [Pa]

func (t *takenOff) document() *takeoffDocument {
	d := &takeoffDocument{
		Version: version(), Code: t.scenario.Conditions().Code.Name,
		Layouts: []offDocument{}, LeftOut: []string{},
		Warnings: append([]string{}, t.scenario.Warnings(t.house.Layouts...)...), Assumptions: t.assumed(),
	}
	d.Scenario.Name, d.Scenario.SHA256 = t.scenario.Name, t.scenario.SHA256
	for i := range t.layouts {
		d.Layouts = append(d.Layouts, t.layouts[i].document())
	}
	for _, err := range t.leftOut {
		d.LeftOut = append(d.LeftOut, err.Error())
	}
	return d
}

func (l *layoutOff) document() offDocument {
	d := offDocument{
		Name: l.Layout, Arrangement: l.Arrangement, Length: l.Length, Volume: l.Volume / thousandth,
		Problems: []problemDocument{}, Cautions: l.Cautions,
	}
	loaded := l.Load.Pipes != nil
	if loaded {
		d.HotDemand, d.AllDemand = in(l.Load.Hot, thousandth), in(l.Load.House, thousandth)
	}
	for i := range l.Fixtures {
		f := &l.Fixtures[i]
		row := offFixtureDocument{
			Name: f.Name, Use: f.Use, Way: f.Way, Pipes: f.Path, Length: f.Length, Equivalent: f.Equivalent,
			Stored: f.Volume / thousandth, BeyondLoop: f.FromLoop.Volume / thousandth,
			Alone: openDocumentOf(f.Alone), Together: openDocumentOf(f.Together), Verdicts: verdictDocuments(f.Verdicts),
		}
		if start := l.starts[i]; start != nil {
			row.Cold, row.Drawn = in(start.Wait, 1), in(start.Drawn, thousandth)
		}
		if f.Alone != nil {
			row.Still = in(f.Still, kilopascal)
			if f.Alone.Flow > 0 {
				row.Plug = in(f.Alone.Wait, 1)
			}
			if loaded {
				row.Peak = in(f.Peak, kilopascal)
			}
		}
		d.Fixtures = append(d.Fixtures, row)
	}
	for i, t := range l.Tubes {
		var route [][3]float64
		for _, at := range l.network.Route(i) {
			route = append(route, [3]float64{at.X, at.Y, at.Z})
		}
		d.Tubes = append(d.Tubes, offTubeDocument{
			From: t.Pipe.From, To: t.Pipe.To, Tube: t.Pipe.Tube.Kind, Size: t.Pipe.Tube.Size,
			Length: t.Pipe.Length, Volume: t.Pipe.Volume() / thousandth, Route: route, Return: t.Return, Serves: t.Serves, Units: t.Units,
			Demand: t.Demand / thousandth, Pumped: t.Pumped / thousandth, Velocity: t.Velocity, Loss: t.Loss / kilopascal, Verdicts: verdictDocuments(t.Verdicts),
		})
	}
	for _, p := range l.Problems {
		row := problemDocument{What: p.What, Right: p.Right}
		if p.Fixture >= 0 {
			row.Fixture = l.Fixtures[p.Fixture].Name
		}
		d.Problems = append(d.Problems, row)
	}
	return d
}

// in is a value that is known, in a unit.
func in(si, unit float64) *float64 {
	v := si / unit
	return &v
}

func openDocumentOf(s *takeoff.State) *openDocument {
	if s == nil {
		return nil
	}
	return &openDocument{s.Flow / thousandth, s.Pressure / kilopascal, s.Velocities}
}

func verdictDocuments(verdicts []limits.Verdict) []verdictDocument {
	all := []verdictDocument{}
	for _, v := range verdicts {
		d := v.Limit.Quantity.Dimension()
		row := verdictDocument{
			Code: v.Limit.Code, Clause: v.Limit.Clause, Source: v.Limit.Source, Status: v.Limit.Status,
			Quantity: v.Limit.Quantity.String(), Material: v.Limit.Material, Use: v.Limit.Use, Size: v.Limit.Size, Unit: units.SI.Unit(d), Asked: units.SI.Convert(v.Asked, d), At: v.Limit.Flow / thousandth,
			Outcome: v.Outcome.String(), Why: v.Why, Beside: v.Beside,
		}
		if !math.IsInf(v.Found, 0) {
			row.Found = in(units.SI.Convert(v.Found, d), 1)
		}
		all = append(all, row)
	}
	return all
}
