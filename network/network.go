// Package network holds what is built: a tree of pipes from the heater to the
// fixtures, with a return line where a pump sends water round, or the cold line
// in its place.
//
// It does not know when water flows or how warm it is. Not modelled: the bends
// a pipe makes besides its right angles, other cold-water lines, valves and the
// fixtures' own hoses.
package network

import (
	"math"
	"slices"

	"pipelag/network/heat"
	"pipelag/network/tubes"
)

// heater is the node every pipe starts from and every return line ends at.
const heater = "heater"

// Network is one layout as built. TrunkAndBranch, TrunkByWay, ShortTree, HomeRuns,
// LoopWithin, Listed, WithReturn, WithCrossover and Join make valid ones; Validate
// checks any other.
//
// Invariant: a pipe stands after the pipe that feeds it, so one pass over
// Pipes goes from the heater outwards. The return line's pipes are in Pipes too.
type Network struct {
	Name        string
	Arrangement string // trunk-and-branch, home-run, pumped or listed
	Pipes       []Pipe
	Taps        []int // for each fixture of the house, in its order, the pipe that ends there; a fixture right on the trunk shares its end with a tee
	Return      []int // pipes of the return line in the direction of flow; empty without a loop
	LoopEnd     int   // the pipe at whose end the return line begins, or would begin; −1 where none can
	Crossover   bool  // the return is the cold line, whose pipes follow those to LoopEnd one for one; see WithCrossover

	// Of a layout generated from a site.
	origin Point    // the house's heater
	routes [][]step // by pipe, from its beginning by its turns to its end, from the origin
}

// Pipe is one length of one tube between two nodes.
type Pipe struct {
	From, To  string
	Feed      int     // the pipe that feeds this one, −1 at the heater
	Heater    int     // which of several heaters its water comes from, from 0
	Length    float64 // developed length [m]
	Rise      float64 // height gained from From to To [m]
	Tube      tubes.Tube
	Sleeve    tubes.Sleeve
	BareShare float64 // share of a sleeved pipe's length left bare at fittings and hangers [-]
	Zone      string  // whose air surrounds it; ignored when buried
	Burial    heat.Burial
	Fittings  Fittings
}

// Volume is the water a pipe holds [m³].
func (p Pipe) Volume() float64 { return p.Tube.Volume() * p.Length }

// Vertical tells whether a pipe loses heat as a vertical one: it rises or falls by
// more than half its length.
func (p Pipe) Vertical() bool { return math.Abs(p.Rise) > p.Length/2 }

// Line is a metre of the pipe as heat leaves it.
func (p Pipe) Line() (heat.Line, error) {
	return heat.NewLine(p.Tube, p.Sleeve, p.BareShare, p.Burial, p.Vertical())
}

// Path lists the pipes that water passes on its way from the heater to a
// fixture, by index into Pipes, the heater's first.
func (n *Network) Path(fixture int) []int {
	return n.pathTo(n.Taps[fixture])
}

// PathLength is the developed length from the heater to a fixture [m].
func (n *Network) PathLength(fixture int) float64 {
	return n.sum(n.Path(fixture), Pipe.length)
}

// PathVolume is the water standing between the heater and a fixture [m³].
func (n *Network) PathVolume(fixture int) float64 {
	return n.sum(n.Path(fixture), Pipe.Volume)
}

// Users are, by pipe, how many fixtures' ways it is part of.
func (n *Network) Users() []int {
	users := make([]int, len(n.Pipes))
	for i := range n.Taps {
		for _, k := range n.Path(i) {
			users[k]++
		}
	}
	return users
}

// Heaters is how many heaters feed the pipes.
func (n *Network) Heaters() int {
	most := 0
	for _, p := range n.Pipes {
		most = max(most, p.Heater)
	}
	return most + 1
}

// Loop lists the pipes that a pump sends water through, from the heater out and
// back, by index into Pipes; nil without a return line.
func (n *Network) Loop() []int {
	if len(n.Return) == 0 {
		return nil
	}
	return append(n.pathTo(n.LoopEnd), n.Return...)
}

// Length is the developed length of all pipes together, the return line's
// among them [m].
func (n *Network) Length() float64 {
	return n.sum(n.all(), Pipe.length)
}

// Volume is the water in all pipes together, the return line's among them [m³].
func (n *Network) Volume() float64 {
	return n.sum(n.all(), Pipe.Volume)
}

func (p Pipe) length() float64 { return p.Length }

func (n *Network) pathTo(pipe int) []int {
	var path []int
	for ; pipe >= 0; pipe = n.Pipes[pipe].Feed {
		path = append(path, pipe)
	}
	slices.Reverse(path)
	return path
}

func (n *Network) all() []int {
	all := make([]int, len(n.Pipes))
	for i := range all {
		all[i] = i
	}
	return all
}

func (n *Network) sum(pipes []int, of func(Pipe) float64) float64 {
	var total float64
	for _, i := range pipes {
		total += of(n.Pipes[i])
	}
	return total
}
