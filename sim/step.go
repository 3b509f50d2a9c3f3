package sim

import "math"

// step is what one shift by one cell does at a given flow, loss and
// surroundings: for temperatures T of a cell's nodes, the water of which has
// just moved in,
//
//	T' = m T + offset
//	heat lost from the cell = Σ_j lost[j] (T_j − A)
//
// and where a cell with steady inflow t comes to rest:
//
//	T_i = follow[i] t + still[i]
type step struct {
	m        matrix
	offset   [maxNodes]float64
	lost     [maxNodes]float64 // [J/K] for a cell
	ambient  float64
	follow   [maxNodes]float64
	still    [maxNodes]float64
	duration float64 // of one shift [s]
	early    float64 // dispersion number K dt/dx² as the flow begins [-]
	late     float64 // and once radial mixing is complete [-]
}

// step works out a shift at a flow [m³/s], with the outermost node about
// excess [K] above surroundings of a temperature ambient [°C]. Loss is split
// symmetrically about the exchange: half before, half after (Strang 1968).
func (c *conduit) step(flow, excess, ambient float64) step {
	x := math.Log(flow/leastFlow) / flowStep
	i := min(max(int(x), 0), flowRungs-2)
	x = min(max(x-float64(i), 0), 1)
	low, high := &c.rungs[i], &c.rungs[i+1]

	s := step{ambient: ambient, duration: c.cellVolume / flow}
	if c.cells > 1 {
		// A front crosses cells−1 inner faces of a pipe in the time of cells
		// shifts, since nothing disperses through its ends.
		number := s.duration / (c.cellLength * c.cellLength) * float64(c.cells) / float64(c.cells-1)
		s.early = (low.early + x*(high.early-low.early)) * number
		s.late = (low.late + x*(high.late-low.late)) * number
	}

	last := c.nodes - 1
	keep := math.Exp(-c.loss(excess) * s.duration / 2 / c.capacity[last])
	for i := range c.nodes {
		for j := range c.nodes {
			s.m[i][j] = low.exchange[i][j] + x*(high.exchange[i][j]-low.exchange[i][j])
		}
	}
	for i := range c.nodes {
		s.m[i][last] *= keep
	}
	wall := c.capacity[last] * c.cellLength
	for j := range c.nodes {
		s.lost[j] = wall * (1 - keep) * s.m[last][j]
		s.m[last][j] *= keep
	}
	s.lost[last] += wall * (1 - keep)
	for i := range c.nodes {
		sum := 0.0
		for j := range c.nodes {
			sum += s.m[i][j]
		}
		s.offset[i] = (1 - sum) * ambient
	}
	s.settle(c.nodes)
	return s
}

// settle solves for the temperatures that a cell keeps under steady inflow,
// T_i = m_i0 t + Σ_{j>0} m_ij T_j + offset_i, by elimination among the wall nodes.
func (s *step) settle(nodes int) {
	var a [maxNodes][maxNodes + 2]float64 // (1 − m), then what stands for t and for 1
	for i := 1; i < nodes; i++ {
		for j := 1; j < nodes; j++ {
			a[i][j] = -s.m[i][j]
		}
		a[i][i]++
		a[i][maxNodes], a[i][maxNodes+1] = s.m[i][0], s.offset[i]
	}
	for k := 1; k < nodes; k++ { // diagonally dominant: needs no pivoting
		for i := k + 1; i < nodes; i++ {
			f := a[i][k] / a[k][k]
			for j := k + 1; j < len(a[i]); j++ {
				a[i][j] -= f * a[k][j]
			}
		}
	}
	s.follow[0], s.still[0] = s.m[0][0], s.offset[0]
	for i := nodes - 1; i > 0; i-- {
		follow, still := a[i][maxNodes], a[i][maxNodes+1]
		for j := i + 1; j < nodes; j++ {
			follow -= a[i][j] * s.follow[j]
			still -= a[i][j] * s.still[j]
		}
		s.follow[i], s.still[i] = follow/a[i][i], still/a[i][i]
		s.follow[0] += s.m[0][i] * s.follow[i]
		s.still[0] += s.m[0][i] * s.still[i]
	}
}

// dispersion is the dispersion number of a shift that comes elapsed seconds
// after the flow began.
func (s *step) dispersion(elapsed, mixing float64) float64 {
	if s.late == s.early {
		return s.late
	}
	return s.early + (s.late-s.early)*(1-math.Exp(-elapsed/mixing))
}
