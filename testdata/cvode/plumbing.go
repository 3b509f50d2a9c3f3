package main

// #cgo CFLAGS: -O3 -march=native -Wall -Wextra
// #cgo LDFLAGS: -lsundials_cvodes -lsundials_nvecserial -lsundials_sunmatrixband -lsundials_sunlinsolband -lsundials_sunlinsolspgmr -lsundials_sunnonlinsolfixedpoint -lm
// #include "plumbing.h"
import "C"

import (
	"fmt"
	"math"

	"pipelag/network/heat"
	"pipelag/schedules"
	"pipelag/sim"
)

// method is how a system is integrated.
type method int

const (
	band     method = C.BDF_BAND
	gmres    method = C.BDF_GMRES
	diagonal method = C.BDF_DIAG
	adams    method = C.ADAMS_BAND
)

// String is the method as the table calls it.
func (m method) String() string {
	return [...]string{"BDF, banded", "BDF, GMRES", "BDF, diagonal", "Adams, at rest BDF"}[m]
}

// The tables that the engine reads conductances and dispersion from: flows 4 % apart,
// and the loss by the root of the excess.
const (
	leastFlow = 2e-6 // [m³/s]
	flowStep  = 0.04
	flowSteps = 180
	rootStep  = 0.25 // [K^½]
	rootSteps = 51
)

// finesse is how finely equations are cut and solved.
type finesse struct {
	method    method
	cells     int     // to the largest way to a tap
	tolerance float64 // relative [-]; the absolute is ten times as many kelvins
}

// plumbing is the pipes of a layout as CVODES integrates them.
type plumbing struct {
	c       *C.plumbing
	house   *sim.House
	weather []C.double // by zone [°C]
	now     float64    // [s]
}

// newPlumbing cuts each pipe into cells of about the same volume and gives them the
// coefficients that the engine has.
func newPlumbing(h *sim.House, f finesse) (*plumbing, error) {
	n := h.Layouts[0].Network
	zone := make(map[string]int)
	mean := make([]float64, len(h.Climate.Zones))
	for i, z := range h.Climate.Zones {
		zone[z.Name] = i
		for k := range schedules.DaysPerYear * 24 {
			mean[i] += z.Temperature.At((float64(k)+0.5)*3600) / (schedules.DaysPerYear * 24)
		}
	}
	water, err := heat.WaterAt((h.Heater.Setpoint + mean[zone[h.Heater.Zone]]) / 2)
	if err != nil {
		return nil, err
	}
	largest := 0.0
	for i := range n.Taps {
		largest = max(largest, n.PathVolume(i))
	}
	p := &plumbing{house: h, weather: make([]C.double, len(h.Climate.Zones))}
	p.c = C.plumbing_new(C.int(len(n.Pipes)), C.int(len(n.Taps)),
		C.tables{flows: flowSteps, excesses: rootSteps, least_flow: leastFlow, flow_step: flowStep, root_step: rootStep},
		C.double(water.Density*water.SpecificHeat), C.double(h.Heater.Setpoint))
	for i, pipe := range n.Pipes {
		line, err := pipe.Line()
		if err != nil {
			return nil, err
		}
		walls := line.WallCapacity()
		if len(walls) != 1 {
			return nil, fmt.Errorf("pipe from %s to %s has %d wall nodes; the equations here are for one", pipe.From, pipe.To, len(walls))
		}
		var inner, early, late, outer []C.double
		for k := range flowSteps {
			flow := leastFlow * math.Exp(float64(k)*flowStep)
			inner = append(inner, C.double(line.Inner(water, flow)))
			early = append(early, C.double(line.Dispersion(water, flow, 0)))
			late = append(late, C.double(line.Dispersion(water, flow, math.Inf(1))))
		}
		inner = append(inner, C.double(line.Inner(water, 0)))
		z := zone[pipe.Zone]
		for k := range rootSteps {
			root := max(float64(k)*rootStep, math.Sqrt(0.05)) // below, the film is taken as constant
			outer = append(outer, C.double(line.Outer(root*root, mean[z])))
		}
		cells := max(1, math.Round(pipe.Volume()/largest*float64(f.cells)))
		C.plumbing_pipe(p.c, C.int(i), C.int(pipe.Feed), C.int(z), C.int(cells), C.double(pipe.Length),
			C.double(line.WaterCapacity(water)), C.double(walls[0]), C.double(line.MixingTime(water)),
			&inner[0], &early[0], &late[0], &outer[0])
	}
	for f, pipe := range n.Taps {
		for _, other := range n.Pipes {
			if other.Feed == pipe {
				return nil, fmt.Errorf("%s stands at a tee; the equations here are for taps at ends", h.Fixtures[f].Name)
			}
		}
		C.plumbing_tap(p.c, C.int(f), C.int(pipe))
	}
	cold := p.weatherAt(0)
	return p, p.check(C.plumbing_start(p.c, C.int(f.method), C.double(f.tolerance), C.double(10*f.tolerance), &p.weather[0], cold))
}

func (p *plumbing) free() { C.plumbing_free(p.c) }

func (p *plumbing) check(flag C.int) error {
	if flag < 0 {
		return fmt.Errorf("CVODES failed at %.3f s with flag %d", p.now, flag)
	}
	return nil
}

// weatherAt takes the surroundings of an hour and gives the mains of its day [°C].
func (p *plumbing) weatherAt(t float64) C.double {
	for i, z := range p.house.Climate.Zones {
		p.weather[i] = C.double(z.Temperature.At((math.Floor(t/3600) + 0.5) * 3600))
	}
	return C.double(p.house.Climate.Mains.At((math.Floor(t/sim.Day) + 0.5) * sim.Day))
}

// strike takes the weather of the hour that begins now.
func (p *plumbing) strike() {
	cold := p.weatherAt(p.now + 1)
	C.plumbing_weather(p.c, &p.weather[0], cold)
}

// restart makes the flows those that the taps now ask for.
func (p *plumbing) restart() error { return p.check(C.plumbing_restart(p.c)) }

// advance integrates until a time [s] or, before it, a root.
func (p *plumbing) advance(until float64) error {
	var reached C.double
	if err := p.check(C.plumbing_advance(p.c, C.double(until), &reached)); err != nil {
		return err
	}
	p.now = float64(reached)
	return nil
}

// tap is the temperature of the water right at a tap [°C].
func (p *plumbing) tap(fixture int) float64 {
	return float64(C.plumbing_tap_temperature(p.c, C.int(fixture)))
}

// set turns a draw's tap as the draw has it.
func (p *plumbing) set(d *draw) {
	way, share, usable, volume, drains := d.turned()
	C.plumbing_set(p.c, C.int(d.Fixture), C.int(way), C.double(d.Flow), C.double(d.Mixed), C.double(share), C.double(usable), C.double(volume), C.int(drains))
}
