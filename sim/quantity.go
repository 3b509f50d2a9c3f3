package sim

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"

	"pipelag/sim/heater"

	"gonum.org/v1/gonum/floats"
)

// Quantity is one annual number of a layout.
type Quantity int

// The annual numbers, in the order in which they are reported.
const (
	Purged      Quantity = iota // water that ran out before it was usable [m³]
	LeftRunning                 // water that ran usable with nobody there [m³]
	Used                        // water put to use [m³]
	HotDrawn                    // of all that, what came through the hot pipes [m³]
	Wait                        // time spent waiting [s]
	PipeLoss                    // heat lost from pipes [J]
	Drain                       // heat in the water purged and left running, above the mains [J]
	TankLoss                    // heat lost from the heater, through its jacket, and its flue while the burner is off [J]
	HeaterInput                 // energy into the heater [J]
	PumpInput                   // electricity into the pump [J]
	Pumped                      // water moved round the loop [m³]
	PumpTime                    // time the pump ran [s]
	Cost                        // of water and energy [money]
	Carbon                      // of energy [kg CO₂]

	Cooled       // water used after usable water had come and gone again; little of it is luck, see tellingCooled [m³]
	LoopLoss     // heat lost from the pipes of the loop, of all that pipes lose [J]
	Electricity  // into the heater, of all the energy into it [J]
	Gas          // likewise [J]
	Wood         // likewise [J]
	Sun          // likewise [J]
	HeatingSaved // energy for heating rooms that heat from pipes makes up for [J]
	CoolingAdded // energy for cooling rooms that it takes [J]
	NetLoss      // heat lost from pipes, less what of it heats rooms in months of heating [J]
	NetEnergy    // into heater and pump, less what heating saves, plus what cooling takes [J]
	NetCost      // likewise [money]
	NetCarbon    // likewise [kg CO₂]

	ColdHeat   // heat that a cold line with a crossover brought to cold taps [J]
	ColdWarm   // water it brought them lukewarm [m³]
	ColdOver   // water sent into it hotter than the energy code lets it be [m³]
	ColdLoss   // heat lost from it, of all that pipes lose; below 0 where it took up more [J]
	Quantities = int(ColdLoss) + 1
)

const (
	litre = 1e-3
	kWh   = 3.6e6
	hour  = 3600
)

// quantities names the annual numbers for other programs: key and the size of
// the key's unit in SI.
var quantities = [Quantities]struct {
	key  string
	unit float64
}{
	Purged:      {"purged_L", litre},
	LeftRunning: {"left_running_L", litre},
	Used:        {"used_L", litre},
	HotDrawn:    {"hot_drawn_L", litre},
	Wait:        {"wait_h", hour},
	PipeLoss:    {"pipe_loss_kWh", kWh},
	Drain:       {"drain_kWh", kWh},
	TankLoss:    {"tank_loss_kWh", kWh},
	HeaterInput: {"heater_kWh", kWh},
	PumpInput:   {"pump_kWh", kWh},
	Pumped:      {"pumped_L", litre},
	PumpTime:    {"pump_h", hour},
	Cost:        {"cost", 1},
	Carbon:      {"co2_kg", 1},

	Cooled:       {"cooled_L", litre},
	LoopLoss:     {"loop_loss_kWh", kWh},
	Electricity:  {"heater_electricity_kWh", kWh},
	Gas:          {"heater_gas_kWh", kWh},
	Wood:         {"heater_wood_kWh", kWh},
	Sun:          {"heater_sun_kWh", kWh},
	HeatingSaved: {"heating_saved_kWh", kWh},
	CoolingAdded: {"cooling_added_kWh", kWh},
	NetLoss:      {"net_pipe_loss_kWh", kWh},
	NetEnergy:    {"net_energy_kWh", kWh},
	NetCost:      {"net_cost", 1},
	NetCarbon:    {"net_co2_kg", 1},

	ColdHeat: {"cold_tap_kWh", kWh},
	ColdWarm: {"cold_lukewarm_L", litre},
	ColdOver: {"cold_over_limit_L", litre},
	ColdLoss: {"cold_line_loss_kWh", kWh},
}

// Key is the quantity's name in result files, with its unit.
func (q Quantity) Key() string { return quantities[q].key }

// ParseQuantity finds a quantity by its key.
func ParseQuantity(key string) (Quantity, error) {
	keys := ""
	for q := range quantities {
		if quantities[q].key == key {
			return Quantity(q), nil
		}
		keys += " " + quantities[q].key
	}
	return 0, fmt.Errorf("unknown quantity %q; known are%s", key, keys)
}

// Values holds one number for each quantity, in SI.
type Values [Quantities]float64

// Less is one annual number less another of the same quantity, from the same year: 0
// where the two are within what the accounts leave open (balanceWithin) of each other,
// since how a pipe is cut then makes as much of a difference.
func Less(a, b float64) float64 {
	if math.Abs(a-b) <= balanceWithin*max(math.Abs(a), math.Abs(b)) {
		return 0
	}
	return a - b
}

