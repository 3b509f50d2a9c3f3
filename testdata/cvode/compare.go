package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"pipelag/sim"
	"pipelag/sim/pipework"
)

// weeks are lived through, each the first of a year from another seed. What counts is
// the error of the middle one, so that none is small by chance, nor large because some
// water came to a tap just as warm as is usable: whether somebody waits for more is then
// decided by less than any error.
const weeks = 5

// tries are how many times what is timed is run; the quickest counts.
const tries = 3

// The finest of each, against which its others are held.
const finestEngine = 330

var finestCVODES = finesse{band, 528, 1e-5}

// outcome is what each week came to.
type outcome [weeks]totals

// took is the time of all weeks together.
func (o *outcome) took() time.Duration {
	var sum time.Duration
	for i := range o {
		sum += o[i].took
	}
	return sum
}

// off is how far the purged water and the heat lost and drained of the middle week are
// off those of a limit [-].
func (o *outcome) off(limit *outcome) (purged, lost, drained float64) {
	middle := func(of func(totals) float64) float64 {
		var all []float64
		for i := range o {
			all = append(all, math.Abs(of(o[i])/of(limit[i])-1))
		}
		slices.Sort(all)
		return all[weeks/2]
	}
	return middle(func(t totals) float64 { return t.purged }),
		middle(func(t totals) float64 { return t.lost }),
		middle(func(t totals) float64 { return t.drained })
}

// ofEach lives through every week.
func ofEach(live func(seed uint64) (totals, error)) (*outcome, error) {
	var o outcome
	for i := range o {
		var err error
		if o[i], err = live(uint64(i + 1)); err != nil {
			return nil, err
		}
	}
	return &o, nil
}

// compare prints how far the engine and CVODES are off their own finest and how long
// they take, then what CVODES takes to be as near to its own in purged water and heat
// lost as the engine on its default grid.
func compare(h *sim.House) error {
	byEngine := func(cells, tries int) (*outcome, error) {
		return ofEach(func(seed uint64) (totals, error) { return engine(h, seed, cells, tries) })
	}
	byCVODES := func(f finesse, tries int) (*outcome, error) {
		return ofEach(func(seed uint64) (totals, error) { return integrate(h, seed, f, tries) })
	}
	finest, err := byEngine(finestEngine, tries)
	if err != nil {
		return err
	}
	usual, err := byEngine(pipework.DefaultCells, 4*tries)
	if err != nil {
		return err
	}
	row := func(by string, cells int, tolerance float64, got, limit *outcome) {
		purged, lost, drained := got.off(limit)
		within := "-"
		if tolerance > 0 {
			within = fmt.Sprintf("%.0e", tolerance)
		}
		fmt.Printf("| %s | %d | %s | %.2f %% | %.2f %% | %.2f %% | %.3g |\n", by, cells, within, purged*100, lost*100, drained*100,
			got.took().Seconds()/usual.took().Seconds())
	}
	fmt.Println("| by | cells to the largest way | tolerance | purged | heat lost from pipes | heat to the drain | time |")
	fmt.Println("|---|---|---|---|---|---|---|")
	for _, cells := range []int{16, 24, pipework.DefaultCells, 48, 66, 132} {
		got := usual
		if cells != pipework.DefaultCells {
			if got, err = byEngine(cells, tries); err != nil {
				return err
			}
		}
		row("engine", cells, 0, got, finest)
	}
	row("engine", finestEngine, 0, finest, finest)

	limit, err := byCVODES(finestCVODES, 1)
	if err != nil {
		return err
	}
	var equal finesse
	least := time.Duration(math.MaxInt64)
	needPurged, needLost, _ := usual.off(finest)
	for _, cells := range []int{24, 48, 66, 88, 110, 132} {
		for _, tolerance := range []float64{1e-3, 1e-4} {
			f := finesse{band, cells, tolerance}
			got, err := byCVODES(f, tries)
			if err != nil {
				return err
			}
			row(band.String(), cells, tolerance, got, limit)
			if purged, lost, _ := got.off(limit); purged <= needPurged && lost <= needLost && got.took() < least {
				equal, least = f, got.took()
			}
		}
	}
	row(band.String(), finestCVODES.cells, finestCVODES.tolerance, limit, limit)
	if equal.cells == 0 {
		return errors.New("no run of CVODES is as near to its finest as the engine to its own; add finer ones")
	}
	for _, m := range []method{gmres, diagonal, adams} {
		got, err := byCVODES(finesse{m, equal.cells, equal.tolerance}, tries)
		if err != nil {
			return err
		}
		row(m.String(), equal.cells, equal.tolerance, got, limit)
	}

	purged, lost, drained := limit.off(finest)
	fmt.Printf("\nThe finest of CVODES is %.2f %%, %.2f %% and %.2f %% off the engine's finest.\n", purged*100, lost*100, drained*100)
	fmt.Printf("At equal error, with %d cells and a tolerance of %.0e, it takes %.0f times as long as the engine: %.3g s against %.3g ms a week.\n",
		equal.cells, equal.tolerance, least.Seconds()/usual.took().Seconds(), least.Seconds()/weeks, usual.took().Seconds()/weeks*1e3)
	if max(purged, lost, drained) > 0.01 {
		return errors.New("the two do not solve the same equations: their finest are more than 1 % apart")
	}
	return nil
}
