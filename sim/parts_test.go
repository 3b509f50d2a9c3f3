package sim_test

import (
	"fmt"
	"math"
	"testing"

	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/sim/pipework"
)

// What made a wait, at every tap of every house, from cold and after rests. The water that
// stood too cool has to leave whatever else there is, and the wall, which stands as warm as
// it, only takes heat from what follows: neither share is below 0, but for the cell to which
// it is known where the warm water begins. The sum is the wait.
func TestPartsOfAWait(t *testing.T) {
	for _, name := range scenarios.Embedded() {
		s, err := scenarios.LoadEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		h := s.House()
		for f := range h.Fixtures {
			trace, err := sim.NewTrace(&h, sim.TraceOptions{Fixture: f, Rests: []float64{300, 1200, 7200}, Run: 240, Grid: pipework.OpeningGrid})
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range trace.Openings {
				at := fmt.Sprintf("%s, %s, before it %.1f °C at the heater and %.1f °C at the tap", name, trace.Fixture, o.Before.HeaterEnd, o.Before.TapEnd)
				if o.Wait == nil {
					continue
				}
				p := o.Parts
				if p.Plug == nil {
					t.Errorf("%s: the wait has no parts", at)
					continue
				}
				cell := trace.Stored / trace.Flow / float64(len(o.Profiles[0].Distance)-1)
				if !(*p.Plug >= 0) || !(*p.Wall >= -cell) {
					t.Errorf("%s: %g s of plug flow and %g s of the wall", at, *p.Plug, *p.Wall)
				}
				if sum := *p.Plug + *p.Wall + *p.Loss + *p.Dispersion + *p.Heater; !(math.Abs(sum-*o.Wait) <= 1e-9**o.Wait) {
					t.Errorf("%s: the parts make %g s, the wait is %g s", at, sum, *o.Wait)
				}
			}
		}
	}
}
