package heater

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/schedules"
	"pipelag/schedules/patterns"
)

// rated runs the 24-hour test of 10 CFR 430 Subpart B Appendix E and returns
// the uniform energy factor as described there: the heat drawn over the energy
// into the heater, corrected for what the store gained or lost.
//
// Inlet 58 °F, set point 125 °F, air 67.5 °F and the draws are from memory.
func rated(t *testing.T, k Kind, pattern string) (factor float64, a Account) {
	t.Helper()
	p, err := patterns.New(pattern, []schedules.Fixture{
		{Name: "any", Use: schedules.Shower, Flow: 3 * gpm, Usable: 40},
	})
	require.NoError(t, err)
	wishes := p.Year(0, 0).Day(0, nil)
	idle := Inflow{Cold: (58.0 - 32) / 1.8, Air: (67.5 - 32) / 1.8, Intake: (67.5 - 32) / 1.8}
	h := built(t, k)
	stored := h.Stored()
	h.Meet(idle)
	begin := wishes[0].Start
	h.Advance(begin)
	before, before1 := h.Account(), h.Stored()
	volume := 0.0
	for _, w := range wishes {
		h.Advance(w.Start)
		in := idle
		in.Drawn = w.Flow
		h.Meet(in)
		h.Advance(w.Start + w.Duration)
		h.Meet(idle)
		volume += w.Flow * w.Duration
	}
	h.Advance(begin + 86400)
	after := h.Account()
	energy, given := 0.0, after.Given-before.Given
	for c := range after.Energy {
		energy += after.Energy[c] - before.Energy[c]
	}
	heated := after.Heated - before.Heated
	efficiency := heated / energy
	energy -= (h.Stored() - before1) / efficiency // the store's gain at recovery efficiency
	check.Within(t, 0, unbalanced(h, stored), 1e-11)
	// Conservation of energy: of the heat into the water, part is drawn and the rest lost.
	lost := after.Jacket + after.Flue - before.Jacket - before.Flue
	check.Within(t, efficiency*given/(given+lost), given/energy, 1e-9)
	t.Logf("%s: %.1f L, %.2f kWh drawn, jacket %.2f kWh, flue %.2f kWh, in %.2f kWh, mean rise %.1f K, UEF %.3f", pattern,
		volume*1000, given/3.6e6, (after.Jacket-before.Jacket)/3.6e6, (after.Flue-before.Flue)/3.6e6, energy/3.6e6, given/water/volume, given/energy)
	return given / energy, after
}

// The uniform energy factor of described heaters lies between what conservation
// of energy allows: at most the best efficiency, and at least the worst with all
// of the water at the set point for a day, G being the heat drawn:
//
//	η G / (G + UA (set − air) 24 h)
//
// It is shown beside the federal minimum of 10 CFR 430.32(d) (read; in force
// before 2029; medium draw, by rated volume in gallons) but not judged by it:
// the draws and conditions of the test are from memory.
func TestUniformEnergyFactor(t *testing.T) {
	const set, air = (125.0 - 32) / 1.8, (67.5 - 32) / 1.8
	tank := Storage{
		Volume: 50 * gallon, Height: 1.2, Layers: DefaultLayers, Loss: 1.05, Conductivity: 1.7, Mixed: 0.1,
		Main:  &Stage{Source: Element{4500}, Height: 0.1, Sensor: 0.25, Setpoint: set, Band: 5},
		Upper: &Stage{Source: Element{4500}, Height: 0.7, Sensor: 0.75, Setpoint: set, Band: 5},
	}
	gas := tank
	gas.Volume, gas.Upper, gas.Loss = 40*gallon, nil, 2.3
	gas.Main = &Stage{Source: Burner{Input: 11700, Efficiency: 0.78, Flue: 2.4}, Height: 0, Sensor: 0.25, Setpoint: set, Band: 6}
	pilot, lit := gas, gas.Main.Source.(Burner)
	lit.Pilot = 100
	pilot.Main = &Stage{Source: lit, Height: 0, Sensor: 0.25, Setpoint: set, Band: 6}
	pump := tank
	pump.Volume, pump.Loss = 80*gallon, 1.9
	pump.Main = &Stage{Source: HeatPump{Power: 450, COP: UsualCOP, LeastAir: 4, MostWater: 60}, Height: 0, Sensor: 0.3, Setpoint: set, Band: 5}
	pump.Upper = &Stage{Source: Element{4500}, Height: 0.7, Sensor: 0.75, Setpoint: set - 12, Band: 5}
	instant := tankless()
	instant.Setpoint, instant.Efficiency, instant.Power, instant.Loss = set, 0.82, 45e3, 1.5

	cases := []struct {
		name        string
		kind        Kind
		worst, best float64 // efficiency
		loss        float64 // [W/K]
		minimum     float64
	}{
		{"electric", tank, 1, 1, 1.05, 0.9307 - 0.0002*50},
		{"gas", gas, 0.78, 0.78, 2.3 + 2.4, 0.6483 - 0.0017*40},
		{"gas with a pilot", pilot, 0.78, 0.78, 2.3 + 2.4, 0.6483 - 0.0017*40},
		{"heat pump", pump, UsualCOP.At(set, air), UsualCOP.At((58-32)/1.8, air), 1.9, 2.1171 - 0.0011*80},
		{"instantaneous gas", instant, 0.82, 0.82, 1.5, 0.81},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, a := rated(t, c.kind, "10 CFR 430 medium")
			t.Logf("minimum %.3f", c.minimum)
			require.Less(t, got, c.best)
			require.Greater(t, got, c.worst*a.Given/(a.Given+c.loss*(set-air)*86400))
		})
	}
}

