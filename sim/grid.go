package sim

import "pipelag/network"

// DefaultCells is into how many cells DefaultGrid cuts the largest way to a tap.
const DefaultCells = 33

// CellsGrid is the grid that cuts the largest way to a tap of a network into a
// number of cells, above 0.
func CellsGrid(n *network.Network, cells int) Grid {
	return DefaultGrid(n) * (DefaultCells / Grid(cells)) // exact where it is the default
}
