package sim

import "math"

// conduit is how one pipe is cut into cells of its fabric. It is worked out once
// and shared by every replicate.
type conduit struct {
	*fabric
	cells int
	whole int     // how many of them are whole: all, or all but the last
	part  float64 // of a whole cell that the last one is [-]
	zone  int     // index into the climate's zones
	alone []rung  // of what a stub holds
}

// leastPart is the least part of a cell that a pipe is taken to hold [-]: water
// would pass a shorter one in more shifts than anyone could wait for.
const leastPart = 0.05

// newConduit cuts a pipe that holds a volume [m³] into cells; the last is what is left.
func newConduit(f *fabric, volume float64, zone int) *conduit {
	share := max(volume/f.cellVolume, leastPart)
	c := &conduit{fabric: f, zone: zone, cells: int(math.Ceil(share * (1 - 1e-9)))}
	c.whole, c.part = c.cells-1, share-float64(c.cells-1)
	if c.part > 1-1e-6 {
		c.whole, c.part = c.cells, 1
	}
	if c.stub() {
		c.alone = f.ladder(c.part * f.cellVolume)
	}
	return c
}

// stub tells whether a pipe holds less than a cell.
func (c *conduit) stub() bool { return c.whole == 0 }

// length is that of the pipe [m].
func (c *conduit) length() float64 { return c.worth() * c.cellLength }

// worth is how many whole cells' worth of water the pipe holds.
func (c *conduit) worth() float64 { return float64(c.cells-1) + c.part }

// size is how much of a whole cell cell i is [-].
func (c *conduit) size(i int) float64 {
	if i == c.cells-1 {
		return c.part
	}
	return 1
}
