package heater

import (
	"math"

	"pipelag/schedules"
)

// control lets the thermostats switch.
func (t *tank) control() {
	if len(t.stages) == 0 {
		return
	}
	main := &t.stages[0]
	able := main.Source.able(t.temp[main.plug], t.in.Intake)
	main.call(t.temp[main.sensor])
	waits := false
	if len(t.stages) > 1 {
		// While the main source cannot run, the upper one holds its set point.
		upper := &t.stages[1]
		upper.target = upper.Setpoint
		if !able {
			upper.target = max(upper.target, main.Setpoint)
		}
		upper.call(t.temp[upper.sensor])
		upper.runs = upper.calls
		waits = upper.runs && !t.both
	}
	main.runs = main.calls && able && !waits
}

// call makes a thermostat ask for heat, or be content.
func (s *stage) call(water float64) {
	switch {
	case water >= s.target-asWarm:
		s.calls = false
	case water <= s.target-s.Band+asWarm:
		s.calls = true
	}
}

// schedule works out when the tank must next be settled or its parcels be
// numbered anew.
func (t *tank) schedule() {
	longest := restful
	power := 0.0
	for i := range t.stages {
		if s := &t.stages[i]; s.runs {
			power += t.power(s)
			longest = busy
		}
	}
	if t.coil != nil {
		if coil := t.coilPower(); coil > 0 {
			power += coil
			longest = busy
		}
		t.due = min(t.settled+longest, t.coilHour())
	} else {
		t.due = t.settled + longest
	}
	if t.flows() {
		t.due = min(t.due, t.settled+busy, t.now+t.size[t.top()]*t.layer/(t.in.Drawn+t.in.Looped))
		if t.lower.last > 0 && t.in.Drawn > 0 {
			t.due = min(t.due, t.now+t.size[t.lower.last]*t.layer/t.in.Drawn)
		}
	}
	for i := range t.stages {
		s := &t.stages[i]
		var wait float64
		switch {
		case s.runs:
			wait = t.heating(s, power)
		case !s.calls:
			wait = t.cooling(s)
		default:
			continue
		}
		if wait > nearby {
			wait *= 0.9 // an estimate by today's slopes: look again before it is up
		}
		t.due = min(t.due, t.settled+max(wait, soonest))
	}
}

// heating is how long a running stage will take at the least until its
// thermostat is content, by the heat its water lacks.
func (t *tank) heating(s *stage, power float64) float64 {
	off := s.target
	lost := 0.0
	total := t.conductance() / t.layers
	for i := s.plug; i < len(t.temp) && t.temp[i] < off; i++ {
		lost += t.size[i] * total * (t.temp[i] - t.in.Air)
	}
	if power <= lost {
		return busy
	}
	return t.wants(s.plug, off) / (power - lost)
}

// wants is the heat that water from a parcel up lacks to be at a temperature [J].
func (t *tank) wants(plug int, to float64) float64 {
	lacks := 0.0
	for i := plug; i < len(t.temp) && t.temp[i] < to; i++ {
		lacks += t.size[i] * (to - t.temp[i])
	}
	return lacks * t.cell
}

// cooling is how long the water at a thermostat will take until it calls for
// heat, by its loss and what its neighbours conduct at present.
func (t *tank) cooling(s *stage) float64 {
	i := s.sensor
	rate := t.conductance() / (t.cell * t.layers) * (t.temp[i] - t.in.Air)
	rate += t.conduct * (2*t.temp[i] - t.temp[i-1] - t.temp[i+1])
	if rate <= 0 {
		return restful
	}
	return max(0, t.temp[i]-(s.target-s.Band)) / rate
}

func (t *tank) power(s *stage) float64 {
	heat, _ := s.Source.output(t.temp[s.plug], t.in.Intake)
	return heat
}

// coilPower is what the coil has to give at present [W].
func (t *tank) coilPower() float64 {
	hours := int(t.settled/3600+1e-9) % (schedules.DaysPerYear * 24)
	return t.coil.Output[month(hours/24)][hours%24]
}

// coilHour is when the coil's output next changes.
func (t *tank) coilHour() float64 { return (math.Floor(t.settled/3600+1e-9) + 1) * 3600 }

// month is that of a day of the year, from 0.
func month(day int) int {
	for m, days := range schedules.MonthDays {
		if day < days {
			return m
		}
		day -= days
	}
	return 11
}
