package pipework

import "pipelag/network"

// Grid is the mean length of the cells that pipes are cut into [m]. All cells of
// a layout hold the same volume, this length of its average pipe, but for those of a
// loop that is pumped and of its branches. None, 0, stands for DefaultGrid.
type Grid float64

// OpeningGrid is for openings that are looked at one by one.
const OpeningGrid Grid = 0.1

// Where the larger part of the largest way is the tap's own, draws seldom find the
// branch cold and the rest of the way warm: cells may be larger than elsewhere.
const apartCoarser = 1.25

// The largest way is taken to hold this at least [m³], which runs out in a second or two:
// what is waited for is less than anybody would count, and cells of a share of it would take
// for ever.
const leastWay = 0.15e-3

// DefaultCells is into how many cells DefaultGrid cuts the largest way to a tap:
// enough that every annual total is within 1 % of what a grid ten times finer gives; a
// test holds it to that. DEVELOPERS.md shows what coarser and finer ones give.
const DefaultCells = 30

// DefaultGrid is the grid of DefaultCells.
func DefaultGrid(n *network.Network) Grid { return CellsGrid(n, DefaultCells) }

// CellsGrid is the grid that cuts the largest way to a tap of a network into a
// number of cells, above 0, or into four fifths as many where most of that way serves
// no other tap. Cells of a very short way are as those of one that holds leastWay.
func CellsGrid(n *network.Network, cells int) Grid {
	users := n.Users()
	way, own := 0.0, 0.0 // its volume, and of that what serves no other tap [m³]
	for i := range n.Taps {
		if v := n.PathVolume(i); v > way {
			way, own = v, 0
			for _, k := range n.Path(i) {
				if users[k] == 1 {
					own += n.Pipes[k].Volume()
				}
			}
		}
	}
	if own > way/2 {
		way *= apartCoarser
	}
	return Grid(max(way, leastWay) / float64(cells) / meanSection(n))
}

// meanSection is the mean of the pipes' sections by length [m²].
func meanSection(n *network.Network) float64 {
	length := 0.0
	for _, p := range n.Pipes {
		length += p.Length
	}
	return n.Volume() / length
}
