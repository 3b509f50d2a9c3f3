package studies

import (
	"slices"

	"pipelag/sim"
	"pipelag/studies/estimate"
	"pipelag/studies/store"
)

// precise tells whether every layout's difference from the first is known as
// well as asked.
func precise(runs []store.Run, p *sim.Precision) bool {
	if slices.ContainsFunc(runs, failed) {
		return false
	}
	differences := make([]float64, len(runs))
	for k := range runs[0].Layouts[1:] {
		for i := range runs {
			l := runs[i].Layouts
			differences[i] = sim.Less(l[k+1].Annual[p.Quantity], l[0].Annual[p.Quantity])
		}
		if i := estimate.Mean(differences); !(i.HalfWidth() <= p.HalfWidth) {
			return false
		}
	}
	return true
}

func failed(r store.Run) bool { return r.Cause != "" }

// Imprecise is in how many cases of a folder some layout's difference from the first is
// not known as well as asked, after all their replicates; what failed is left out.
func Imprecise(f *store.Folder, p *sim.Precision) (int, error) {
	count := 0
	var runs []store.Run // of the case in hand
	judge := func() {
		if len(runs) > 0 && !precise(runs, p) {
			count++
		}
		runs = runs[:0]
	}
	err := f.Each(func(r *store.Run) error {
		if len(runs) > 0 && runs[0].Case != r.Case {
			judge()
		}
		if !failed(*r) {
			runs = append(runs, *r)
		}
		return nil
	})
	judge()
	return count, err
}
