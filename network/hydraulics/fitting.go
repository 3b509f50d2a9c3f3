package hydraulics

import (
	"bytes"
	_ "embed" // the table is part of the program
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"sync"

	"pipelag/network"
	"pipelag/network/tubes"
)

//go:embed fittings.csv
var fittingTable []byte

const foot = 0.3048 // [m], exact by definition

// equivalent is the length of straight tube with the loss of each fitting [m].
type equivalent struct{ elbow, run, branch float64 }

// Loss coefficients for tubes and sizes without a table of equivalent lengths.
//
// Source: 2018 IRC appendix A table A.2.2, screwed fittings: 90° ell 0.9, tee
// with branch flow 1.8, read; tee with straight flow 0.5 (its 20 diameters at a
// friction factor of 0.025), from memory. The appendix is of gas pipe. Insert
// fittings for plastic tube narrow the bore and may lose several times as much, and
// a tube bent round its corners loses less, both from memory.
const (
	elbowK  = 0.9
	runK    = 0.5
	branchK = 1.8
)

// A table that cannot be read is a fault of the program, not of its user.
var tabled = sync.OnceValue(func() map[string]equivalent {
	table, err := readFittings(fittingTable)
	if err != nil {
		panic("hydraulics: embedded table: " + err.Error())
	}
	return table
})

// readFittings gives equivalent lengths by family and size; the map is looked
// up only.
func readFittings(text []byte) (map[string]equivalent, error) {
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	table := make(map[string]equivalent, len(rows))
	for _, r := range rows[1:] {
		var e equivalent
		for i, to := range []*float64{&e.elbow, &e.run, &e.branch} {
			feet, err := strconv.ParseFloat(r[2+i], 64)
			if err != nil || !(feet >= 0 && feet < 100) {
				return nil, fmt.Errorf("%s %s: %q is no equivalent length", r[0], r[1], r[2+i])
			}
			*to = feet * foot
		}
		table[r[0]+" "+r[1]] = e
	}
	return table, nil
}

// fittingLoss is what fittings add to a tube: straight length [m] where the
// material and nominal size are in a table, else a loss coefficient [-].
func fittingLoss(t tubes.Tube, f network.Fittings) (length, k float64, inTable bool) {
	elbows, runs, branches := float64(f.Elbows), float64(f.TeeRuns), float64(f.TeeBranches)
	if e, ok := tabled()[t.Material.Name+" "+t.Size]; ok {
		return elbows*e.elbow + runs*e.run + branches*e.branch, 0, true
	}
	return 0, elbows*elbowK + runs*runK + branches*branchK, false
}

// inserted tells whether a tube's usual fittings stand within its bore; from memory.
func inserted(t tubes.Tube) bool {
	return slices.Contains([]string{"PEX", "PE-RT", "PEX-AL-PEX", "multilayer"}, t.Material.Name)
}
