package pipework

import (
	"testing"

	"pipelag/internal/check"
	"pipelag/network"
)

// The way to a tap is cut into cells as many as are asked for: 36 m of one tube where
// two taps share 30 m of it, and into four fifths as many where they share 6 m.
func TestCellsGrid(t *testing.T) {
	tube := mustTube(t, "PEX", "1/2")
	shared := &network.Network{Pipes: []network.Pipe{{Length: 30, Tube: tube, Feed: -1}, {Length: 6, Tube: tube, Feed: 0}, {Length: 3, Tube: tube, Feed: 0}}, Taps: []int{1, 2}}
	apart := &network.Network{Pipes: []network.Pipe{{Length: 6, Tube: tube, Feed: -1}, {Length: 30, Tube: tube, Feed: 0}, {Length: 3, Tube: tube, Feed: 0}}, Taps: []int{1, 2}}
	for _, n := range []*network.Network{shared, apart} {
		if CellsGrid(n, DefaultCells) != DefaultGrid(n) {
			t.Error("as many cells as the default's are not the default")
		}
	}
	check.Within(t, 0.6, float64(CellsGrid(shared, 60)), 1e-12, "shared, 60")
	check.Within(t, 3.6, float64(CellsGrid(shared, 10)), 1e-12, "shared, 10")
	check.Within(t, 0.75, float64(CellsGrid(apart, 60)), 1e-12, "apart, 60")
	check.Within(t, 4.5, float64(CellsGrid(apart, 10)), 1e-12, "apart, 10")
}

// A way that holds next to nothing, 5 cm of tube, is not cut finer than one that holds a
// cup: what runs through it in a day would pass millions of its cells.
func TestGridOfAShortWay(t *testing.T) {
	tube := mustTube(t, "PEX", "1/2")
	n := &network.Network{Pipes: []network.Pipe{{Length: 0.05, Tube: tube, Feed: -1}}, Taps: []int{0}}
	if cell := float64(DefaultGrid(n)) * tube.Volume(); cell < 4.9e-6 {
		t.Errorf("a cell holds %.3g m³", cell)
	}
}
