package pipework

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
	before, beyond := 0.0, 1-c.end // what the first and the last cell lack of whole ones
	if k == 0 {
		before = c.begin
	}
	t := &c.temp
	if c.nodes == 2 {
		c.lost += exchange2(x, t[0][k:], t[1][k:], before, beyond)
		return
	}
	c.lost += exchange5(x, t[0][k:], t[1][k:], t[2][k:], t[3][k:], t[4][k:], before, beyond)
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
