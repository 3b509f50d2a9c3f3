package main

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/parquet-go/parquet-go"
	"github.com/rogpeppe/go-internal/testscript"

	"pipelag/sim"
)

// keys FILE: the file is a result under the keys that other programs read, with
// every interval in order, and this package reads it back.
func keys(ts *testscript.TestScript, _ bool, args []string) {
	text := []byte(ts.ReadFile(args[0]))
	var whole map[string]any
	ts.Check(json.Unmarshal(text, &whole))
	has := func(of any, at string, names ...string) map[string]any {
		m, ok := of.(map[string]any)
		if !ok {
			ts.Fatalf("%s is no object", at)
		}
		for _, name := range names {
			if _, ok := m[name]; !ok {
				ts.Fatalf("%s has no %s", at, name)
			}
		}
		return m
	}
	annual := []string{
		"purged_L", "left_running_L", "used_L", "wait_h", "pipe_loss_kWh", "drain_kWh", "tank_loss_kWh",
		"heater_kWh", "pump_kWh", "cost", "co2_kg",
	}
	interval := func(of map[string]any, key string) {
		i := has(of[key], key, "mean", "low", "high")
		mean, low, high := i["mean"].(float64), i["low"].(float64), i["high"].(float64)
		if !(low <= mean && mean <= high) {
			ts.Fatalf("%s: %v", key, i)
		}
	}
	has(whole, "the result", "version", "scenario", "seed", "years", "layouts", "differences", "left_out", "cautions", "assumptions")
	has(whole["scenario"], "scenario", "name", "sha256")
	for _, l := range whole["layouts"].([]any) {
		l := has(l, "a layout", "name", "arrangement", "balance_error", "annual", "fixtures")
		for _, key := range annual {
			interval(has(l["annual"], "annual", annual...), key)
		}
		for _, f := range l["fixtures"].([]any) {
			f := has(f, "a fixture", "name", "draws_per_day", "wait_s", "purged_L_per_draw", "never_hot")
			has(f["wait_s"], "wait_s", "p50", "p90")
		}
	}
	for _, d := range whole["differences"].([]any) {
		d := has(d, "a difference", append(annual, "layout", "against")...)
		for _, key := range annual {
			interval(d, key)
		}
	}
	var back sim.Result
	ts.Check(json.Unmarshal(text, &back))
}

// whole FOLDER: the folder is a data package: every file it names is there with
// its size and hash, every other file is named, and every table has the columns
// described, of their types where they are known, with rows that its key tells
// apart.
func whole(ts *testscript.TestScript, _ bool, args []string) {
	var p dataPackage
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(filepath.Join(args[0], "datapackage.json"))), &p))
	named := []string{"datapackage.json"}
	for _, r := range p.Resources {
		named = append(named, r.Path)
		text := ts.ReadFile(filepath.Join(args[0], r.Path))
		sum := sha256.Sum256([]byte(text))
		if r.Bytes != len(text) || r.Hash != "sha256:"+hex.EncodeToString(sum[:]) {
			ts.Fatalf("%s is not the file described", r.Path)
		}
		if strings.HasSuffix(r.Path, ".csv") {
			wholeTable(ts, r, text)
			wholeParquet(ts, r, text, ts.ReadFile(filepath.Join(args[0], strings.TrimSuffix(r.Path, ".csv")+".parquet")))
		}
	}
	found, err := filepath.Glob(filepath.Join(ts.MkAbs(args[0]), "*"))
	ts.Check(err)
	for i := range found {
		found[i] = filepath.Base(found[i])
	}
	slices.Sort(named)
	if !slices.Equal(found, named) {
		ts.Fatalf("there are %v, described are %v", found, named)
	}
}

func wholeTable(ts *testscript.TestScript, r resource, text string) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	ts.Check(err)
	if len(rows) < 2 || r.Schema == nil || len(r.Schema.Fields) != len(rows[0]) {
		ts.Fatalf("%s has %d rows and is described by %v", r.Path, len(rows), r.Schema)
	}
	seen := make(map[string]bool)
	for n, row := range rows {
		key := ""
		for i, f := range r.Schema.Fields {
			if n == 0 && (row[i] != f.Name || f.Description == "") {
				ts.Fatalf("%s: column %q is described as %q %q", r.Path, row[i], f.Name, f.Description)
			}
			if _, err := strconv.ParseFloat(row[i], 64); n > 0 && f.Type != "string" && row[i] != "" && err != nil {
				ts.Fatalf("%s: %s of %q is no %s", r.Path, f.Name, row[i], f.Type)
			}
			if slices.Contains(r.Schema.PrimaryKey, f.Name) {
				key += row[i] + "\n"
			}
		}
		if seen[key] {
			ts.Fatalf("%s: two rows of %q", r.Path, key)
		}
		seen[key] = true
	}
}

// wholeParquet holds a Parquet table to have the columns and the rows of the CSV
// table that is described.
func wholeParquet(ts *testscript.TestScript, r resource, text, other string) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	ts.Check(err)
	f, err := parquet.OpenFile(strings.NewReader(other), int64(len(other)))
	ts.Check(err)
	if f.NumRows() != int64(len(rows)-1) {
		ts.Fatalf("%s has %d rows, its Parquet %d", r.Path, len(rows)-1, f.NumRows())
	}
	for i, c := range f.Root().Columns() {
		kind := map[string]string{"DOUBLE": "number", "INT64": "integer", "BYTE_ARRAY": "string"}[c.Type().Kind().String()]
		if i >= len(rows[0]) || c.Name() != rows[0][i] || kind != r.Schema.Fields[i].Type {
			ts.Fatalf("%s: Parquet column %d is %s, a %s", r.Path, i+1, c.Name(), kind)
		}
	}
}
