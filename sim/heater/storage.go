package heater

import (
	"fmt"
	"math"
)

// Storage is a tank from the top of which hot water leaves while cold takes its
// place at the bottom. Heights are shares of its own, 0 the bottom and 1 the top,
// and are rounded to layers.
type Storage struct {
	Volume       float64 // above 0 to 10 [m³]
	Height       float64 // of the water, above 0 to 5 [m]
	Layers       int     // 4 to 64; see DefaultLayers
	Loss         float64 // through the jacket, over the whole height alike, 0 to 100 [W/K]
	Conductivity float64 // upright, of water and wall together, 0 to 50 [W/(m K)]; see StoredConductivity
	Mixed        float64 // share of the tank, from the bottom, that the cold jet stirs, 0 to 0.5 [-]
	Return       float64 // height at which a loop's water comes back, 0 to 0.8 [-]

	Main  *Stage // nil only with a coil
	Upper *Stage // a second element or burner above it; nil without
	Both  bool   // Main and Upper may run at once; otherwise Main waits while Upper runs
	Coil  *Coil  // nil without
}

// Stage is a source of heat with its thermostat.
type Stage struct {
	Source   Source
	Height   float64 // where its heat enters, from where it rises, 0 to 1 [-]
	Sensor   float64 // height of its thermostat, from Height to 1 [-]
	Setpoint float64 // switches off when the water there is as warm as this, 20 to 95 [°C]
	Band     float64 // and on when it has cooled by this, above 0 to 30 [K]
}

// DefaultLayers is the number of layers from which a day's heat out of a tank
// with twice as many differs by less than 1 %; a test holds it to that.
const DefaultLayers = 16

// StoredConductivity is the conductivity of a tank's water and steel wall
// together, upright.
//
//	k = k_water + k_steel π D s / (π D²/4)
//
// diameter D [m], above 0, and wall s [m]. Neither is checked.
//
// Source: conduction in parallel; steel 50 W/(m K), water 0.6 W/(m K), handbook
// values from memory. Example: D = 0.45 m, s = 2.5 mm: 1.7 W/(m K).
func StoredConductivity(diameter, wall float64) float64 { return 0.6 + 50*4*wall/diameter }

// Efficiencies are those of its stages, Main first, and of its coil, whose energy is
// the heat it gives.
func (s Storage) Efficiencies() []Efficiency {
	var all []Efficiency
	for _, stage := range []*Stage{s.Main, s.Upper} {
		if stage != nil {
			all = append(all, Efficiency{stage.Source.carrier(), stage.Source.rated()})
		}
	}
	if s.Coil != nil {
		all = append(all, Efficiency{s.Coil.Carrier, 1})
	}
	return all
}

func (s *Stage) check(name string, r *refusals) {
	if s.Source == nil {
		r.when(true, "%s: has no source of heat", name)
		return
	}
	s.Source.check(r)
	r.within(name+": height", s.Height, 0, 1, "")
	r.within(name+": height of the thermostat", s.Sensor, 0, 1, "")
	r.when(s.Sensor < s.Height, "%s: the thermostat at %g of the height stands below its heat at %g and would never feel it; put it level or higher", name, s.Sensor, s.Height)
	r.setpoint(name+": set point", s.Setpoint)
	r.above(name+": dead band", s.Band, 0, 30, " K")
	if h, ok := s.Source.(HeatPump); ok {
		r.when(h.MostWater < s.Setpoint, "%s: set to %g °C, but the heat pump stops at %g °C of water", name, s.Setpoint, h.MostWater)
	}
}

func (s *Storage) check() error {
	var r refusals
	r.above("volume", s.Volume, 0, 10, " m³")
	r.above("height", s.Height, 0, 5, " m")
	r.when(s.Layers < 4 || s.Layers > 64, "layers: %d; must be from 4 to 64", s.Layers)
	r.within("jacket loss", s.Loss, 0, 100, " W/K")
	r.within("upright conductivity", s.Conductivity, 0, 50, " W/(m K)")
	r.within("mixed share", s.Mixed, 0, 0.5, "")
	r.within("height of the return", s.Return, 0, 0.8, "")
	r.when(s.Main == nil && s.Coil == nil, "the tank has no source of heat")
	if s.Main != nil {
		s.Main.check("main", &r)
	}
	if s.Upper != nil {
		r.when(s.Main == nil, "the tank has an upper source but no main one; make it the main one")
		s.Upper.check("upper", &r)
		switch s.Upper.Source.(type) {
		case Element, Burner, nil:
		default:
			r.when(true, "upper: must be an element or a burner")
		}
		if s.Main != nil && s.Upper.Height < s.Main.Height {
			r.when(true, "upper: its heat enters at %g of the height, below that of the main source at %g", s.Upper.Height, s.Main.Height)
		}
	}
	if s.Coil != nil {
		s.Coil.check(&r)
	}
	return r.join()
}

// New makes a tank of the description, as hot throughout as its main thermostat
// lets it, or a lone coil.
func (s Storage) New(capacity float64) (Heater, error) {
	var r refusals
	r.capacity(capacity)
	if err := s.check(); err != nil {
		r = append(r, err)
	}
	if err := r.join(); err != nil {
		return nil, fmt.Errorf("storage heater: %w", err)
	}
	n := s.Layers
	below := min(int(math.Round(s.Return*float64(n))), n-2)
	t := &tank{
		layer:   s.Volume / float64(n),
		cell:    capacity * s.Volume / float64(n),
		layers:  float64(n),
		loss:    s.Loss,
		mixed:   int(math.Round(s.Mixed * float64(n))),
		both:    s.Both,
		coil:    s.Coil,
		next:    never,
		size:    make([]float64, n+1, n+2),
		conduct: s.Conductivity * float64(n*n) / (capacity * s.Height * s.Height),
	}
	t.upper.last = n
	if below > 0 {
		t.lower.last = below
		t.upper = chain{below + 1, n + 1}
		t.size = append(t.size, 0)
	}
	for i := range t.size {
		t.size[i] = 1
	}
	t.size[t.lower.first], t.size[t.upper.first] = 0, 0
	var start float64
	if s.Main != nil {
		start = s.Main.Setpoint
	} else {
		start = s.Coil.Most
	}
	t.temp = make([]float64, len(t.size))
	for i := range t.temp {
		t.temp[i] = start
	}
	t.scratch = make([]float64, len(t.size))
	t.volume = make([]float64, len(t.size))
	t.block = make([]int, len(t.size))
	if s.Main != nil {
		t.stages = append(t.stages, t.stage(s.Main, n, below))
	}
	if s.Upper != nil {
		t.stages = append(t.stages, t.stage(s.Upper, n, below))
	}
	if s.Coil != nil {
		t.coilPlug = plugAt(s.Coil.Height, n, below)
	}
	t.in.Air, t.in.Intake = start, start
	t.given = start
	t.control()
	t.schedule()
	return t, nil
}

func (t *tank) stage(s *Stage, n, below int) stage {
	electric, fuel, flue := s.Source.idle()
	g := stage{
		Stage: *s, plug: plugAt(s.Height, n, below), sensor: plugAt(s.Sensor, n, below),
		flue: flue, pilot: fuel * s.Source.rated(), target: s.Setpoint,
	}
	t.electric += electric
	t.fuel += fuel
	return g
}

// plugAt is the parcel that stays at a height. It is that between layers, since
// parcels there are always whole; just above the return's port for the port itself.
func plugAt(height float64, n, below int) int {
	i := min(max(int(math.Round(height*float64(n))), 1), n-1)
	if below == 0 || i < below {
		return i
	}
	if i == below {
		i++
	}
	return i + 1
}
