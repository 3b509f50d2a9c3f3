package heater

import (
	"fmt"
	"math"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const (
	water  = 4.13e6         // [J/(m³ K)]
	gallon = 3.785411784e-3 // [m³]
	gpm    = gallon / 60    // [m³/s]
)

// electric is a tank with one element at the bottom and nothing else.
func electric() Storage {
	return Storage{
		Volume: 0.19, Height: 1.2, Layers: 20,
		Main: &Stage{Source: Element{4500}, Height: 0.1, Sensor: 0.3, Setpoint: 50, Band: 5},
	}
}

func built(t require.TestingT, k Kind) Heater {
	h, err := k.New(water)
	require.NoError(t, err)
	return h
}

// unbalanced is the heat a heater has lost track of, over what it handled.
func unbalanced(h Heater, stored float64) float64 {
	a := h.Account()
	scale := math.Abs(a.Heated) + math.Abs(a.Given) + math.Abs(stored) + 1
	return (a.Heated + a.Stirred - a.Given - a.Jacket - a.Flue - (h.Stored() - stored)) / scale
}

// everyKind is one heater of each kind with all its parts.
func everyKind() map[string]Kind {
	pair := electric()
	pair.Loss, pair.Conductivity, pair.Mixed = 1.3, 1.7, 0.1
	pair.Upper = &Stage{Source: Element{4500}, Height: 0.7, Sensor: 0.75, Setpoint: 50, Band: 5}
	gas := electric()
	gas.Loss, gas.Conductivity, gas.Return = 2, 1.7, 0.5
	gas.Main = &Stage{Source: Burner{Input: 12000, Efficiency: 0.78, Flue: 2, Pilot: 100, Electronics: 2}, Height: 0, Sensor: 0.3, Setpoint: 52, Band: 6}
	pump := pair
	pump.Both = true
	pump.Return = 0.3
	pump.Main = &Stage{Source: HeatPump{Power: 500, COP: UsualCOP, LeastAir: 5, MostWater: 60, Electronics: 3}, Height: 0, Sensor: 0.3, Setpoint: 52, Band: 4}
	sun := pair
	sun.Coil = &Coil{Carrier: Sun, Height: 0.2, Most: 80}
	for m := range sun.Coil.Output {
		for h := 8; h < 17; h++ {
			sun.Coil.Output[m][h] = 1500
		}
	}
	return map[string]Kind{
		"held":     Held{Setpoint: 50, Loss: 1.3, Efficiency: 2, Carrier: Electricity},
		"elements": pair, "gas": gas, "heat pump": pump, "sun": sun,
		"instantaneous": Instantaneous{
			Setpoint: 50, Power: 40e3, Efficiency: 0.82, Carrier: Gas, LeastFlow: 0.5 * gpm,
			Delay: 3, Exchanger: 6000, Loss: 1, Electronics: 5,
		},
	}
}

// Heat balances and stays within physical bounds whatever is drawn, and an
// observer who stops at Next sees what one who does not would be charged for.
func TestHeatBalances(t *testing.T) {
	for name, kind := range everyKind() {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				h := built(t, kind)
				stored := h.Stored()
				now, seen := 0.0, 0.0
				for range rapid.IntRange(1, 60).Draw(t, "phases") {
					in := Inflow{
						Cold: rapid.Float64Range(2, 25).Draw(t, "cold"), Back: rapid.Float64Range(5, 60).Draw(t, "back"),
						Air: rapid.Float64Range(0, 30).Draw(t, "air"), Intake: rapid.Float64Range(-10, 30).Draw(t, "intake"),
					}
					if rapid.Bool().Draw(t, "drawn") {
						in.Drawn = rapid.Float64Range(1e-6, 3e-4).Draw(t, "flow")
					}
					if rapid.Bool().Draw(t, "looped") {
						in.Looped = rapid.Float64Range(1e-6, 2e-4).Draw(t, "loop")
						in.Stir = 20
					}
					h.Meet(in)
					end := now + rapid.OneOf(rapid.Float64Range(0, 100), rapid.Float64Range(0, 20000)).Draw(t, "time")
					for now < end {
						stop := min(end, h.Next())
						out := h.Outlet()
						seen += water * (stop - now) * (in.Drawn*(out-in.Cold) + in.Looped*(out-in.Back))
						before := h.Account().Energy
						h.Advance(stop)
						for c, energy := range h.Account().Energy {
							if energy < before[c] {
								t.Fatalf("%g J of %s given back", before[c]-energy, Carrier(c))
							}
						}
						now = stop
					}
					if o := h.Outlet(); !(o > 0 && o < 100) {
						t.Fatalf("outlet %g °C", o)
					}
				}
				check.Within(t, 0, unbalanced(h, stored), 1e-11)
				check.Within(t, 0, (seen-h.Account().Given)/(math.Abs(seen)+1), 1e-9, "heat given, as seen from outside")
			})
		})
	}
}

