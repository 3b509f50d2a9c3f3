package verify

import (
	"context"
	"errors"
	"fmt"
	"math"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/hydraulics"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/schedules/climate"
)

func publishedTables(context.Context) ([]Line, error) {
	var all []Line
	for _, table := range []func() ([]Line, error){waterProperties, volumes, sleeves, frictionLosses, fixtureDemands, mains} {
		lines, err := table()
		if err != nil {
			return nil, err
		}
		all = append(all, lines...)
	}
	return all, nil
}

func waterProperties() ([]Line, error) {
	var lines []Line
	for _, r := range records("water.csv") {
		w, err := heat.WaterAt(r.number("temperature_C"))
		if err != nil {
			return nil, err
		}
		var got float64
		var unit string
		switch r["quantity"] {
		case "density":
			got, unit = w.Density, "kg/m³"
		case "heat capacity":
			got, unit = w.SpecificHeat, "J/(kg K)"
		case "viscosity":
			got, unit = w.Viscosity*1000, "mPa s"
		case "conductivity":
			got, unit = w.Conductivity, "W/(m K)"
		}
		lines = append(lines, topic{"water", unit}.relative(fmt.Sprintf("%s at %s °C", r["quantity"], r["temperature_C"]), r.number("value"), got, r.tolerance(), r.source()))
	}
	return lines, nil
}

func volumes() ([]Line, error) {
	const perFoot = gallon / 128 / foot // of an ounce [m³/m]
	var lines []Line
	for _, r := range records("volume_per_length.csv") {
		tube, err := tubes.Find(r["kind"], r["size"])
		if err != nil {
			return nil, err
		}
		lines = append(lines, topic{"water held by a tube", "oz/ft"}.relative(r["kind"]+" "+r["size"], r.number("oz_per_ft"), tube.Volume()/perFoot, r.tolerance(), r.source()))
	}
	return lines, nil
}

// sleeves compares the loss through the sleeve alone. The table has one column
// for a copper tube and the iron pipe of like diameter, and its value lies
// between the two: midway is computed, and half the difference may be missed
// besides half a last digit.
func sleeves() ([]Line, error) {
	var lines []Line
	for _, r := range records("sleeve_loss.csv") {
		tube, err := tubes.Find(r["kind"], r["size"])
		if err != nil {
			return nil, err
		}
		iron := tube
		iron.Outside = r.number("iron_pipe_outside_in") * inch
		rise := r.number("rise_F") / 1.8
		var losses [2]float64 // [W/m]
		for i, t := range []tubes.Tube{tube, iron} {
			resistance, err := sleeveResistance(t, r.number("thickness_in")*inch)
			if err != nil {
				return nil, err
			}
			losses[i] = rise / resistance
		}
		lines = append(lines, topic{"loss through glass fibre alone", "W/ft"}.absolute(
			fmt.Sprintf("%s in on %s in tube, %s °F", r["thickness_in"], r["size"], r["rise_F"]),
			r.number("loss_W_per_ft"), (losses[0]+losses[1])/2*foot,
			r.tolerance()+math.Abs(losses[0]-losses[1])/2*foot, r.source()))
	}
	return lines, nil
}

// sleeveResistance is that of glass fibre round a tube [m K/W].
func sleeveResistance(t tubes.Tube, thickness float64) (float64, error) {
	fibreglass, err := tubes.FindSleeve("fibreglass")
	if err != nil {
		return 0, err
	}
	l, err := heat.NewLine(t, tubes.Sleeve{Material: fibreglass, Thickness: thickness}, 0, heat.Burial{}, false)
	if err != nil {
		return 0, err
	}
	w, err := heat.WaterAt(50)
	if err != nil {
		return 0, err
	}
	for _, c := range l.Explain(w, 0, 25, 20) {
		if c.Symbol == "R_s" {
			return c.Value, nil
		}
	}
	return 0, errors.New("a sleeved line explains no resistance of its sleeve")
}

// frictionLosses are at the 60 °F of the table, in the bores that its flows and
// velocities come from.
func frictionLosses() ([]Line, error) {
	const psiPer100Foot = 6894.757293168 / (100 * foot) // [Pa/m]
	w, err := heat.WaterAt(celsius(60))
	if err != nil {
		return nil, err
	}
	var lines []Line
	for _, r := range records("cpvc_friction.csv") {
		tube, err := tubes.Find("CPVC", r["size"])
		if err != nil {
			return nil, err
		}
		tube.Inside = r.number("bore_in") * inch
		got := hydraulics.Loss(network.Pipe{Tube: tube, Length: 1}, w, r.number("flow_gpm")*gpm)
		lines = append(lines, topic{"friction, Darcy and Weisbach", "psi/100 ft"}.relative(
			fmt.Sprintf("CPVC %s at %s ft/s", r["size"], r["velocity_ft_s"]),
			r.number("loss_psi_per_100ft"), got/psiPer100Foot, r.tolerance(), r.source()))
	}
	return lines, nil
}

func mains() ([]Line, error) {
	var lines []Line
	for _, r := range records("mains.csv") {
		m, err := climate.NewMains(celsius(r.number("air_mean_F")), r.number("air_span_F")/1.8, false)
		if err != nil {
			return nil, err
		}
		low, high, mean := math.Inf(1), math.Inf(-1), 0.0
		day := func(n int) float64 { return m.At((float64(n)-0.5)*86400)*1.8 + 32 }
		for n := 1; n <= schedules.DaysPerYear; n++ {
			v := day(n)
			low, high, mean = min(low, v), max(high, v), mean+v/schedules.DaysPerYear
		}
		what := r["day_or_statistic"]
		var got float64
		switch what {
		case "min":
			got = low
		case "max":
			got = high
		case "mean":
			got = mean
		default:
			got = day(int(r.number("day_or_statistic")))
			what = "day " + what
		}
		lines = append(lines, topic{"mains, from the year's mean and span of the air", "°F"}.absolute(
			fmt.Sprintf("air %s °F, span %s °F, %s", r["air_mean_F"], r["air_span_F"], what),
			r.number("mains_F"), got, r.tolerance(), r.source()))
	}
	return lines, nil
}
