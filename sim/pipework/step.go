package pipework

import "math"

// transfer is what the nodes of a whole cell, at temperatures T, and its surroundings
// at A do to each other over a time:
//
//	T' = m T + offset
//	heat lost from the cell = Σ_j lost[j] (T_j − A)
type transfer struct {
	m       matrix
	offset  [maxNodes]float64 // [°C]
	lost    [maxNodes]float64 // [J/K]
	ambient float64           // A [°C]
}

// level works out the offsets, at which nodes at A stay there.
func (x *transfer) level(nodes int) {
	for i := range nodes {
		x.offset[i] = (1 - sum(x.m[i][:nodes])) * x.ambient
	}
}

// step is what one shift by one cell does at a given flow, loss and surroundings, the
// water having just moved in; and where a cell with steady inflow t comes to rest:
//
//	T_i = follow[i] t + still[i]
type step struct {
	transfer
	exchange matrix            // without loss, of which m is made
	loss     matrix            // and what the typical loss changes of it
	pull     [maxNodes]float64 // by which it adds [-]
	leak     [maxNodes]float64 // and takes [J/K]
	cools    float64           // as of a rung, in that time [-]
	gone     float64           // the share that this is of its excess [-]
	follow   [maxNodes]float64
	still    [maxNodes]float64
	solved   bool    // follow and still are known
	duration float64 // of one shift [s]
	early    float64 // dispersion number K dt/dx² as the flow begins [-]
	late     float64 // and once radial mixing is complete [-]
	fade     float64 // share of what separates the two that one shift leaves [-]
}

// carry makes the step one of a duration [s] at a flow, in which a share of a cell
// passes.
func (s *step) carry(c *fabric, duration float64, at place, share float64) {
	low, high, x := &c.rungs[at.rung], &c.rungs[at.rung+1], at.share
	s.duration = duration
	number := duration / (c.cellLength * c.cellLength)
	own := low.own + x*(high.own-low.own)
	s.early = (low.early+x*(high.early-low.early))*number - own
	s.late = (low.late+x*(high.late-low.late))*number - own
	if s.late != s.early {
		s.fade = decay(duration / c.mixing)
	}
	for i := range c.nodes {
		for j := range c.nodes {
			s.exchange[i][j] = low.exchange[i][j] + x*(high.exchange[i][j]-low.exchange[i][j])
			s.loss[i][j] = share * (low.loss[i][j] + x*(high.loss[i][j]-low.loss[i][j]))
		}
		s.pull[i] = share * (low.pull[i] + x*(high.pull[i]-low.pull[i]))
		s.leak[i] = share * (low.leak[i] + x*(high.leak[i]-low.leak[i])) * c.cellLength
	}
	s.cools = share * (low.cools + x*(high.cools-low.cools))
	s.gone = 1 - decay(s.cools)
	if share < 1 {
		s.exchange.shorten(c, share)
	}
}

// shorten makes the exchange of a cell that of a share of its time: exactly where
// there is one wall node, and so for the water as a whole where there are more.
func (m *matrix) shorten(c *fabric, share float64) {
	phi := c.capacity[0] / sum(c.capacity[:c.nodes])
	apart := max((m[0][0]-phi)/(1-phi), 0) // what is left of a difference of water and wall
	done := share
	if apart < 1-1e-9 {
		done = (1 - math.Pow(apart, share)) / (1 - apart)
	}
	for i := range c.nodes {
		for j := range c.nodes {
			m[i][j] *= done
		}
		m[i][i] += 1 - done
	}
}

// lose makes the step one with loss from an outermost node about excess [K] above its
// surroundings. It changes of an exchange as much of what the typical loss does as makes a
// cell of one temperature cool by the share that it is to. Loss apart from exchange, half
// before and half after it, would be 3 % off for bare copper in which a cell takes half a
// minute to pass: meanwhile the wall alone cools, which water keeps warm.
func (s *step) lose(c *fabric, excess float64) {
	x := c.loss(excess) / c.typical
	if s.cools > 1e-6 { // or it is the same but for rounding
		x = (1 - decay(x*s.cools)) / s.gone
	}
	for i := range c.nodes {
		for j := range c.nodes {
			s.m[i][j] = s.exchange[i][j] + x*s.loss[i][j]
		}
		s.offset[i], s.lost[i] = x*s.pull[i]*s.ambient, x*s.leak[i]
	}
	s.solved = false
}

// rest is the temperature of node j of a cell that has come to rest with inflow at t [°C].
func (s *step) rest(j int, t float64) float64 { return s.follow[j]*t + s.still[j] }

// solve solves for the temperatures that a cell keeps under steady inflow,
// T_i = m_i0 t + Σ_{j>0} m_ij T_j + offset_i, by elimination among the wall nodes.
func (s *step) solve(nodes int) {
	s.solved = true
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

// decay is exp(−x), by its series where that is good to 1e-11; its terms are gathered in
// threes so that they need not wait for each other.
func decay(x float64) float64 {
	if math.Abs(x) > 0.25 {
		return math.Exp(-x)
	}
	y := x * x * x
	return 1 - x*(1-x*(1.0/2)) - y*(1.0/6-x*(1.0/24-x*(1.0/120))-y*(1.0/720-x*(1.0/5040-x*(1.0/40320))))
}
