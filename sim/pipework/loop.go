package pipework

import (
	"math"

	"pipelag/network"
)

// Loop is how the loop of a layout is pumped, by which its cells are chosen.
type Loop uint8

// The ways to pump a loop.
const (
	Unpumped     Loop = iota // or there is none
	Continuous               // pumped at all times
	KeptHot                  // or tried to be, by a clock or a sensor
	Called                   // until its far end is warm
	CalledOften              // likewise, by a sensor of motion
	CrossingOver             // back through the cold line
)

// In a loop that is pumped at all times the water hardly changes, in one that is kept hot
// it does so little, and in the branches of any loop that is pumped, which are short, is
// what runs to waste: cells of the first two are larger than elsewhere by a factor, and
// those of the last smaller.
const continuousCoarser, keptHotCoarser, branchesFiner = 5.0, 2.5, 3.0

// In one that is called cells are smaller too: what is pumped until its far end is warmer
// hangs on how sharp a front stands there. A sensor of motion calls so often that the pump
// moves the front by a cell or two at a time, and each stop blurs it.
const calledFiner, motionFiner = 1.5, 2.5

// In a loop that returns through the cold line cells are smaller too: what matters is
// the little that crosses.
const crossoverFiner = 4.0

// cell is the volume of the cells of a loop, where others have one [m³]. Where water
// flows on from its far end, a cell ends right there: what is sensed would else be
// half a cell away from the sensor, the one way or the other.
func (l Loop) cell(n *network.Network, others float64) float64 {
	switch l {
	case Unpumped:
		return others
	case CrossingOver:
		return others / crossoverFiner
	case Continuous:
		others *= continuousCoarser
	case KeptHot:
		others *= keptHotCoarser
	case Called:
		others /= calledFiner
	case CalledOften:
		others /= motionFiner
	}
	supply := 0.0
	loop := n.Loop()
	for _, i := range loop[:len(loop)-len(n.Return)] {
		supply += n.Pipes[i].Volume()
	}
	cell, _ := wholeCells(others, supply)
	return cell
}

// wholeCells are cells of about a volume that fill some pipe, and what they hold
// together [m³].
func wholeCells(about, pipe float64) (cell, holds float64) {
	holds = max(pipe, leastWorth*about)
	return holds / max(1, math.Round(holds/about)), holds
}
