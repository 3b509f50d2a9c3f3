package network

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Mistake is one thing wrong with a list of pipes.
type Mistake struct {
	Segment int    // which pipe, −1 if none in particular
	Fixture int    // which fixture, −1 if none in particular
	What    string // what is wrong
	Right   string // what would be right
}

// Listed builds a network from pipes listed one by one, in any order, or says
// all that is wrong with them. A list that goes from the heater outwards keeps
// its order, any other is put so; the return line comes last. A pipe may
// end at neither fixture nor pipe: houses have capped dead legs.
func Listed(name string, fixtures []string, segments []Segment) (*Network, []Mistake) {
	l := &list{fixtures: fixtures, segments: segments}
	l.checkAlone()
	l.join()
	l.checkFeeds()
	l.checkFixtures()
	chain := l.returnChain()
	if len(l.mistakes) > 0 {
		slices.SortStableFunc(l.mistakes, func(a, b Mistake) int {
			return cmp.Or(cmp.Compare(a.Segment, b.Segment), cmp.Compare(a.Fixture, b.Fixture))
		})
		return nil, l.mistakes
	}

	n := &Network{Name: name, Arrangement: "listed", LoopEnd: -1}
	built := map[string]int{heater: -1}
	for _, i := range slices.Concat(l.order, chain) {
		s := segments[i]
		feed := built[s.From]
		if s.Return {
			if len(n.Return) == 0 {
				n.LoopEnd = feed
			}
			n.Return = append(n.Return, len(n.Pipes))
		}
		if s.To != heater {
			built[s.To] = len(n.Pipes)
		}
		p := s.Run.pipe(s.From, s.To, feed, s.Length, s.Rise)
		p.Fittings.Elbows = s.Elbows
		n.Pipes = append(n.Pipes, p)
	}
	for _, f := range fixtures {
		n.Taps = append(n.Taps, built[f])
	}
	n.countTees()
	if err := n.Validate(); err != nil {
		panic(fmt.Sprintf("network: a list without mistakes made no network: %v", err))
	}
	return n, nil
}

// list is a list of pipes while it is looked through. Its maps are looked up
// and never ranged over.
type list struct {
	fixtures []string
	segments []Segment
	fedBy    map[string]int // node to the first pipe of the supply that ends there
	backBy   map[string]int // node to the first pipe of the return line that ends there
	reached  []bool         // pipes of the supply that the heater feeds
	order    []int          // the same from the heater outwards
	mistakes []Mistake
}

func (l *list) wrong(segment, fixture int, right, what string, args ...any) {
	l.mistakes = append(l.mistakes, Mistake{segment, fixture, fmt.Sprintf(what, args...), right})
}

// checkAlone finds what is wrong with a pipe or a fixture by itself.
func (l *list) checkAlone() {
	if len(l.segments) == 0 {
		l.wrong(-1, -1, "list the pipes from the heater to every fixture", "no pipe is listed")
	}
	if len(l.fixtures) == 0 {
		l.wrong(-1, -1, "name at least one fixture", "there is no fixture")
	}
	sound := make(sections)
	for i, s := range l.segments {
		if what, right := s.Run.pipe(s.From, s.To, -1, s.Length, s.Rise).fault(sound); what != "" {
			l.wrong(i, -1, right, "%s", what)
		}
		if s.Elbows < 0 {
			l.wrong(i, -1, "count the elbows from 0", "%d elbows", s.Elbows)
		}
		if s.To == heater && s.From != heater && !s.Return {
			l.wrong(i, -1, "mark the pipe as part of the return line, or turn it round", "the pipe runs into the heater")
		}
	}
	for f, name := range l.fixtures {
		if name == "" || name == heater || slices.Index(l.fixtures, name) < f {
			l.wrong(-1, f, "give each fixture a name of its own, other than "+strconv.Quote(heater), "a fixture is called %q", name)
		}
	}
}

// join finds what feeds each node and follows the water from the heater.
func (l *list) join() {
	l.fedBy, l.backBy = make(map[string]int), make(map[string]int)
	for i, s := range l.segments {
		by := l.fedBy
		if s.Return {
			by = l.backBy
		}
		if s.To == heater || s.From == s.To {
			continue
		}
		if first, twice := by[s.To]; !twice {
			by[s.To] = i
		} else if s.Return {
			l.wrong(i, -1, "a house has one return line; let its pipes follow one another", "a second return line joins at %q, where the pipe from %q ends", s.To, l.segments[first].From)
		} else {
			l.wrong(i, -1, "let one pipe only end at a node; give the other end a name of its own", "%q is fed twice, from %q too", s.To, l.segments[first].From)
		}
	}
	l.reached = make([]bool, len(l.segments))
	for before := -1; len(l.order) > before; {
		before = len(l.order)
		for i, s := range l.segments {
			first, feeds := l.fedBy[s.To]
			if l.reached[i] || s.Return || !feeds || first != i {
				continue
			}
			if feed, fed := l.fedBy[s.From]; s.From == heater || fed && l.reached[feed] {
				l.reached[i] = true
				l.order = append(l.order, i)
			}
		}
	}
}

// checkFeeds finds the pipes that no water comes to: it names the pipe where
// the way back towards the heater breaks off, or one pipe of a circle, and not
// those beyond.
func (l *list) checkFeeds() {
	seen := make([]bool, len(l.segments))
	for i, s := range l.segments {
		if s.Return || l.reached[i] || s.From == s.To || s.From == heater || s.To == heater {
			continue
		}
		var way []int
		for at := i; ; {
			if k := slices.Index(way, at); k >= 0 {
				first := slices.Min(way[k:])
				l.wrong(first, -1, "let one of its pipes begin at the heater or at a node the heater feeds", "the pipes through %q run in a circle that the heater does not feed", l.segments[first].From)
				break
			}
			if seen[at] {
				break
			}
			seen[at] = true
			way = append(way, at)
			from := l.segments[at].From
			feed, fed := l.fedBy[from]
			if fed && !l.reached[feed] {
				at = feed
				continue
			}
			if _, back := l.backBy[from]; back && !fed {
				l.wrong(at, -1, "let it begin on the supply", "%q is on the return line, which feeds nothing", from)
			} else if !fed && from != heater {
				l.wrong(at, -1, "let it begin at the heater or where another pipe ends", "no pipe ends at %q, where this one begins", from)
			}
			break
		}
	}
}

// checkFixtures finds fixtures without a pipe and pipes that leave a fixture.
func (l *list) checkFixtures() {
	begins := make(map[string]bool, len(l.segments))
	for i, s := range l.segments {
		begins[s.From] = true
		if s.From != heater && slices.Contains(l.fixtures, s.From) {
			l.wrong(i, -1, fmt.Sprintf("let pipes part at a node such as %q, with a pipe of its own to %q", "tee at "+s.From, s.From), "the pipe leaves a fixture, %q", s.From)
		}
	}
	var loose []string // ends that may be a fixture misspelt
	for _, i := range l.order {
		if to := l.segments[i].To; !begins[to] && !slices.Contains(l.fixtures, to) {
			loose = append(loose, strconv.Quote(to))
		}
	}
	for f, name := range l.fixtures {
		if _, fed := l.fedBy[name]; fed || name == heater || name == "" {
			continue
		}
		right := fmt.Sprintf("let a pipe end at %q", name)
		if len(loose) > 0 {
			right += "; neither fixture nor pipe is at " + strings.Join(loose, ", ")
		}
		l.wrong(-1, f, right, "no pipe of the supply ends at fixture %q", name)
	}
}
