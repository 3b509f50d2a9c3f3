package network

import (
	"fmt"
	"math"

	"pipelag/network/heat"
	"pipelag/network/tubes"
)

// longest is the longest pipe taken for meant [m]. It keeps sums finite and
// catches a slip of units; no house comes near it.
const longest = 1000.0

// Validate reports the first way in which a network is not one that water can
// flow through: a pipe before its feed or of another heater than that, a node fed twice, an
// impossible dimension or material, a tap at no pipe, a return line that is no chain back to
// the heater.
func (n *Network) Validate() error {
	if len(n.Pipes) == 0 {
		return fmt.Errorf("network %q has no pipes", n.Name)
	}
	if len(n.Taps) == 0 {
		return fmt.Errorf("network %q serves no fixture", n.Name)
	}
	fedBy := make(map[string]int, len(n.Pipes)) // looked up only
	sound := make(sections)
	for i, p := range n.Pipes {
		if what, right := p.fault(sound); what != "" {
			return fmt.Errorf("network %q, pipe %d (%s to %s): %s; %s", n.Name, i, p.From, p.To, what, right)
		}
		if p.Feed < -1 || p.Feed >= i {
			return fmt.Errorf("network %q, pipe %d (%s to %s): stands before its feed %d", n.Name, i, p.From, p.To, p.Feed)
		}
		if p.Heater < 0 || p.Feed >= 0 && p.Heater != n.Pipes[p.Feed].Heater {
			return fmt.Errorf("network %q, pipe %d (%s to %s): its water is that of heater %d, but not its feed's", n.Name, i, p.From, p.To, p.Heater)
		}
		if at := n.end(p.Feed); p.From != at {
			return fmt.Errorf("network %q, pipe %d: begins at %q, but its feed ends at %q", n.Name, i, p.From, at)
		}
		if p.To == heater {
			continue // allowed at the end of a return line only, see below
		}
		if other, twice := fedBy[p.To]; twice {
			return fmt.Errorf("network %q: pipes %d and %d both end at %q", n.Name, other, i, p.To)
		}
		fedBy[p.To] = i
	}
	if err := n.validateReturn(); err != nil {
		return fmt.Errorf("network %q: %w", n.Name, err)
	}
	return nil
}

// validateReturn checks that the return line is one chain from LoopEnd to the
// heater, that it feeds nothing else, and that no tap hangs on it.
func (n *Network) validateReturn() error {
	onReturn := make([]bool, len(n.Pipes))
	feed := n.LoopEnd
	for k, i := range n.Return {
		if i < 0 || i >= len(n.Pipes) {
			return fmt.Errorf("return line names pipe %d of %d", i, len(n.Pipes))
		}
		if feed < 0 || n.Pipes[i].Feed != feed {
			return fmt.Errorf("return line is broken before pipe %d", i)
		}
		if home := n.Pipes[i].To == heater; home != (k == len(n.Return)-1) {
			return fmt.Errorf("return line does not end at the heater with its last pipe")
		}
		onReturn[i] = true
		feed = i
	}
	if way := n.pathTo(n.LoopEnd); n.Crossover && len(way) != len(n.Return) {
		return fmt.Errorf("cold line of %d pipes beside a hot one of %d", len(n.Return), len(way))
	}
	if len(n.Return) > 0 && n.Heaters() > 1 {
		return fmt.Errorf("return line to one of %d heaters; a loop goes with one", n.Heaters())
	}
	for i, p := range n.Pipes {
		if onReturn[i] {
			continue
		}
		if p.To == heater {
			return fmt.Errorf("pipe %d runs into the heater but is not on the return line", i)
		}
		if p.Feed >= 0 && onReturn[p.Feed] {
			return fmt.Errorf("pipe %d is fed by the return line", i)
		}
	}
	for f, i := range n.Taps {
		if i < 0 || i >= len(n.Pipes) {
			return fmt.Errorf("fixture %d is at pipe %d of %d", f, i, len(n.Pipes))
		}
		if onReturn[i] {
			return fmt.Errorf("fixture %d is on the return line", f)
		}
	}
	return nil
}

// end names the node a pipe ends at; −1 is the heater's outlet.
func (n *Network) end(pipe int) string {
	if pipe < 0 {
		return heater
	}
	return n.Pipes[pipe].To
}

// section is what a metre of pipe is made of and lies in.
type section struct {
	tube      tubes.Tube
	sleeve    tubes.Sleeve
	bareShare float64
	burial    heat.Burial
}

// sections are those found sound, so that the pipes of one run are worked out
// once. It is looked up only.
type sections map[section]bool

// fault says what makes a pipe impossible and what would be right; both are
// empty for a sound pipe. The comparisons are written so that NaN fails them.
func (p Pipe) fault(sound sections) (what, right string) {
	switch {
	case p.From == "" || p.To == "":
		return "a pipe's end has no name", "name the node, fixture or heater it runs to"
	case p.From == p.To:
		return fmt.Sprintf("the pipe leads from %q to itself", p.From), "let it end at another node"
	case !(p.Length > 0 && p.Length <= longest):
		return fmt.Sprintf("a length of %g m", p.Length), fmt.Sprintf("give a length above 0 and up to %g m", longest)
	case !(math.Abs(p.Rise) <= p.Length*(1+1e-9)): // a riser's length and rise may differ by rounding
		return fmt.Sprintf("a rise of %g m on a length of %g m", p.Rise, p.Length), "a pipe rises or falls by no more than its length"
	}
	s := section{p.Tube, p.Sleeve, p.BareShare, p.Burial}
	if sound[s] {
		return "", ""
	}
	if err := heat.CheckLine(p.Tube, p.Sleeve, p.BareShare, p.Burial); err != nil {
		return err.Error(), "choose a tube and insulation that are made, and a burial deeper than their radius"
	}
	sound[s] = true
	return "", ""
}
