package sim

import "math"

// column is the water in a conduit and the wall around it, cell by cell.
type column struct {
	conduit
	temp [maxNodes][]float64 // by node, then by cell from the inlet [°C]
	lost float64             // heat lost to the surroundings since it was last read [J]
}

// exchange lets water and wall, from the k-th cell on, exchange heat. Metals have two
// nodes and plastics five; a case for each keeps the matrix at hand. They differ in
// nothing else.
func (c *column) exchange(x *transfer, k int) {
	// Cells are counted as whole ones below.
	if k == 0 && c.begin > 0 {
		c.lost -= c.begin * c.loses(x, 0)
	}
	if c.end < 1 {
		c.lost -= (1 - c.end) * c.loses(x, c.cells-1)
	}
	t := &c.temp
	if c.nodes == 2 {
		c.lost += exchange2(x, t[0][k:], t[1][k:])
		return
	}
	c.lost += exchange5(x, t[0][k:], t[1][k:], t[2][k:], t[3][k:], t[4][k:])
}

// loses is what a whole cell as warm as cell i loses in an exchange [J].
func (c *column) loses(x *transfer, i int) float64 {
	lost := 0.0
	for j := range c.nodes {
		lost += x.lost[j] * (c.temp[j][i] - x.ambient)
	}
	return lost
}

// outside is the excess of the outermost node over surroundings at ambient [K].
func (c *column) outside(ambient float64) float64 {
	var e excess
	for _, t := range c.temp[c.nodes-1] {
		e.add(t - ambient)
	}
	return e.mean()
}

// excess is the mean of the cells' excess over the surroundings where the heat is:
// weighted by itself, so that a pipe that is hot for half its length loses as hot
// pipe does.
type excess struct{ first, second float64 }

func (e *excess) add(x float64) {
	e.first += math.Abs(x)
	e.second += x * x
}

func (e *excess) mean() float64 {
	if e.first == 0 {
		return leastExcess
	}
	return e.second / e.first
}
