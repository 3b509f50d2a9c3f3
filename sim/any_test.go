package sim

import (
	"time"

	"pipelag/sim/control"
	"pipelag/sim/heater"

	"pgregory.net/rapid"
)

// anyHeater is a heater of any kind with a set point.
func anyHeater(t *rapid.T, set float64) heater.Kind {
	share := func(what string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
	stage := func(s heater.Source, height float64) *heater.Stage {
		return &heater.Stage{Source: s, Height: height, Sensor: height, Setpoint: set, Band: share("dead band", 0.5, 12)}
	}
	tank := heater.Storage{
		Volume: share("volume", 0.03, 0.4), Height: 1.3, Layers: rapid.IntRange(4, 24).Draw(t, "layers"), Loss: share("jacket", 0, 5),
		Conductivity: 1.7, Mixed: share("mixed", 0, 0.3), Return: share("return's height", 0, 0.8),
	}
	coil := &heater.Coil{Carrier: rapid.SampledFrom([]heater.Carrier{heater.Sun, heater.Wood}).Draw(t, "coil"), Height: 0.2, Most: set + share("above", 0, 20)}
	for m := range coil.Output {
		for h := range coil.Output[m] {
			coil.Output[m][h] = max(0, 3000-500*float64((h-12)*(h-12)))
		}
	}
	switch kind := rapid.IntRange(0, 7).Draw(t, "heater"); kind {
	case 0:
		tank.Main, tank.Upper = stage(heater.Element{Power: 4500}, 0.1), stage(heater.Element{Power: 4500}, 0.7)
		tank.Both = rapid.Bool().Draw(t, "both")
	case 1:
		tank.Main = stage(heater.Burner{Input: 11000, Efficiency: 0.78, Flue: 2, Pilot: 100, Electronics: 2}, 0)
		tank.Main.Sensor = 0.3
	case 2:
		tank.Main = stage(heater.HeatPump{Power: 450, COP: heater.UsualCOP, LeastAir: share("least air", 0, 18), MostWater: 70}, 0.1)
		tank.Upper = stage(heater.Element{Power: 4500}, 0.7)
		tank.Upper.Setpoint -= 5
	case 3:
		tank.Main, tank.Coil = stage(heater.Burner{Input: 11000, Efficiency: 0.9}, 0.5), coil
	case 4:
		tank.Coil = coil
	case 5:
		return heater.Instantaneous{
			Setpoint: set, Power: share("power", 3000, 40000), Efficiency: 0.9, Carrier: heater.Gas,
			LeastFlow: share("least flow", 0, 6e-5), Delay: share("delay", 0, 20), Exchanger: share("exchanger", 2000, 2e4), Loss: share("loss", 0, 3), Electronics: 5,
		}
	case 6:
		return heater.Instantaneous{Setpoint: set, Power: share("power", 3000, 30000), Efficiency: 1, Carrier: heater.Electricity, Exchanger: 3000, Loss: 0.5}
	default:
		return heater.Held{Setpoint: set, Loss: 1.5, Efficiency: 0.9}
	}
	return tank
}

// anyPump is a pump with a control of any kind, or of any that goes with a crossover.
func anyPump(t *rapid.T, crossover bool) *Pump {
	p := &Pump{Flow: rapid.Float64Range(1e-5, 2e-4).Draw(t, "pump flow"), Power: 40, HeatShare: 0.6}
	aquastat := control.Aquastat{On: rapid.Float64Range(15, 38).Draw(t, "on")}
	aquastat.Off = aquastat.On + rapid.Float64Range(0.5, 10).Draw(t, "band")
	windows := []control.Window{
		{From: 6 * hour, To: 8.25 * hour, Days: control.On(time.Thursday)},
		{From: 22 * hour, To: 1 * hour, Days: control.Everyday},
	}
	demand := control.Demand{Rise: 4, Warm: 38, MaxRun: rapid.Float64Range(0.1, 600).Draw(t, "longest run"), Dead: rapid.Float64Range(0, 900).Draw(t, "dead time")}
	button := &control.Button{Lead: rapid.Float64Range(0, 120).Draw(t, "lead"), Likelihood: rapid.Float64Range(0, 1).Draw(t, "likelihood")}
	motion := &control.Motion{Lead: 30, Likelihood: 0.7, False: rapid.Float64Range(0, 20).Draw(t, "false calls")}
	learning := control.Learning{Days: 3, Least: 0.3, Lead: 600}
	kinds := 7
	if crossover {
		p.Crossover = &Crossover{Lukewarm: 25}
		if rapid.Bool().Draw(t, "valve") {
			p.Crossover.Valve = &aquastat
		}
		kinds = 4
	}
	switch rapid.IntRange(0, kinds).Draw(t, "control") {
	case 0:
		p.Rule = control.Continuous{}
	case 1:
		p.Rule = control.Clock{Windows: windows}
	case 2:
		p.Rule, p.Button = demand, button
	case 3:
		p.Rule, p.Motion = demand, motion
	case 4:
		p.Rule = learning
	case 5:
		p.Rule = aquastat
	case 6:
		p.Rule = control.Clock{Windows: windows, Aquastat: &aquastat}
	case 7:
		learning.Aquastat = &aquastat
		p.Rule = learning
	}
	return p
}
