package sim

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/sim/heater"
)

// heaterCautions are what years raise of the heater of the cottage, in which so much
// water is used gone cool and so much in all [m³], and the store was as cool as that at
// its coolest [°C].
func heaterCautions(t *testing.T, kind heater.Kind, cooled, used, coolest float64) []string {
	t.Helper()
	h := cottage(t)
	h.Climate.Mains = constant(10)
	h.Heater.Kind = kind
	l := &layoutYears{coolest: coolest, rests: make([]rest, len(h.Fixtures)), returned: math.NaN()}
	for q := range l.annual {
		l.annual[q].add(0)
	}
	l.annual[Cooled], l.annual[Used] = moments{}, moments{}
	l.annual[Cooled].add(cooled)
	l.annual[Used].add(used)
	var heaters []string
	for _, text := range append(textsOf(l.cautions(h, "")), textsOf(Cautions(h))...) {
		if strings.HasPrefix(text, "Heater: ") {
			heaters = append(heaters, text)
		}
	}
	return heaters
}

// The fixtures of the cottage draw 0.13 L/s at 41 °C, 0.09 at 43 and 0.06 at 38: from
// 10 °C that takes 4158 J/(L K) times 8.68 L K/s, 36 kW, and the first alone 16.8 kW:
// water of 31 °C has 995.3 kg/m³ and 4178 J/(kg K) (from memory).
func TestCautionsOfInstantaneous(t *testing.T) {
	kind := func(power, delay, least float64) heater.Instantaneous {
		return heater.Instantaneous{Setpoint: 52, Power: power, Efficiency: 0.8, Carrier: heater.Gas, LeastFlow: least, Delay: delay, Exchanger: 6000}
	}
	const fires, flow, power, weak = "until it fires, 4 s after", "heats nothing below 1.80 L/min", "too little for all fixtures at once", "never brings the flow"
	for _, c := range []struct {
		name   string
		kind   heater.Instantaneous
		cooled float64
		says   []string
	}{
		{"all ways", kind(30e3, 4, 3e-5), 0.1, []string{fires, flow, power}},
		{"with power enough", kind(100e3, 4, 3e-5), 0.1, []string{fires, flow}},
		{"at once", kind(100e3, 0, 3e-5), 0.1, []string{flow}},
		{"at any flow", kind(100e3, 4, 0), 0.1, []string{fires}},
		{"by luck", kind(100e3, 0, 0), 0.04, nil},
		{"never", kind(14e3, 0, 0), 0, []string{weak}},
	} {
		t.Run(c.name, func(t *testing.T) {
			said := strings.Join(heaterCautions(t, c.kind, c.cooled, 50, never), "\n")
			for _, way := range []string{fires, flow, power, weak} {
				saysIt := false
				for _, s := range c.says {
					saysIt = saysIt || s == way
				}
				require.Equal(t, saysIt, strings.Contains(said, way), "%q in %q", way, said)
			}
			require.Equal(t, c.says == nil, said == "", said)
		})
	}
	// 14 kW heat 0.13 L/s by 14 000/(4158 · 0.13) = 25.9 K, from 10 to 35.9 °C, and the
	// others by more than they need.
	said := heaterCautions(t, kind(14e3, 0, 0), 0, 50, never)
	require.Len(t, said, 1)
	require.Contains(t, said[0], "at shower (7.80 L/min (2.06 gpm) come to 35.9 C ")
	require.NotContains(t, said[0], "basin")
}

// A store runs short where it was too cool for the sink, whether or not any water was
// usable before; what is little and for no such reason is luck.
func TestCautionsOfStore(t *testing.T) {
	tank := heater.Storage{Volume: 0.1, Height: 1, Layers: 8, Loss: 1, Conductivity: 1, Main: &heater.Stage{Source: heater.Element{Power: 3000}, Height: 0.1, Sensor: 0.2, Setpoint: 60, Band: 5}}
	for _, c := range []struct {
		name                  string
		kind                  heater.Kind
		cooled, used, coolest float64
		says                  string // empty for nothing
	}{
		{"runs short", tank, 0.2, 50, 30, "Heater: 200 L (52.8 gal) a year were used when water that had been usable was so no longer: at its coolest the store gave 30.0 C (86.0 F), and sink waits for 43.0 C"},
		{"never usable", tank, 0, 50, 30, "Heater: at its coolest the store gave 30.0 C (86.0 F), and sink waits for 43.0 C"},
		{"short between hours", tank, 0.2, 50, 55, "though the store gave usable water at every full hour"},
		{"luck", tank, 0.02, 50, 55, ""},
		{"held", heater.Held{Setpoint: 52, Efficiency: 1}, 0.2, 50, 30, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			said := heaterCautions(t, c.kind, c.cooled, c.used, c.coolest)
			if c.says == "" {
				require.Empty(t, said)
				return
			}
			require.Len(t, said, 1)
			require.Contains(t, said[0], c.says)
		})
	}
}

// A COP that follows neither air nor set point is told where that matters: in air colder
// than the 3 °C (37 °F, from memory) of a usual compressor, and with a set point far from
// the 125 °F of the federal test (10 CFR 430, from memory). By hand: 66 °C lie 14.3 K above
// that, and at −0.042/K (middles of NREL/TP-5500-62121, from memory) the COP is 0.6 less.
func TestCautionOfCOP(t *testing.T) {
	pump := heater.Held{Setpoint: 52, Efficiency: 3}
	const says, freezes, far = "its COP of 3 is taken in any air", "as cold as -5.0 C (23.0 F) in cellar", "set to 66.0 C (150.8 F), where a usual COP differs by -27 %"
	for _, c := range []struct {
		name     string
		kind     heater.Kind
		setpoint float64
		air      float64
		says     []string
	}{
		{"mild", pump, 52, 14, nil},
		{"freezing", pump, 52, -5, []string{says, freezes}},
		{"hot", pump, 66, 14, []string{says, far}},
		{"both", pump, 66, -5, []string{says, freezes, far}},
		{"an element", heater.Held{Setpoint: 52, Efficiency: 1}, 66, -5, nil},
		{"in layers", heater.Storage{Volume: 0.1, Height: 1, Layers: 8, Main: &heater.Stage{
			Source: heater.HeatPump{Power: 500, COP: heater.UsualCOP, LeastAir: 3, MostWater: 65}, Height: 0.1, Sensor: 0.2, Setpoint: 52, Band: 5,
		}}, 52, -5, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := cottage(t)
			h.Climate.Mains = constant(10)
			for i := range h.Climate.Zones {
				h.Climate.Zones[i].Temperature = constant(c.air)
			}
			h.Heater.Kind, h.Heater.Setpoint, h.Heater.Zone = c.kind, c.setpoint, "cellar"
			said := strings.Join(textsOf(Cautions(h)), "\n")
			for _, way := range []string{says, freezes, far} {
				require.Equal(t, slices.Contains(c.says, way), strings.Contains(said, way), "%q in %q", way, said)
			}
		})
	}
}
