package pipework

import "math"

// conduit is how one pipe is cut into cells of its fabric. It is worked out once
// and shared by every replicate.
//
// Cells are counted from the heater outwards over all pipes of a size of cell, so a
// pipe may begin and end within one. Where water flows on from a pipe into the next,
// the last cell of the one and the first of the other are then one cell.
type conduit struct {
	*fabric
	zone  int // index into the climate's zones
	cells int
	begin float64 // how far into its first cell the pipe begins [-], in [0, 1)
	end   float64 // how far into its last it ends [-], in (0, 1]
	worth float64 // how many whole cells' worth of water it holds
}

// leastWorth is the least share of a cell that a pipe is taken to hold [-]: water
// would pass a shorter one by itself in more shifts than anyone could wait for.
const leastWorth = 0.02

// onFace is how near the face between two cells a pipe is taken to end at it [-].
const onFace = 1e-6

// newConduit cuts a pipe that holds a volume [m³], and begins so far into a cell.
func newConduit(f *fabric, begin, volume float64, zone int) *conduit {
	worth := max(volume/f.cellVolume, leastWorth)
	end := begin + worth
	cells := max(math.Ceil(end-onFace), 1)
	c := &conduit{fabric: f, zone: zone, cells: int(cells), begin: begin, end: end - (cells - 1)}
	if c.end > 1-onFace {
		c.end = 1
	}
	c.worth = cells - 1 + c.end - begin
	return c
}

// extend makes it one with the conduit of the same fabric that water flows on into.
func (c *conduit) extend(o *conduit) {
	c.cells += o.cells
	if o.begin > 0 {
		c.cells--
	}
	c.end = o.end
	c.worth += o.worth
}

// share is how much of its first cell, up to where that or the conduit ends, is its own,
// in a row that begins so far into the cell [-].
func (c *conduit) share(begin float64) float64 {
	return c.size(0) / (c.begin - begin + c.size(0))
}

// next is how far into a cell what follows the pipe begins.
func (c *conduit) next() float64 {
	if c.end == 1 {
		return 0
	}
	return c.end
}

// size is how much of a whole cell cell i is [-].
func (c *conduit) size(i int) float64 {
	switch {
	case c.cells == 1:
		return c.worth
	case i == 0:
		return 1 - c.begin
	case i == c.cells-1:
		return c.end
	}
	return 1
}
