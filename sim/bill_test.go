package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/sim/heater"
)

// A bill holds what the house says, by the names of carriers: of a heat pump with an
// element above it both, and rooms where heat in them counts.
func TestBill(t *testing.T) {
	h := &House{
		Rates: Rates{
			Water:  4,
			Energy: [heater.Carriers]float64{heater.Electricity: 0.2, heater.Gas: 0.06},
			Carbon: [heater.Carriers]float64{heater.Electricity: 0.4, heater.Gas: 0.2},
		},
		Heater: Heater{Kind: heater.Storage{
			Main:  &heater.Stage{Source: heater.HeatPump{COP: heater.COP{Rated: 3.5}}},
			Upper: &heater.Stage{Source: heater.Element{}},
			Coil:  &heater.Coil{Carrier: heater.Sun},
		}},
	}
	require.Equal(t, Bill{
		Water:  4,
		Energy: []CarrierBill{{"electricity", 0.2, 0.4}, {"gas", 0.06, 0.2}, {"wood", 0, 0}, {"sun", 0, 0}},
		Heater: []HeaterSource{{"electricity", 3.5}, {"electricity", 1}, {"sun", 1}},
	}, h.bill())

	h.Heater.Kind = heater.Instantaneous{Carrier: heater.Gas, Efficiency: 0.82}
	h.Space = &Space{
		Heating: Season{Months: [12]bool{0: true, 11: true}, Carrier: heater.Gas, Efficiency: 0.8},
		Cooling: Season{Efficiency: 3},
	}
	b := h.bill()
	require.Equal(t, []HeaterSource{{"gas", 0.82}}, b.Heater)
	require.Equal(t, &SeasonBill{"gas", 0.8, []int{1, 12}}, b.Heating)
	require.Equal(t, &SeasonBill{"electricity", 3, []int{}}, b.Cooling)
}