// MarshalJSON writes the values under their keys, in the keys' units.
func (v Values) MarshalJSON() ([]byte, error) {
	return marshalByKey(func(q Quantity, scale float64) any { return v[q] / scale })
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (v *Values) UnmarshalJSON(data []byte) error {
	return unmarshalByKey(data, func(q Quantity) any { return &v[q] }, func(q Quantity, unit float64) { v[q] *= unit })
}

// Intervals holds one estimate for each quantity, in SI.
type Intervals [Quantities]Interval

// MarshalJSON writes the estimates under their keys, in the keys' units.
func (v Intervals) MarshalJSON() ([]byte, error) {
	return marshalByKey(func(q Quantity, scale float64) any { return v[q].scaled(1 / scale) })
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (v *Intervals) UnmarshalJSON(data []byte) error {
	return unmarshalByKey(data, func(q Quantity) any { return &v[q] }, func(q Quantity, unit float64) { v[q] = v[q].scaled(unit) })
}

// unmarshalByKey reads each quantity's value, in the key's unit, and puts it into SI.
func unmarshalByKey(data []byte, into func(q Quantity) any, inSI func(q Quantity, unit float64)) error {
	var m map[string]json.RawMessage
	if err := json.Unmarshal(data, &m); err != nil {
		return err
	}
	for k, known := range quantities {
		raw, ok := m[known.key]
		if !ok {
			return fmt.Errorf("no %s", known.key)
		}
		q := Quantity(k)
		if err := json.Unmarshal(raw, into(q)); err != nil {
			return fmt.Errorf("%s: %w", known.key, err)
		}
		inSI(q, known.unit)
	}
	return nil
}

func marshalByKey(value func(q Quantity, unit float64) any) ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for q, known := range quantities {
		if q > 0 {
			b.WriteByte(',')
		}
		text, err := json.Marshal(value(Quantity(q), known.unit))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", known.key, err)
		}
		fmt.Fprintf(&b, "%q:%s", known.key, text)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// values sums one month's accounts up into the annual numbers; month is from 0.
func (m *monthly) values(h *House, month int) Values {
	var v Values
	for i := range m.taps {
		t := &m.taps[i]
		v[Purged] += t.purged.water
		v[LeftRunning] += t.left.water
		v[Used] += t.used.water
		v[Cooled] += t.cooled
		v[HotDrawn] += t.hot
		v[Wait] += t.wait
		v[Drain] += t.purged.heat + t.left.heat
	}
	v[PipeLoss] = floats.Sum(m.pipeLoss)
	v[LoopLoss] = m.loopLoss
	v[TankLoss] = m.tankLoss
	v[HeaterInput] = floats.Sum(m.energy[:])
	v[PumpInput] = m.pump
	v[Pumped] = m.pumped
	v[PumpTime] = m.running
	v[ColdHeat], v[ColdWarm], v[ColdOver], v[ColdLoss] = m.coldHeat, m.coldWarm, m.coldOver, m.coldLoss
	r := &h.Rates
	v[Cost] = r.Water * (v[Purged] + v[LeftRunning] + v[Used])
	taken := m.energy
	taken[heater.Electricity] += m.pump
	for c, e := range taken {
		v[Cost] += r.Energy[c] * e / kWh
		v[Carbon] += r.Carbon[c] * e / kWh
	}
	for c, q := range [heater.Carriers]Quantity{heater.Electricity: Electricity, heater.Gas: Gas, heater.Wood: Wood, heater.Sun: Sun} {
		v[q] = m.energy[c]
	}
	v.credit(m, h, month)
	return v
}

// credit counts the heat that pipes lose into conditioned zones for what it is
// worth there.
func (v *Values) credit(m *monthly, h *House, month int) {
	v[NetLoss], v[NetEnergy], v[NetCost], v[NetCarbon] = v[PipeLoss], v[HeaterInput]+v[PumpInput], v[Cost], v[Carbon]
	if h.Space == nil {
		return
	}
	lost := 0.0
	for z, zone := range h.Climate.Zones {
		if zone.Conditioned {
			lost += m.pipeLoss[z]
		}
	}
	r := &h.Rates
	if s := &h.Space.Heating; s.Months[month] {
		v[HeatingSaved] = lost / s.Efficiency
		v[NetLoss] -= lost
		v[NetEnergy] -= v[HeatingSaved]
		v[NetCost] -= r.Energy[s.Carrier] * v[HeatingSaved] / kWh
		v[NetCarbon] -= r.Carbon[s.Carrier] * v[HeatingSaved] / kWh
	}
	if s := &h.Space.Cooling; s.Months[month] {
		v[CoolingAdded] = lost / s.Efficiency
		v[NetEnergy] += v[CoolingAdded]
		v[NetCost] += r.Energy[s.Carrier] * v[CoolingAdded] / kWh
		v[NetCarbon] += r.Carbon[s.Carrier] * v[CoolingAdded] / kWh
	}
}
