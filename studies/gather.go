package studies

import (
	"math"

	"pipelag/studies/store"
)

// Numbers are some numbers of every run of a study, in memory.
type Numbers struct {
	Cases, Replicates int // most of any case
	Made, Failed      int // runs that gave numbers, and that did not
	layouts           int
	values            [][]float64 // by number and layout; by case and replicate
}

// Gather reads what of gives of each layout's year from all runs of a folder.
func Gather(f *store.Folder, layouts, numbers int, of func(l *store.Layout, into []float64)) (*Numbers, error) {
	n := &Numbers{Cases: f.Manifest.Cases, Replicates: f.Manifest.Replicates, layouts: layouts, values: make([][]float64, layouts*numbers)}
	for k := range n.values {
		n.values[k] = make([]float64, n.Cases*n.Replicates)
		for i := range n.values[k] {
			n.values[k][i] = math.NaN()
		}
	}
	into := make([]float64, numbers)
	err := f.Each(func(r *store.Run) error {
		if r.Cause != "" {
			n.Failed++
			return nil
		}
		n.Made++
		for k := range r.Layouts {
			of(&r.Layouts[k], into)
			for j, x := range into {
				n.values[j*layouts+k][r.Case*n.Replicates+r.Replicate] = x
			}
		}
		return nil
	})
	return n, err
}

// Run is one number of one layout in one replicate of a case; NaN if it was not
// made.
func (n *Numbers) Run(number, layout, i, replicate int) float64 {
	return n.values[number*n.layouts+layout][i*n.Replicates+replicate]
}

// Runs are one number of one layout in the replicates of a case; those that were
// not made or failed are left out.
func (n *Numbers) Runs(number, layout, i int) []float64 {
	var runs []float64
	for _, x := range n.values[number*n.layouts+layout][i*n.Replicates : (i+1)*n.Replicates] {
		if !math.IsNaN(x) {
			runs = append(runs, x)
		}
	}
	return runs
}

// Mean is one number of one layout in a case, over its replicates; NaN if none
// was made.
func (n *Numbers) Mean(number, layout, i int) float64 {
	runs := n.Runs(number, layout, i)
	sum := 0.0
	for _, x := range runs {
		sum += x
	}
	return sum / float64(len(runs))
}

// Replicate is one number of one layout in one replicate of every case; NaN
// where it was not made.
func (n *Numbers) Replicate(number, layout, replicate int) []float64 {
	all := make([]float64, n.Cases)
	for i := range all {
		all[i] = n.Run(number, layout, i, replicate)
	}
	return all
}
