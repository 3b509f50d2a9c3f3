package network

import (
	"fmt"
	"slices"
)

// returnChain puts the return line's pipes in the order of flow, and finds what
// keeps them from being one chain from the supply back to the heater.
func (l *list) returnChain() []int {
	var starts, all []int
	for i, s := range l.segments {
		if !s.Return || s.From == s.To {
			continue
		}
		all = append(all, i)
		if feed, fed := l.fedBy[s.To]; fed {
			l.wrong(i, -1, "let the return line end at the heater and keep its nodes apart from the supply's", "the return line runs into %q, which is fed from %q", s.To, l.segments[feed].From)
		} else if slices.Contains(l.fixtures, s.To) {
			l.wrong(i, -1, "fixtures draw from the supply; let the return line pass by a node of its own", "the return line runs to a fixture, %q", s.To)
		}
		if _, continues := l.backBy[s.From]; !continues {
			starts = append(starts, i)
		}
	}
	for _, i := range all {
		if circle := l.returnCircle(i); len(circle) > 0 && slices.Min(circle) == i {
			l.wrong(i, -1, "let its first pipe begin where a pipe of the supply ends", "the return line runs in a circle through %q", l.segments[i].From)
		}
	}
	if len(starts) == 0 {
		return nil
	}
	for _, i := range starts[1:] {
		l.wrong(i, -1, fmt.Sprintf("a house has one return line; let this pipe follow another of the return line that begins at %q", l.segments[starts[0]].From), "a second return line begins at %q", l.segments[i].From)
	}
	for _, i := range starts {
		from := l.segments[i].From
		if _, fed := l.fedBy[from]; !fed {
			l.wrong(i, -1, "let it begin where a pipe of the supply ends", "the return line begins at %q, which is not on the supply", from)
		}
	}
	return l.followReturn(starts[0], all)
}

// followReturn goes along the return line from its first pipe.
func (l *list) followReturn(first int, all []int) []int {
	leaving := make(map[string]int)
	for _, i := range all {
		from := l.segments[i].From
		other, forks := leaving[from]
		_, inside := l.backBy[from]
		if forks && inside {
			l.wrong(i, -1, "let the return line's pipes follow one another", "the return line forks at %q, to %q and %q", from, l.segments[other].To, l.segments[i].To)
		}
		if !forks {
			leaving[from] = i
		}
	}
	chain := []int{first}
	for at := first; l.segments[at].To != heater; {
		to := l.segments[at].To
		next, goesOn := leaving[to]
		if _, fed := l.fedBy[to]; !goesOn && !fed && !slices.Contains(l.fixtures, to) {
			l.wrong(at, -1, fmt.Sprintf("let a pipe of the return line lead from %q to %q", to, heater), "the return line ends at %q", to)
		}
		if !goesOn || slices.Contains(chain, next) { // the latter joins itself, which join has found
			return nil
		}
		chain = append(chain, next)
		at = next
	}
	return chain
}

// returnCircle lists the return line's pipes back from one to itself; none if
// it is not on a circle.
func (l *list) returnCircle(pipe int) []int {
	circle := []int{pipe}
	for at := pipe; len(circle) <= len(l.segments); {
		before, goesOn := l.backBy[l.segments[at].From]
		if !goesOn {
			return nil
		}
		if before == pipe {
			return circle
		}
		circle = append(circle, before)
		at = before
	}
	return nil // the way back leads into a circle of other pipes
}
