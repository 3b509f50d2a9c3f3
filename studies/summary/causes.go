package summary

import "pipelag/studies/store"

// mostCauses is how many different causes of failures are told; failures.csv
// tells all.
const mostCauses = 50

// Cause is why some runs failed.
type Cause struct {
	Text      string
	Runs      int
	FirstCase int // from 0
}

// causes lists why a folder's runs failed, in the order of their first cases.
func causes(f *store.Folder) ([]Cause, error) {
	var all []Cause
	place := make(map[string]int) // looked up only
	err := f.Each(func(r *store.Run) error {
		i, known := place[r.Cause]
		switch {
		case r.Cause == "":
		case known:
			all[i].Runs++
		case len(all) < mostCauses:
			place[r.Cause] = len(all)
			all = append(all, Cause{r.Cause, 1, r.Case})
		}
		return nil
	})
	return all, err
}

// Untold is how many runs failed for other causes than those listed.
func (s *Summary) Untold() int {
	n := s.Failed
	for _, c := range s.Causes {
		n -= c.Runs
	}
	return n
}
