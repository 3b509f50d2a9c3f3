package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/sim/heater"
)

// By hand: 45 kW heat 45 000/(996 · 4180 · 45) m³/s by 45 K, water of 29 °C having
// 996 kg/m³ and 4180 J/(kg K) (from memory); twice that by half as much.
func TestFiring(t *testing.T) {
	h := cottage(t)
	none, err := NewFiring(h)
	require.NoError(t, err)
	require.Nil(t, none)

	const most = 45000.0 / (996 * 4180 * 45)
	h.Climate.Mains = constant(6.5)
	h.Heater.Setpoint = 51.5
	h.Heater.Kind = heater.Instantaneous{Setpoint: 51.5, Power: 45e3, Efficiency: 0.8, Carrier: heater.Gas, LeastFlow: 3e-5, Delay: 4, Exchanger: 6000}
	f, err := NewFiring(h)
	require.NoError(t, err)
	check.Within(t, most, f.MostFlow, 0.002*most, "most flow")
	check.Within(t, 51.5, f.Gives(most/2, f.Coldest), 1e-9, "as much as it can heat")
	check.Within(t, 29, f.Gives(2*most, 6.5), 0.1, "twice as much")
	check.Within(t, 6.5, f.Gives(2.9e-5, 6.5), 1e-9, "too little to fire")

	h.Climate.Mains = constant(60)
	f, err = NewFiring(h)
	require.NoError(t, err)
	require.True(t, math.IsInf(f.MostFlow, 1))
	check.Within(t, 60, f.Gives(1, f.Coldest), 1e-9, "mains warmer than the set point")
}
