package sim

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/network"
	"pipelag/schedules"
	"pipelag/sim/heater"
	"pipelag/sim/pipework"
)

// Two heaters know nothing of each other: a house with two, each with a tap, comes to what
// two houses with one of either come to, though both taps run at once and either alone asks
// for nearly all that its heater has.
func TestHeatersByThemselves(t *testing.T) {
	element := &heater.Stage{Source: heater.Element{Power: 4500}, Height: 0.1, Sensor: 0.1, Setpoint: 55, Band: 5}
	for name, c := range map[string]struct {
		kind heater.Kind
		off  float64 // allowed, as a share
	}{
		"held": {heater.Held{Setpoint: 55, Loss: 2, Efficiency: 0.9}, 1e-4},
		"instantaneous": {heater.Instantaneous{
			Setpoint: 55, Power: 16e3, Efficiency: 0.9, Carrier: heater.Gas, LeastFlow: 3e-5, Delay: 4, Exchanger: 6000, Loss: 2, Electronics: 5,
		}, 1e-4},
		// Its layers hang a little on when they are looked at, as its own tests say, and
		// a draw on the other heater is a look too.
		"tank": {heater.Storage{Volume: 0.08, Height: 1, Layers: 12, Loss: 1.5, Conductivity: 1.7, Main: element}, 1e-2},
	} {
		t.Run(name, func(t *testing.T) {
			h := bench(t, "copper L", "3/4", 1, 20, 55)
			h.Heater.Kind = c.kind
			places := [2]network.Point{{}, {X: 3, Y: 5}}
			taps := [2]network.Point{{X: 9, Z: 1}, {X: 4, Y: 6, Z: 2}}
			run := network.Run{Tube: mustTube(t, "PEX", "1/2"), Zone: "room"}
			h.Fixtures = nil
			var parts []network.Part
			for i := range taps {
				name := fmt.Sprintf("tap %d", i)
				h.Fixtures = append(h.Fixtures, Fixture{Name: name, Flow: 2e-4, Usable: 40})
				site := network.Site{Heater: places[i], Fixtures: []network.Stand{{Name: name, At: taps[i]}}}
				n, err := network.TrunkAndBranch(name, site, run, []network.Run{run})
				require.NoError(t, err)
				parts = append(parts, network.Part{Network: n, Heater: places[i], Fixtures: []int{i}})
			}
			// Two showers of a quarter of an hour at once, and a basin's worth later from either.
			draws := func(fixtures ...int) (wishes []schedules.Wish) {
				for _, start := range []float64{20000, 21500} {
					for _, f := range fixtures {
						of := len(wishes) % len(fixtures) // its number in the house there is
						wishes = append(wishes, schedules.Wish{
							Fixture: of, Kind: schedules.Washing, Start: start + 7*float64(f), Flow: 1.2e-4, Duration: 900, Patience: 300, StepIn: 10, Mixed: 39, Usable: 40,
						})
					}
				}
				return wishes
			}
			annual := func(n *network.Network, fixtures []Fixture, wishes []schedules.Wish) Values {
				one := *h
				one.Fixtures, one.Layouts = fixtures, []Layout{{Network: n}}
				p, err := newPlant(&one, &one.Layouts[0], pipework.Model{Grid: 0.5})
				require.NoError(t, err)
				y := newYear(p, 1, 0)
				require.NoError(t, y.day(0, wishes))
				require.NoError(t, y.finish())
				return y.ledger.months[0].values(&one, 0)
			}
			both, err := network.Join("both", places[0], 2, parts...)
			require.NoError(t, err)
			got := annual(both, h.Fixtures, draws(0, 1))
			var want Values
			for i := range parts {
				for q, v := range annual(parts[i].Network, h.Fixtures[i:i+1], draws(i)) {
					want[q] += v
				}
			}
			require.Positive(t, want[TankLoss])
			for q := range want {
				check.Within(t, want[q], got[q], c.off*math.Abs(want[q])+1e-9, Quantity(q).Key())
			}
		})
	}
}
