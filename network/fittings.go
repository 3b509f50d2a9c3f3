package network

// Fittings counts what disturbs the flow in a pipe, from its beginning to just
// before the next pipe. Couplings, stops and hangers are not counted.
type Fittings struct {
	Elbows      int // turns by a right angle
	TeeRuns     int // tees passed straight through
	TeeBranches int // tees passed round the corner, and manifold ports
}

// countTees counts for each pipe the tee that it begins at. Where two pipes
// leave, the wider (the first of equals) goes straight through and the other
// round the corner; of three or more, at a cross or a manifold, all go round the
// corner. A tap right on the trunk takes one way out of a tee. The return line
// is left out, its tee and its own fittings both.
func (n *Network) countTees() {
	returns := make([]bool, len(n.Pipes))
	for _, i := range n.Return {
		returns[i] = true
	}
	leaving := make([]int, len(n.Pipes)+1) // by feed + 1
	widest := make([]int, len(n.Pipes)+1)  // pipe + 1
	for i, p := range n.Pipes {
		if returns[i] {
			continue
		}
		leaving[p.Feed+1]++
		if w := widest[p.Feed+1]; w == 0 || p.Tube.Inside > n.Pipes[w-1].Tube.Inside {
			widest[p.Feed+1] = i + 1
		}
	}
	for _, pipe := range n.Taps {
		leaving[pipe+1]++
	}
	for i := range n.Pipes {
		fittings := &n.Pipes[i].Fittings
		switch feed := n.Pipes[i].Feed + 1; {
		case returns[i] || leaving[feed] < 2:
		case leaving[feed] == 2 && widest[feed] == i+1:
			fittings.TeeRuns++
		default:
			fittings.TeeBranches++
		}
	}
}