// Any tank that is not refused keeps its heat, down to a litre with a torrent
// through it.
func TestAnyTank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0, 1)
		s := Storage{
			Volume: rapid.Float64Range(1e-3, 1).Draw(t, "volume"), Height: rapid.Float64Range(0.1, 3).Draw(t, "height"),
			Layers: rapid.IntRange(4, 64).Draw(t, "layers"), Loss: rapid.Float64Range(0, 10).Draw(t, "loss"),
			Conductivity: rapid.Float64Range(0, 50).Draw(t, "conductivity"),
			Mixed:        rapid.Float64Range(0, 0.5).Draw(t, "mixed"), Return: rapid.Float64Range(0, 0.8).Draw(t, "return"),
			Both: rapid.Bool().Draw(t, "both"),
		}
		low := share.Draw(t, "main height")
		s.Main = &Stage{
			Source: Burner{Input: rapid.Float64Range(10, 2e5).Draw(t, "input"), Efficiency: 0.8, Flue: rapid.Float64Range(0, 5).Draw(t, "flue")},
			Height: low, Sensor: low + (1-low)*share.Draw(t, "main sensor"), Setpoint: 60, Band: rapid.Float64Range(0.1, 20).Draw(t, "band"),
		}
		if rapid.Bool().Draw(t, "upper") {
			high := low + (1-low)*share.Draw(t, "upper height")
			s.Upper = &Stage{Source: Element{Power: 3000}, Height: high, Sensor: high + (1-high)*share.Draw(t, "upper sensor"), Setpoint: 65, Band: 5}
		}
		h := built(t, s)
		stored := h.Stored()
		now := 0.0
		for range 20 {
			h.Meet(Inflow{
				Drawn: max(0, rapid.Float64Range(-1e-3, 1e-3).Draw(t, "drawn")), Cold: 10,
				Looped: max(0, rapid.Float64Range(-1e-3, 1e-3).Draw(t, "looped")), Back: rapid.Float64Range(10, 60).Draw(t, "back"),
				Air: 20, Intake: 20,
			})
			now += rapid.Float64Range(0, 500).Draw(t, "time")
			h.Advance(now)
		}
		// A litre with a torrent through it is filled ten thousand times, each with its roundings:
		// it is held to what the books of a year are.
		check.Within(t, 0, unbalanced(h, stored), 1e-9)
		tank := h.(*tank)
		volume := 0.0
		for i, v := range tank.size {
			volume += v
			if i > 0 && tank.temp[i] < tank.temp[i-1]-1e-6 && v > usedUp && tank.size[i-1] > usedUp && tank.settled == tank.now {
				t.Fatalf("inverted: %.6f", tank.temp)
			}
		}
		check.Within(t, float64(s.Layers), volume, 1e-9, "water is neither made nor lost")
	})
}

// Stopping in between, where nothing happens, changes nothing but rounding
// while flows are zero, and little otherwise.
func TestStopsDoNotMatter(t *testing.T) {
	for name, kind := range everyKind() {
		t.Run(name, func(t *testing.T) {
			run := func(stops int) (Account, float64) {
				h := built(t, kind)
				now := 0.0
				for i := range 40 {
					in := Inflow{Cold: 12, Air: 20, Intake: 20}
					length := 5000.0
					if i%2 == 0 {
						in.Drawn, length = 1e-4, 300
					}
					h.Meet(in)
					for k := range stops {
						h.Advance(now + length*float64(k+1)/float64(stops))
					}
					now += length
				}
				return h.Account(), h.Stored()
			}
			one, s1 := run(1)
			many, s2 := run(37)
			check.Within(t, 1, many.Given/one.Given, 2e-3)
			check.Within(t, 1, many.Heated/one.Heated, 5e-3)
			if s1 != 0 {
				check.Within(t, 1, s2/s1, 1e-2)
			}
		})
	}
}

