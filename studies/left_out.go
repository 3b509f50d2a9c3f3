package studies

import "pipelag/sim"

// LeftOut is a layout that is not held against the first in some cases, or the first
// if no other is held against it.
type LeftOut struct {
	Layout string
	Why    sim.Unlike
	Cases  int
}

// LeftOut lists those of a study's layouts, in their order, that are left out in some
// of the cases given, where one of the numbers is each layout's Unlike. Its mean over a
// case's years is its value in each: it follows from the house's pipes, pressure and
// crossovers alone, whatever is drawn in a year (sim.Shortfalls, sim.Crossover).
func (n *Numbers) LeftOut(layouts []string, number int, cases []int) []LeftOut {
	var all []LeftOut
	for k, name := range layouts {
		for _, why := range []sim.Unlike{sim.ServesLess, sim.ThroughCold} {
			out := LeftOut{Layout: name, Why: why}
			for _, i := range cases {
				if n.Mean(number, k, i) == float64(why) {
					out.Cases++
				}
			}
			if out.Cases > 0 {
				all = append(all, out)
			}
		}
	}
	return all
}
