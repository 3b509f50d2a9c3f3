// Package heater says how water is heated: how warm it leaves, what that takes
// of which carrier, and what is lost.
//
// A Kind is a heater as described; it makes a Heater, which is one heater's
// state through time. Between two calls of Meet flows and temperatures at its
// connections are constant.
//
// Not modelled: burners and elements that modulate in a storage tank, the least
// power of an instantaneous burner (it is taken to modulate down to nothing),
// flow limited by the heater, moisture of the air at an evaporator, frost and
// its thaw, legionella programs, scale, and mixing valves.
package heater

import (
	"errors"
	"fmt"
	"math"
)

// Carrier is the form in which energy reaches a heater.
type Carrier uint8

// The carriers.
const (
	Electricity Carrier = iota
	Gas
	Wood
	Sun
	Carriers = int(Sun) + 1
)

// String is the carrier's name.
func (c Carrier) String() string {
	return [...]string{"electricity", "gas", "wood", "sun"}[c]
}

// Kind is a heater as described.
type Kind interface {
	// New checks the description and makes a heater of it that has stood, hot,
	// until the year begins. capacity is that of water by volume, above 0 [J/(m³ K)].
	New(capacity float64) (Heater, error)

	// Efficiencies are those of what heats it.
	Efficiencies() []Efficiency
}

// Efficiency is heat into the water for each unit of energy in [-], its losses while
// it stands not counted; of a heat pump its COP where that is rated.
type Efficiency struct {
	Carrier Carrier
	Rated   float64
}

// Heater is one heater through time, which runs from 0, the beginning of the
// year, in seconds. It is for one goroutine.
type Heater interface {
	// Meet says what flows and how warm the surroundings are from now on, the
	// time last given to Advance.
	Meet(Inflow)

	// Outlet is the temperature of the water it gives [°C]. While water flows
	// it changes only in an Advance that reaches Next and in a Meet.
	Outlet() float64

	// Next is when Outlet will change next, at the present flows, or a little
	// before; +Inf if it will not, or if nothing flows.
	Next() float64

	// Advance lives until now; water has left at the temperature of Outlet. A
	// call beyond Next lives through what lies between, and the water has left
	// at each temperature in turn. An earlier now does nothing.
	Advance(now float64)

	// Account is what has passed since the year began, up to the last Advance.
	Account() Account

	// Stored is the heat in water and metal above 0 °C at the last Advance [J].
	Stored() float64
}

// Outlet stands for what leaves until Next, at its mean, so that what is alike
// makes no events.
const (
	alike    = 0.1 // how far the water of a tank may be from it [K]
	warmStep = 2.0 // how far that of an instantaneous heater may change meanwhile [K]
)

// Inflow is what a heater meets.
type Inflow struct {
	Drawn  float64 // flow that leaves for good and comes in as Cold, from 0 [m³/s]
	Cold   float64 // temperature of the mains [°C]
	Looped float64 // flow that leaves and comes back, from 0 [m³/s]
	Back   float64 // its temperature when it comes back [°C]
	Stir   float64 // heat that the pump gives the water that comes back; only while it flows [W]
	Air    float64 // around the heater [°C]
	Intake float64 // air that a heat pump draws on [°C]
}

// plain is the inflow without what a loop that does not flow would bring.
func (in Inflow) plain() Inflow {
	if !(in.Looped > 0) {
		in.Looped, in.Back, in.Stir = 0, 0, 0
	}
	return in
}

// Account is what has passed through a heater [J]. Every joule is in it once:
//
//	Heated + Stirred = Given + Jacket + Flue + growth of Stored
type Account struct {
	Given   float64           // to the water that left, above what came in its place
	Stirred float64           // from the pump
	Heated  float64           // from elements, burners, compressors and coils into the water
	Jacket  float64           // lost through the jacket
	Flue    float64           // lost through the flue while the burner is off
	Energy  [Carriers]float64 // into the heater, by carrier
}

var never = math.Inf(1)

// refusals gathers what is wrong with a description.
type refusals []error

// within refuses a value outside low to high, and NaN.
func (r *refusals) within(what string, x, low, high float64, unit string) {
	if !(x >= low && x <= high) {
		*r = append(*r, fmt.Errorf("%s: %g%s; must be from %g to %g%s", what, x, unit, low, high, unit))
	}
}

// above refuses a value that is not above low, or above high, and NaN.
func (r *refusals) above(what string, x, low, high float64, unit string) {
	if !(x > low && x <= high) {
		*r = append(*r, fmt.Errorf("%s: %g%s; must be above %g, up to %g%s", what, x, unit, low, high, unit))
	}
}

// when refuses if wrong.
func (r *refusals) when(wrong bool, format string, args ...any) {
	if wrong {
		*r = append(*r, fmt.Errorf(format, args...))
	}
}

func (r *refusals) setpoint(what string, x float64) { r.within(what, x, 20, 95, " °C") }

// capacity refuses what is no heat capacity of water by volume; that of liquid
// water lies between 4.0 and 4.2 MJ/(m³ K).
func (r *refusals) capacity(x float64) {
	r.above("heat capacity of water", x, 0, 1e7, " J/(m³ K)")
}

func (r refusals) join() error { return errors.Join(r...) }