// The numbers given as examples in the comments.
func TestExampleNumbers(t *testing.T) {
	check.Within(t, 1.7, StoredConductivity(0.45, 2.5e-3), 0.05)
	check.Within(t, 2.21, UsualCOP.At(53, 20), 0.005)
	check.Within(t, 3.3, UsualCOP.At(27, 20), 1e-12)
	check.Within(t, 1, UsualCOP.At(95, -30), 0)
	// In proportion everywhere: one and a half times as much where it is rated is so too with
	// warmer water.
	check.Within(t, 1.5*UsualCOP.At(53, 15), UsualCOP.As(1.5*3.3).At(53, 15), 1e-12)
}

func TestRefusals(t *testing.T) {
	change := func(f func(*Storage)) Kind {
		s := electric()
		m := *s.Main
		s.Main = &m
		f(&s)
		return s
	}
	instant := func(f func(*Instantaneous)) Kind {
		h := everyKind()["instantaneous"].(Instantaneous)
		f(&h)
		return h
	}
	cases := map[string]struct {
		kind Kind
		says string
	}{
		"held, no efficiency":    {Held{Setpoint: 50, Loss: 1}, "efficiency"},
		"held, NaN":              {Held{Setpoint: math.NaN(), Efficiency: 1}, "set point"},
		"no volume":              {change(func(s *Storage) { s.Volume = 0 }), "volume"},
		"endless volume":         {change(func(s *Storage) { s.Volume = math.Inf(1) }), "volume"},
		"no power":               {change(func(s *Storage) { s.Main.Source = Element{} }), "element's power"},
		"no band":                {change(func(s *Storage) { s.Main.Band = 0 }), "dead band"},
		"sensor below":           {change(func(s *Storage) { s.Main.Sensor = 0.05 }), "never feel it"},
		"no source":              {change(func(s *Storage) { s.Main = nil }), "no source of heat"},
		"empty stage":            {change(func(s *Storage) { s.Main.Source = nil }), "no source of heat"},
		"upper below":            {change(func(s *Storage) { s.Upper = &Stage{Element{1}, 0, 0.5, 50, 5} }), "below that of the main"},
		"upper heat pump":        {change(func(s *Storage) { s.Upper = &Stage{HeatPump{}, 0.5, 0.5, 50, 5} }), "must be an element or a burner"},
		"heat pump set too high": {change(func(s *Storage) { s.Main.Source = HeatPump{Power: 500, COP: UsualCOP, MostWater: 45} }), "stops at 45"},
		"burner above one":       {change(func(s *Storage) { s.Main.Source = Burner{Input: 1, Efficiency: 1.1} }), "efficiency"},
		"coil on gas":            {change(func(s *Storage) { s.Coil = &Coil{Carrier: Gas, Most: 80} }), "sun or wood"},
		"coil NaN": {change(func(s *Storage) {
			s.Coil = &Coil{Carrier: Sun, Most: 80}
			s.Coil.Output[3][4] = math.NaN()
		}), "month 4, hour 4"},
		"instantaneous, no power": {instant(func(h *Instantaneous) { h.Power = 0 }), "power"},
		"instantaneous, wood":     {instant(func(h *Instantaneous) { h.Carrier = Wood }), "not on wood"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			_, err := c.kind.New(water)
			require.ErrorContains(t, err, c.says)
		})
	}
	_, err := electric().New(math.NaN())
	require.ErrorContains(t, err, "heat capacity of water")
}

// A bath from a tank that is nearly too small for it.
func ExampleStorage() {
	h, err := Storage{
		Volume: 0.15, Height: 1.1, Layers: DefaultLayers, Loss: 1.2, Conductivity: StoredConductivity(0.42, 2.5e-3), Mixed: 0.1,
		Main: &Stage{Source: Element{Power: 3000}, Height: 0.1, Sensor: 0.3, Setpoint: 55, Band: 5},
	}.New(4.13e6)
	if err != nil {
		fmt.Println(err)
		return
	}
	flow := 0.2e-3 // [m³/s]
	h.Meet(Inflow{Drawn: flow, Cold: 12, Air: 20})
	for now := 0.0; now < 750; {
		if now == 0 || now > 650 {
			fmt.Printf("%3.0f L drawn: %.0f °C\n", now*flow*1000, h.Outlet())
		}
		now = min(h.Next(), 750)
		h.Advance(now)
	}
	fmt.Printf("%.1f kWh of electricity by then\n", h.Account().Energy[Electricity]/3.6e6)
	// Output:
	//   0 L drawn: 55 °C
	// 131 L drawn: 40 °C
	// 141 L drawn: 31 °C
	// 0.5 kWh of electricity by then
}
