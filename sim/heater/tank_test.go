package heater

import (
	"fmt"
	"math"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/require"
)

// live stops at every event until end and calls see before each step.
func live(h Heater, from, end float64, see func(now, outlet float64)) {
	for from < end {
		see(from, h.Outlet())
		from = min(end, h.Next())
		h.Advance(from)
	}
}

// Exact solution: in plug flow the outlet stays at the set point until one
// volume has been drawn, to the second, and is the inlet's from then on.
func TestPlugFlow(t *testing.T) {
	for name, c := range map[string]struct{ mixed, share float64 }{
		"nothing mixed": {0, 1},
		"a fifth mixed": {0.2, 0.8},
	} {
		t.Run(name, func(t *testing.T) {
			s := electric()
			s.Mixed = c.mixed
			h := built(t, s)
			h.(*tank).stages = nil // no heat
			h.(*tank).schedule()
			const flow = 1e-4
			h.Meet(Inflow{Drawn: flow, Cold: 10, Air: 20})
			full, drawn := 0.0, 0.0
			live(h, 0, 2*s.Volume/flow, func(now, outlet float64) {
				if outlet > 50-1e-9 {
					full = h.Next() * flow
				}
				if c.mixed == 0 && now*flow > s.Volume+1e-9 {
					check.Within(t, 10, outlet, 1e-9)
				}
			})
			check.Within(t, c.share*s.Volume, full, 1e-9, "drawn at the set point")
			drawn = h.Account().Given
			if c.mixed == 0 {
				check.Within(t, 1, drawn/(water*s.Volume*40), 1e-12)
			}
		})
	}
}

// Exact solution: a mixed zone of volume Vm with cold let in answers as a
// stirred vessel, exp(−V/Vm), where it leaves into plug flow.
func TestMixedZone(t *testing.T) {
	s := electric()
	s.Layers, s.Mixed = 60, 0.2
	h := built(t, s)
	h.(*tank).stages = nil
	h.(*tank).schedule()
	const flow = 1e-4
	h.Meet(Inflow{Drawn: flow, Cold: 10, Air: 20})
	worst := 0.0
	live(h, 0, 1.5*s.Volume/flow, func(now, outlet float64) {
		if x := ((now+h.Next())/2*flow/s.Volume - 0.8) / 0.2; x > 0 {
			worst = max(worst, math.Abs(outlet-(10+40*math.Exp(-x))))
		}
	})
	require.Greater(t, worst, 0.0)
	check.Within(t, 0, worst, 40.0/12/2, "half the drop from one of the zone's twelve layers to the next")
}

// Exact solution: T = A + (T₀ − A) exp(−UA t/C), whatever the steps.
func TestStandby(t *testing.T) {
	s := electric()
	s.Loss, s.Conductivity = 1.3, 1.7
	h := built(t, s)
	h.(*tank).stages = nil
	h.(*tank).schedule()
	h.Meet(Inflow{Air: 20})
	capacity := water * s.Volume
	for _, now := range []float64{1, 17, 3600, 50000, 86400 * 3} {
		h.Advance(now)
		left := math.Exp(-1.3 * now / capacity)
		check.Within(t, 20+30*left, h.Outlet(), 1e-9)
		check.Within(t, 1, h.Account().Jacket/(capacity*30*(1-left)), 1e-9)
	}
}

// Exact solution: with heat P and loss UA a stirred tank goes towards A + P/UA;
// without loss recovery takes C ΔT/P. The thermostat switches to the second.
func TestHysteresis(t *testing.T) {
	for name, c := range map[string]struct {
		loss, conductivity float64
		band               float64
	}{
		"no loss to speak of": {0.01, 0, 5},
		"usual":               {1.3, 1.7, 5},
		"leaky, narrow":       {5, 1.7, 1},
	} {
		t.Run(name, func(t *testing.T) {
			s := electric()
			s.Loss, s.Conductivity = c.loss, c.conductivity
			// All of the tank is above the element.
			s.Main = &Stage{Source: Element{4500}, Height: 0, Sensor: 0.5, Setpoint: 50, Band: c.band}
			h := built(t, s)
			h.Meet(Inflow{Air: 20})
			capacity := water * s.Volume
			on := capacity / c.loss * math.Log(30/(30-c.band))
			h.Advance(on - 1)
			require.False(t, h.(*tank).stages[0].runs, "a second before")
			h.Advance(on + 1)
			require.True(t, h.(*tank).stages[0].runs, "a second after")
			limit := 20 + 4500/c.loss
			off := on + capacity/c.loss*math.Log((limit-50+c.band)/(limit-50))
			h.Advance(off - 1)
			require.True(t, h.(*tank).stages[0].runs, "a second before")
			h.Advance(off + 1)
			require.False(t, h.(*tank).stages[0].runs, "a second after")
			check.Within(t, 4500*(off-on), h.Account().Heated, 4500)
			check.Within(t, 50, h.Outlet(), 1e-3)
		})
	}
}

