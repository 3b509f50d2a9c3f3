package scenarios

import (
	"pipelag/units"
)

// runSaid is what a stretch of piping is made of, or as much of it as a layout
// changes in the one it takes over.
type runSaid struct {
	tube, size, zone, insulation said[string]
	bare                         said[float64]
	buried                       said[buriedSaid]
	via                          said[[][3]float64]
	except                       []named[runSaid] // for the runs to single fixtures
}

type buriedSaid struct{ depth, conductivity said[float64] }

// over is the run with what it leaves unsaid taken from another.
func (a runSaid) over(b runSaid) runSaid {
	a.tube, a.size, a.zone = a.tube.or(b.tube), a.size.or(b.size), a.zone.or(b.zone)
	a.insulation, a.bare, a.buried = a.insulation.or(b.insulation), a.bare.or(b.bare), a.buried.or(b.buried)
	a.via = a.via.or(b.via)
	except := append([]named[runSaid]{}, a.except...)
	for _, old := range b.except {
		found := false
		for i := range except {
			if except[i].name == old.name {
				except[i].value = except[i].value.over(old.value)
				found = true
			}
		}
		if !found {
			except = append(except, old)
		}
	}
	a.except = except
	return a
}

func makeKeys() []row[runSaid] {
	return []row[runSaid]{
		{"tube", "kind of tube, such as copper L or PEX", false, text("copper L", func(r *runSaid) *said[string] { return &r.tube })},
		{"size", "nominal size, such as 3/4 or 22x1, or choose to have one chosen that passes the demand", false, text("3/4", func(r *runSaid) *said[string] { return &r.size })},
		{"zone", "whose air stands round it", false, text("crawlspace", func(r *runSaid) *said[string] { return &r.zone })},
		{"insulation", "thickness and material, such as 1/2 in foam, or none", false, text("1/2 in foam", func(r *runSaid) *said[string] { return &r.insulation })},
		{"bare", "share of an insulated run left bare at fittings and hangers; 5 % if left out", false, quantity(units.Share, 0, 1, func(r *runSaid) *said[float64] { return &r.bare })},
		{"buried", "in ground or slab instead of air; the zone is then the ground's", false, within(buriedKeys, func(r *runSaid) *said[buriedSaid] { return &r.buried })},
	}
}

// routedKeys are those of a stretch that may go a stated way.
func routedKeys() []row[runSaid] {
	return append(makeKeys(), row[runSaid]{
		"via", "places it goes by, in their order", false, places(func(r *runSaid) *said[[][3]float64] { return &r.via }),
	})
}

// exceptKeys and routedExceptKeys are those of a run to a single fixture that
// differs.
var (
	exceptKeys       = table[runSaid]{"an exception", makeKeys}
	routedExceptKeys = table[runSaid]{"an exception", routedKeys}
)

// runKeys are those of one stretch: a manifold's body.
var runKeys = table[runSaid]{"a run", makeKeys}

// trunkKeys are those of a trunk or a supply.
var trunkKeys = table[runSaid]{"a run", routedKeys}

// branchKeys and homeRunKeys are those of stretches to every fixture.
var (
	branchKeys  = table[runSaid]{"a run", func() []row[runSaid] { return excepting(exceptKeys) }}
	homeRunKeys = table[runSaid]{"a run", func() []row[runSaid] { return excepting(routedExceptKeys) }}
)

func excepting(keys table[runSaid]) []row[runSaid] {
	return append(makeKeys(), row[runSaid]{
		"except", "what differs for single fixtures, by their names", false,
		each(keys, mostFixtures, func(r *runSaid) *[]named[runSaid] { return &r.except }),
	})
}

var buriedKeys = table[buriedSaid]{"a burial", func() []row[buriedSaid] {
	return []row[buriedSaid]{
		{"depth", "of the pipe's axis", true, quantity(units.Length, 0.02, 10, func(b *buriedSaid) *said[float64] { return &b.depth })},
		{"conductivity", "of the ground or slab, such as 1.2 W/(m K)", true, quantity(units.Conductivity, 0.05, 10, func(b *buriedSaid) *said[float64] { return &b.conductivity })},
	}
}}

// pipeSaid is one pipe of a layout that lists them.
type pipeSaid struct {
	from, to     said[string]
	length, rise said[float64]
	elbows       said[int]
	at           said[[3]float64]
	back         said[bool]
	run          runSaid
}

var pipeKeys = table[pipeSaid]{"a pipe", func() []row[pipeSaid] {
	rows := []row[pipeSaid]{
		{"from", "heater, or the node where another pipe ends", true, text("heater", func(p *pipeSaid) *said[string] { return &p.from })},
		{"to", "a fixture's name or a node", true, text("tee a", func(p *pipeSaid) *said[string] { return &p.to })},
		{"length", "developed", true, quantity(units.Length, 0.01, 500, func(p *pipeSaid) *said[float64] { return &p.length })},
		{"rise", "height gained from one end to the other; 0 m if left out", false, quantity(units.Length, -100, 100, func(p *pipeSaid) *said[float64] { return &p.rise })},
		{"elbows", "right-angled turns on its way; 0 if left out. Tees are counted from the list", false, count(0, mostElbows, func(p *pipeSaid) *said[int] { return &p.elbows })},
		{"at", "where it ends, for the plan that takeoff draws; a fixture's end is known", false, place(func(p *pipeSaid) *said[[3]float64] { return &p.at })},
		{"return", "true for the line back to the heater", false, yesNo(func(p *pipeSaid) *said[bool] { return &p.back })},
	}
	return append(rows, madeOf(func(p *pipeSaid) *runSaid { return &p.run })...)
}}

// madeOf are the keys of what a stretch is made of among those of something larger.
func madeOf[T any](run func(*T) *runSaid) []row[T] {
	var rows []row[T]
	for _, made := range makeKeys() {
		rows = append(rows, row[T]{made.key, made.doc, made.need, value[T]{
			read:   func(r *reader, n *node, into *T) { made.value.read(r, n, run(into)) },
			schema: made.value.schema,
		}})
	}
	return rows
}