// The default number of layers against twice as many, over a day of draws that
// nearly empties the tank.
func TestDefaultLayers(t *testing.T) {
	given := func(layers int) float64 {
		s := everyKind()["elements"].(Storage)
		s.Layers = layers
		h := built(t, s)
		sum := 0.0
		for i := range 12 {
			now := float64(i) * 3600
			h.Meet(Inflow{Drawn: 1.2e-4, Cold: 10, Air: 20})
			h.Advance(now + 900)
			h.Meet(Inflow{Cold: 10, Air: 20})
			h.Advance(now + 3600)
		}
		sum = h.Account().Given
		return sum
	}
	for _, n := range []int{8, 12, DefaultLayers, 2 * DefaultLayers, 60} {
		t.Logf("%d layers: %.4f kWh", n, given(n)/3.6e6)
	}
	check.Within(t, 1, given(DefaultLayers)/given(2*DefaultLayers), 0.01)
}

func BenchmarkRest(b *testing.B) {
	for _, name := range []string{"elements", "gas", "heat pump", "instantaneous"} {
		b.Run(name, func(b *testing.B) {
			h := built(b, everyKind()[name])
			h.Meet(Inflow{Air: 20, Intake: 20})
			b.ReportAllocs()
			now := 0.0
			for b.Loop() {
				now += 60
				h.Advance(now)
			}
		})
	}
}

// A year: 15 000 draws of 40 s, or a loop pumped all the time that comes back
// a little cooler or warmer every minute.
func BenchmarkYear(b *testing.B) {
	for _, name := range []string{"elements", "gas", "heat pump", "instantaneous"} {
		for _, looped := range []float64{0, 1.26e-4} {
			label := name + "/drawn"
			if looped > 0 {
				label = name + "/pumped"
			}
			b.Run(label, func(b *testing.B) {
				b.ReportAllocs()
				events := 0
				for b.Loop() {
					h := built(b, everyKind()[name])
					in := Inflow{Cold: 12, Air: 20, Intake: 20, Looped: looped, Back: 50}
					now := 0.0
					run := func(end float64) {
						h.Meet(in)
						for now < end {
							now = min(end, h.Next())
							h.Advance(now)
							events++
							if looped > 0 {
								if e := math.Floor(now/60+1) * 60; e < end {
									in.Back = 49.3 + 0.1*float64(int(now)%3)
									h.Meet(in)
								}
							}
						}
					}
					for i := range 15000 {
						in.Drawn = 1e-4
						run(now + 40)
						in.Drawn = 0
						run(float64(i+1) * 2102.4)
					}
				}
				b.ReportMetric(float64(events)/float64(b.N), "events/year")
			})
		}
	}
}
