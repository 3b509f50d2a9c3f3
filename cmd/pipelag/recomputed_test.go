package main

import (
	"encoding/csv"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"pipelag/scenarios"
	"pipelag/sim"
)

// rowsOf are the rows of a table in a folder, by the names of its columns.
func rowsOf(ts *testscript.TestScript, folder, name string) []map[string]string {
	all, err := csv.NewReader(strings.NewReader(ts.ReadFile(filepath.Join(folder, name)))).ReadAll()
	ts.Check(err)
	var rows []map[string]string
	for _, cells := range all[1:] {
		row := make(map[string]string)
		for i, name := range all[0] {
			row[name] = cells[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func value(ts *testscript.TestScript, row map[string]string, key string) float64 {
	x, err := strconv.ParseFloat(row[key], 64)
	ts.Check(err)
	return x
}

// recomputed FOLDER: the means of a run's annual numbers and differences and their
// 95 % intervals follow from its years, three of each layout; what rounding makes of two
// years that are the same is no difference.
func recomputed(ts *testscript.TestScript, _ bool, args []string) {
	years := make(map[string][3]map[string]string)
	for _, row := range rowsOf(ts, args[0], "years.csv") {
		of := years[row["layout"]]
		of[int(value(ts, row, "year"))-1] = row
		years[row["layout"]] = of
	}
	// hold holds an estimate against the numbers of three years.
	hold := func(row map[string]string, key string, x [3]float64) {
		mean := (x[0] + x[1] + x[2]) / 3
		squares, size := 0.0, 0.0
		for _, x := range x {
			squares += (x - mean) * (x - mean)
			size = max(size, math.Abs(x))
		}
		// Student's t has for two degrees of freedom the exact distribution
		// 1/2 + t/(2 √(2 + t²)), which is 0.975 where t² = 2·0.95²/(1 − 0.95²).
		half := math.Sqrt(2*0.95*0.95/(1-0.95*0.95)) * math.Sqrt(squares/2/3)
		for end, want := range map[string]float64{"": mean, "_low": mean - half, "_high": mean + half} {
			if got := value(ts, row, key+end); !(math.Abs(got-want) <= 1e-9*max(size, 1)) {
				ts.Fatalf("%s%s of %s is %v, by its years %v", key, end, row["layout"], got, want)
			}
		}
	}
	annual, differences := rowsOf(ts, args[0], "annual.csv"), rowsOf(ts, args[0], "differences.csv")
	if len(annual) != len(years) || len(differences) != len(years)-1 {
		ts.Fatalf("%d layouts have years, %d have a mean, %d a difference", len(years), len(annual), len(differences))
	}
	numbers := func(layout, key string) (x [3]float64) {
		for k, row := range years[layout] {
			x[k] = value(ts, row, key)
		}
		return x
	}
	for _, s := range quantitiesShown {
		key := s.quantity.Key()
		for _, row := range annual {
			hold(row, key, numbers(row["layout"], key))
		}
		for _, row := range differences {
			x, against := numbers(row["layout"], key), numbers(row["against"], key)
			for k := range x {
				x[k] = sim.Less(x[k], against[k])
			}
			hold(row, key, x)
		}
	}
}

// nets FOLDER: what is paid and the net numbers follow from the others and the
// summary's bill as the text below the tables says, in a house of a gas heater that is
// heated by gas and cooled by electricity. The bill is the scenario's.
func nets(ts *testscript.TestScript, _ bool, args []string) {
	scenario, err := scenarios.Load(ts.MkAbs(filepath.Join(args[0], "scenario.yaml")))
	ts.Check(err)
	h := scenario.House()
	result, err := sim.ReadResult([]byte(ts.ReadFile(filepath.Join(args[0], "summary.json"))))
	ts.Check(err)
	bill := &result.Bill
	if bill.Heating.Carrier != "gas" || bill.Cooling.Carrier != "electricity" {
		ts.Fatalf("heated and cooled by others than gas and electricity")
	}
	if bill.Heating.Efficiency != h.Space.Heating.Efficiency || bill.Water != h.Rates.Water {
		ts.Fatalf("%+v, other than the scenario's", bill)
	}
	price, weight := make(map[string]float64), make(map[string]float64) // looked up only
	for _, c := range bill.Energy {
		price[c.Carrier], weight[c.Carrier] = c.Price, c.Carbon
	}
	for _, row := range rowsOf(ts, args[0], "annual.csv") {
		of := func(key string) float64 { return value(ts, row, key) }
		saved, added := of("heating_saved_kWh"), of("cooling_added_kWh")
		if !(saved > 0 && added > 0) {
			ts.Fatalf("%s saves %v and adds %v", row["layout"], saved, added)
		}
		gas, electricity := of("heater_kWh"), of("pump_kWh")
		billed := (of("purged_L") + of("left_running_L") + of("used_L")) / 1000
		cost := func(gas, electricity float64) float64 {
			return bill.Water*billed + price["gas"]*gas + price["electricity"]*electricity
		}
		carbon := func(gas, electricity float64) float64 {
			return weight["gas"]*gas + weight["electricity"]*electricity
		}
		for key, want := range map[string]float64{
			"cost":              cost(gas, electricity),
			"co2_kg":            carbon(gas, electricity),
			"net_pipe_loss_kWh": of("pipe_loss_kWh") - saved*bill.Heating.Efficiency,
			"net_energy_kWh":    gas + electricity - saved + added,
			"net_cost":          cost(gas-saved, electricity+added),
			"net_co2_kg":        carbon(gas-saved, electricity+added),
		} {
			if got := of(key); !(math.Abs(got-want) <= 1e-9*want) {
				ts.Fatalf("%s of %s is %v, by the others %v", key, row["layout"], got, want)
			}
		}
	}
}
