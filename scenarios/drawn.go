package scenarios

import (
	"fmt"
	"math"

	"pipelag/units"
)

// planSaid is a house drawn from a few numbers, where no places are known: for
// studies of many houses.
type planSaid struct {
	floors, bathrooms                      said[int]
	area, height, spread, heater, manifold said[float64]
	aspect                                 said[float64]
}

var planKeys = table[planSaid]{"a plan", func() []row[planSaid] {
	return []row[planSaid]{
		{"floors", "storeys, 1 to 4", true, count(1, 4, func(p *planSaid) *said[int] { return &p.floors })},
		{"area", "of all floors together", true, quantity(units.Area, 20, 2000, func(p *planSaid) *said[float64] { return &p.area })},
		{"bathrooms", "1 to 6: each has a shower and a lavatory, the first a tub", true, count(1, mostBathrooms, func(p *planSaid) *said[int] { return &p.bathrooms })},
		{"aspect", "length over width; 1.5 if left out", false, factor(1, 5, func(p *planSaid) *said[float64] { return &p.aspect })},
		{"height", "from floor to floor; 2.7 m if left out", false, quantity(units.Length, 2, 5, func(p *planSaid) *said[float64] { return &p.height })},
		{"spread", "how far wet rooms stand from the middle: 0 % back to back, 100 % at the outer walls; 60 % if left out", false, quantity(units.Share, 0, 1, func(p *planSaid) *said[float64] { return &p.spread })},
		{"heater", "how far the heater stands from the middle: 0 % there, 100 % in a corner; 100 % if left out", false, quantity(units.Share, 0, 1, func(p *planSaid) *said[float64] { return &p.heater })},
		{"manifold", "how far from the heater to the middle manifolds stand; 0 % if left out, 1 m at least", false, quantity(units.Share, 0, 1, func(p *planSaid) *said[float64] { return &p.manifold })},
	}
}}

// Defaults of a plan and what stands where in its rooms: common practice, no
// source.
const (
	mostBathrooms  = 6
	defaultAspect  = 1.5
	defaultStorey  = 2.7 // [m]
	defaultSpread  = 0.6
	defaultApart   = 1.0
	defaultPartway = 0.0
	roomInset      = 1.5 // from the outer wall to a wet room's middle [m]
	backToBack     = 1.2 // from the core to a wet room's middle at the least [m]
	manifoldGap    = 1.0 // from heater to manifold at the least [m]
)

// appliance is a fixture of a room: where it stands from the room's middle, and
// how much it passes.
type appliance struct {
	name, use string
	at        [3]float64 // [m]
	flow      float64    // [L/min]
}

var (
	kitchen = []appliance{{"kitchen sink", "kitchen", [3]float64{0, 0, 0.9}, 5.7}, {"dishwasher", "dishwasher", [3]float64{0.6, 0, 0.5}, 5.7}}
	laundry = []appliance{{"clothes washer", "clothes washer", [3]float64{0, 0, 0.9}, 8.3}}
	bath    = []appliance{{"lavatory", "lavatory", [3]float64{0, 0, 0.8}, 4.5}, {"shower", "shower", [3]float64{0.9, 0, 2}, 7.6}, {"tub", "bath", [3]float64{0.9, 0.6, 0.6}, 15}}
)

// drawn is a plan made into places.
type drawn struct {
	at       *node
	heater   [3]float64
	manifold [3]float64
	fixtures []named[fixtureSaid]
}

// drawHouse draws the plan, where there is one, and fills in the fixtures and
// the heater's place.
func (b *builder) drawHouse() {
	plan := b.said.plan
	if plan.at == nil {
		if b.root.shape == mapping && !b.says(b.root, "fixtures") && !b.says(b.root, "plan") {
			b.fault(b.root, "a scenario has no fixtures", "add fixtures: taps and machines by name, or plan:")
		}
		return
	}
	if b.says(b.root, "fixtures") {
		b.fault(plan.at, "a plan beside fixtures", "keep one: a plan says which fixtures there are, and where")
		return
	}
	p := plan.value
	if p.floors.at == nil || p.area.at == nil || p.bathrooms.at == nil {
		b.undrawn, b.drawn = true, &drawn{at: plan.at}
		return
	}
	if p.aspect.at == nil {
		p.aspect.value = defaultAspect
		b.assume("plan.aspect", fmt.Sprint(defaultAspect), "common practice, no source")
	}
	const why = "common practice, no source"
	p.height.value = b.or(p.height, units.Length, defaultStorey, "plan.height", why)
	p.spread.value = b.or(p.spread, units.Share, defaultSpread, "plan.spread", why)
	p.heater.value = b.or(p.heater, units.Share, defaultApart, "plan.heater", why)
	p.manifold.value = b.or(p.manifold, units.Share, defaultPartway, "plan.manifold", why)
	b.assume("plan, flows of its fixtures", "4.5 to 15 L/min by use", why)
	b.drawn = p.draw(plan.at)
	b.said.fixtures = b.drawn.fixtures
	if h := &b.said.heater; h.at != nil && h.value.at.at == nil {
		h.value.at = said[[3]float64]{b.drawn.heater, plan.at}
	}
}

// draw places rooms round the core, the middle of the house. The kitchen and the
// laundry are on the ground floor, bathrooms from the top floor down. Height 0 is
// that of the pipes below the ground floor.
func (p planSaid) draw(at *node) *drawn {
	footprint := p.area.value / float64(p.floors.value)
	width := math.Sqrt(footprint / p.aspect.value)
	half := [2]float64{footprint / width / 2, width / 2}
	out := func(direction [2]float64, share, least, inset float64) [3]float64 {
		var spot [3]float64
		for i, d := range direction {
			spot[i] = half[i] + d*max(least, share*(half[i]-inset))
		}
		return spot
	}
	d := &drawn{at: at, heater: out([2]float64{-1, -1}, p.heater.value, 0, roomInset/2)}
	d.manifold = d.heater
	way := math.Hypot(half[0]-d.heater[0], half[1]-d.heater[1])
	share := math.Max(p.manifold.value, manifoldGap/math.Max(way, manifoldGap))
	if way < manifoldGap {
		d.manifold[0] += manifoldGap
	} else {
		d.manifold[0] += share * (half[0] - d.heater[0])
		d.manifold[1] += share * (half[1] - d.heater[1])
	}

	room := func(direction [2]float64, floor int, prefix string, all []appliance) {
		middle := out(direction, p.spread.value, backToBack, roomInset)
		middle[2] = float64(floor) * p.height.value
		for _, a := range all {
			f := fixtureSaid{
				use:  said[string]{a.use, at},
				at:   said[[3]float64]{[3]float64{middle[0] + a.at[0], middle[1] + a.at[1], middle[2] + a.at[2]}, at},
				flow: said[float64]{a.flow * 1e-3 / 60, at},
			}
			d.fixtures = append(d.fixtures, named[fixtureSaid]{prefix + a.name, at, f})
		}
	}
	room([2]float64{1, -1}, 0, "", kitchen)
	room([2]float64{-1, 0}, 0, "", laundry)
	directions := [mostBathrooms][2]float64{{1, 1}, {-1, 1}, {0, 1}, {0, -1}, {1, 0}, {-1, -1}}
	for i := range p.bathrooms.value {
		fixtures := bath
		if i > 0 {
			fixtures = bath[:2]
		}
		room(directions[i], p.floors.value-1-i%p.floors.value, fmt.Sprintf("bath %d ", i+1), fixtures)
	}
	return d
}