// Exact solution: C ΔT/P for the water above the element once the tank is full
// of cold water; the water below stays cold.
func TestRecovery(t *testing.T) {
	s := electric()
	h := built(t, s)
	h.Meet(Inflow{Drawn: 1e-2, Cold: 10, Air: 20})
	h.Advance(20) // more than a volume, faster than the element heats
	begun := h.Account().Heated
	h.Meet(Inflow{Air: 20})
	above := 0.9 * water * s.Volume // two of twenty layers lie below
	lacks := 0.0
	for i := 2; i < 21; i++ {
		lacks += h.(*tank).size[i] * max(0, 50-h.(*tank).temp[i]) * water * s.Volume / 20
	}
	check.Within(t, above*40, lacks, above*40*0.06) // up to a layer
	h.Advance(20 + lacks/4500 - 1)
	require.True(t, h.(*tank).stages[0].runs)
	h.Advance(20 + lacks/4500 + 1)
	require.False(t, h.(*tank).stages[0].runs)
	check.Within(t, lacks, h.Account().Heated-begun, 4500)
	check.Within(t, 50, h.Outlet(), 1e-3)
	check.Within(t, 10, h.(*tank).temp[1], 1e-9)
}

// Exact solution: the mode cos(πz/H) of a still column decays at π²k/(ρc H²).
func TestConduction(t *testing.T) {
	s := electric()
	s.Layers, s.Conductivity, s.Height = 60, 2, 1
	h := built(t, s).(*tank)
	h.stages = nil
	for i := range h.temp {
		h.temp[i] = 40 - 10*math.Cos(math.Pi*(float64(i)-0.5)/60)
	}
	h.schedule()
	h.Meet(Inflow{Air: 20})
	const time = 200000.0
	h.Advance(time)
	left := math.Exp(-math.Pi * math.Pi * 2 / water * time)
	check.Within(t, 40+10*left*math.Cos(math.Pi*0.5/60), h.Outlet(), 0.05) // implicit Euler, steps of an hour
	require.Less(t, left, 0.5)
}

// Exact: a tank that nothing is drawn from takes UA (T − T_air)/η of gas, whether or not
// part of it burns in a pilot; one that burns more than that takes what it burns, and
// leaves the water no warmer.
func TestPilot(t *testing.T) {
	const days, loss, set, air = 100.0, 4.5, 52.0, 20.0
	gas := func(pilot float64) (power, warmest float64) {
		s := electric()
		s.Loss = 2
		s.Main = &Stage{Source: Burner{Input: 12000, Efficiency: 0.78, Flue: loss - 2, Pilot: pilot}, Height: 0, Sensor: 0.3, Setpoint: set, Band: 0.2}
		h := built(t, s)
		h.Meet(Inflow{Air: air})
		live(h, 0, days*86400, func(_, outlet float64) { warmest = max(warmest, outlet) })
		return h.Account().Energy[Gas] / (days * 86400), max(warmest, h.Outlet())
	}
	const rests = loss * (set - 0.1 - air) / 0.78 // in the middle of the dead band
	for _, c := range []struct{ pilot, want float64 }{{0, rests}, {100, rests}, {180, rests}, {250, 250}} {
		power, warmest := gas(c.pilot)
		check.Within(t, 1, power/c.want, 0.01, fmt.Sprintf("pilot of %g W", c.pilot))
		require.Less(t, warmest, set+0.1)
	}
}

func TestElementsTakeTurns(t *testing.T) {
	s := everyKind()["elements"].(Storage)
	h := built(t, s).(*tank)
	h.Meet(Inflow{Drawn: 3e-4, Cold: 10, Air: 20})
	upper, lower, both := false, false, false
	for now := 1.0; now < 1200; now++ {
		h.Advance(now)
		h.Account()
		a, b := h.stages[0].runs, h.stages[1].runs
		upper, lower, both = upper || b && h.stages[0].calls, lower || a, both || a && b
	}
	require.True(t, upper && lower)
	require.False(t, both, "interlocked")
	h.Meet(Inflow{Air: 20})
	h.Advance(1e5)
	check.Within(t, 50, h.Outlet(), 5)
}

// With air colder than the compressor stands, the element keeps the set point.
func TestBackup(t *testing.T) {
	s := everyKind()["heat pump"].(Storage)
	s.Upper.Setpoint = 40
	for name, c := range map[string]struct {
		intake float64
		idle   int // the stage that has nothing to do
	}{"mild": {15, 1}, "freezing": {0, 0}} {
		t.Run(name, func(t *testing.T) {
			h := built(t, s)
			h.Meet(Inflow{Air: 20, Intake: c.intake})
			live(h, 0, 86400*20, func(now, _ float64) {
				require.False(t, h.(*tank).stages[c.idle].runs, "at %g s", now)
			})
			a := h.Account()
			gives := a.Heated / (a.Energy[Electricity] - 3*86400*20) // of each joule of electricity
			if c.idle == 1 {
				check.Within(t, UsualCOP.At(50, 15), gives, 0.1)
				return
			}
			check.Within(t, 1, gives, 1e-9)
			require.Greater(t, h.Outlet(), 52-5-0.1)
		})
	}
}

