package network

import (
	"errors"
	"fmt"
	"math"

	"pipelag/network/heat"
	"pipelag/network/tubes"
)

// Point is a place in the house [m]: x and y in plan, z up.
type Point struct{ X, Y, Z float64 }

// Stand is a fixture and where it stands.
type Stand struct {
	Name string
	At   Point
}

// Site is where things stand.
type Site struct {
	Heater   Point
	Fixtures []Stand
}

// Run is what a stretch of piping is made of and what surrounds it.
type Run struct {
	Tube      tubes.Tube
	Sleeve    tubes.Sleeve
	BareShare float64 // share of a sleeved run left bare at fittings and hangers [-]
	Zone      string
	Burial    heat.Burial
}

// Segment is one pipe as a scenario lists it.
type Segment struct {
	From, To string
	Length   float64 // developed length [m]
	Rise     float64 // height gained [m]
	Run      Run
	Return   bool // part of the line back to the heater
	Elbows   int  // right-angled turns on the way; its tees are counted from the list
}

// pipe cuts a length off a run.
func (r Run) pipe(from, to string, feed int, length, rise float64) Pipe {
	return Pipe{
		From: from, To: to, Feed: feed, Length: length, Rise: rise,
		Tube: r.Tube, Sleeve: r.Sleeve, BareShare: r.BareShare, Zone: r.Zone, Burial: r.Burial,
	}
}

// micron is a distance in whole micrometres. Layouts are worked out in whole
// numbers, so that what coincides, what is nearer and what is shorter does not
// hang on rounding, nor on where the house's origin was put.
type micron int64

const perMetre = 1e6

func (d micron) metres() float64 { return float64(d) / perMetre }

func (d micron) abs() micron { return max(d, -d) }

// step is the way from one place to another.
type step struct{ x, y, z micron }

// plan is the developed length of a step's horizontal part, along x and y.
func (s step) plan() micron { return s.x.abs() + s.y.abs() }

// level is a step's horizontal part.
func (s step) level() step { return step{x: s.x, y: s.y} }

// turns is how often a step's horizontal part turns.
func (s step) turns() int {
	if s.x != 0 && s.y != 0 {
		return 1
	}
	return 0
}

// stepTo is the way from p to q. The error says that one of them is not finite
// or too far off.
func (p Point) stepTo(q Point) (step, error) {
	dx, dy, dz := q.X-p.X, q.Y-p.Y, q.Z-p.Z
	// Written so that NaN, and infinity less infinity, fail it.
	if !(math.Abs(dx)+math.Abs(dy)+math.Abs(dz) <= longest) {
		return step{}, fmt.Errorf("(%g, %g, %g) m is not within %g m of (%g, %g, %g) m", q.X, q.Y, q.Z, longest, p.X, p.Y, p.Z)
	}
	return step{
		micron(math.Round(dx * perMetre)),
		micron(math.Round(dy * perMetre)),
		micron(math.Round(dz * perMetre)),
	}, nil
}

// steps are the ways from a place to all fixtures, once names and places are
// found sound. A fixture right at the heater needs no pipe and has no wait, so
// it is refused rather than given a pipe of no length.
func (s Site) steps(from Point, runs int) ([]step, error) {
	if len(s.Fixtures) == 0 {
		return nil, errors.New("there is no fixture to pipe to")
	}
	if runs != len(s.Fixtures) {
		return nil, fmt.Errorf("%d runs for %d fixtures; give each fixture one", runs, len(s.Fixtures))
	}
	var wrong []error
	steps := make([]step, len(s.Fixtures))
	seen := make(map[string]bool, len(s.Fixtures))
	for i, f := range s.Fixtures {
		if f.Name == "" || f.Name == heater || seen[f.Name] {
			wrong = append(wrong, fmt.Errorf("a fixture is called %q; each needs a name of its own, other than %q", f.Name, heater))
		}
		seen[f.Name] = true
		way, err := s.Heater.stepTo(f.At)
		if err == nil && way == (step{}) {
			err = errors.New("it stands where the heater stands; place it where its tap is")
		}
		if err == nil {
			steps[i], err = from.stepTo(f.At)
		}
		if err != nil {
			wrong = append(wrong, fmt.Errorf("fixture %q: %w", f.Name, err))
		}
	}
	return steps, errors.Join(wrong...)
}

// draw lays a pipe on from the end of pipe feed to a node along a route and
// returns its index; a pipe of no length is left out and the node is the one
// there already.
func (n *Network) draw(r Run, feed int, to string, length, rise micron, route []step) int {
	if length == 0 {
		return feed
	}
	n.Pipes = append(n.Pipes, r.pipe(n.end(feed), to, feed, length.metres(), rise.metres()))
	n.routes = append(n.routes, route)
	return len(n.Pipes) - 1
}

// drawLevelThenUp lays a level pipe with a number of turns and then a riser (or
// drop), which lose heat differently, and returns the index of the last.
func (n *Network) drawLevelThenUp(r Run, feed int, to string, level legs, rise micron) int {
	turn := to
	switch {
	case rise > 0:
		turn = "foot of " + to
	case rise < 0:
		turn = "head of " + to
	}
	var plan micron
	for _, leg := range level {
		plan += leg.plan()
	}
	places := level.places(n.endOf(feed))
	foot := places[len(places)-1]
	out := n.draw(r, feed, turn, plan, 0, places)
	if out != feed {
		n.Pipes[out].Fittings.Elbows += len(level) - 1
	}
	up := n.draw(r, out, to, rise.abs(), rise, []step{foot, foot.add(step{z: rise})})
	if up != out && out != feed {
		n.Pipes[up].Fittings.Elbows++
	}
	return up
}
