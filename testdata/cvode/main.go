// Command cvode holds the engine against a general-purpose integrator of ordinary
// differential equations, CVODES of SUNDIALS, on the same equations: weeks of draws in
// the first layout of the embedded courtyard house.
//
// Both have the engine's conductances, dispersion and rules of what people do. CVODES
// integrates all pipes at once, cut into cells whose water moves by second-order limited
// differences; it stops at every event and begins anew, and turns its taps by its own
// temperatures. For both the heater holds its set point and the pressure passes what is
// wanted, as neither is a matter of pipes.
package main

import (
	"fmt"
	"os"

	"pipelag/scenarios"
	"pipelag/sim/heater"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "cvode:", err)
		os.Exit(3)
	}
}

func run() error {
	s, err := scenarios.LoadEmbedded("courtyard")
	if err != nil {
		return err
	}
	h := s.House()
	h.Heater.Kind = heater.Held{Setpoint: h.Heater.Setpoint, Loss: 1, Efficiency: 1}
	h.Supply = nil
	h.Layouts = h.Layouts[:1]
	return compare(&h)
}