// Exact solution: a heat pump of power P whose COP falls by k with each kelvin of its
// water gives, with C the capacity of a layer,
//
//	C (T∞ − T₀) (1 − exp(−P k t/C)),  T∞ where the COP would be 0
//
// to a layer at T₀ under water too warm for it to reach; and the same to two layers, of
// 2 C, once the lower has come up to the upper.
func TestHeatPumpWarmsItsWater(t *testing.T) {
	s := everyKind()["heat pump"].(Storage)
	s.Return, s.Upper, s.Loss, s.Conductivity, s.Mixed = 0, nil, 0, 0, 0
	const power, fall, lasts, cold = 500, 0.042, 300.0, 15.0
	capacity := water * s.Volume / float64(s.Layers)
	gives := func(layers, from, lasts float64) float64 {
		c := layers * capacity
		return c * (27 + 3.3/fall - from) * (1 - math.Exp(-power*fall*lasts/c))
	}
	meets := -math.Log(1-10/(27+3.3/fall-cold)) * capacity / (power * fall) // when it is 10 K warmer
	for name, c := range map[string]struct{ above, want float64 }{
		"below hot water": {50, gives(1, cold, lasts)},
		"a layer above":   {cold + 10, gives(1, cold, meets) + gives(2, cold+10, lasts-meets)},
	} {
		t.Run(name, func(t *testing.T) {
			h := built(t, s).(*tank)
			plug := h.stages[0].plug
			h.temp[plug-1], h.temp[plug], h.temp[plug+1] = cold, cold, c.above
			h.in.Intake = UsualCOP.Air
			h.stages[0].runs = true
			h.exchange(lasts)
			check.Within(t, 1, h.account.Heated/c.want, 0.005) // (P k t/C)²/6, the next term of the exponential
			check.Within(t, power*lasts, h.account.Energy[Electricity]-3*lasts, 1e-6)
		})
	}
}

func TestSunAndWood(t *testing.T) {
	s := electric()
	s.Main, s.Loss = nil, 2
	s.Coil = &Coil{Carrier: Wood, Height: 0.1, Most: 75}
	for m := range s.Coil.Output {
		s.Coil.Output[m][18] = 3000
	}
	s.Coil.Output[1] = [24]float64{} // no fires in February
	h := built(t, s)
	h.Meet(Inflow{Drawn: 5e-6, Cold: 10, Air: 20})
	h.Advance(20 * 86400)
	// An hour a day, 3 kWh, all of it taken.
	check.Within(t, 20*3000*3600, h.Account().Energy[Wood], 1)
	h.Advance(31 * 86400)
	before := h.Account().Energy[Wood]
	h.Advance(59 * 86400)
	check.Within(t, before, h.Account().Energy[Wood], 1e-6, "February")
	require.Less(t, h.Outlet(), 20.0, "it has run out, and cold is what comes")

	h = built(t, s)
	h.Meet(Inflow{Air: 20})
	h.Advance(31 * 86400)
	require.Less(t, h.Outlet(), 75+1e-6, "no warmer than it may be")
	require.Less(t, h.Account().Energy[Wood], 31*3000*3600.0)
}

// A loop that comes back at mid height leaves the cold water below it alone.
func TestReturnAtHeight(t *testing.T) {
	s := electric()
	s.Return = 0.5
	h := built(t, s).(*tank)
	h.stages = nil
	h.schedule()
	h.Meet(Inflow{Drawn: 1e-4, Cold: 10, Air: 20})
	h.Advance(0.25 * s.Volume / 1e-4)
	h.Meet(Inflow{Looped: 1e-4, Back: 45, Air: 20})
	h.Advance(5 * s.Volume / 1e-4)
	check.Within(t, 10, h.temp[2], 1e-6)
	check.Within(t, 45, h.Outlet(), 0.5)
}

func TestMonths(t *testing.T) {
	for day, want := range map[int]int{0: 0, 30: 0, 31: 1, 58: 1, 59: 2, 364: 11} {
		require.Equal(t, want, month(day), "day %d", day)
	}
}

// What leaves at one temperature is not far from what is at the top, while a
// loop takes heat and sources come and go. The burner, of 9 kW, makes 0.24 K in
// the least time that a temperature is held, and twice 0.1 K are alike.
func TestOutletIsTrue(t *testing.T) {
	for _, name := range []string{"elements", "gas", "heat pump", "sun"} {
		t.Run(name, func(t *testing.T) {
			h := built(t, everyKind()[name]).(*tank)
			worst, now, loss := 0.0, 0.0, 500.0
			for i := range 3 * 24 * 60 {
				in := Inflow{Looped: 1.26e-4, Back: h.Outlet() - loss/(water*1.26e-4), Cold: 12, Air: 20, Intake: 20}
				if i%180 < 5 {
					in.Drawn = 1e-4
				}
				h.Meet(in)
				live(h, now, now+60, func(float64, float64) {
					worst = max(worst, math.Abs(h.temp[h.top()]-h.given))
				})
				now += 60
			}
			t.Logf("at most %.2f K", worst)
			require.Less(t, worst, 0.45)
		})
	}
}
