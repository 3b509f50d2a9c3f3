package scenarios

import "pipelag/units"

type layoutSaid struct {
	name, arrangement, like     said[string]
	heaters                     said[[][3]float64]
	trunk, branch, supply, runs said[runSaid]
	backLine                    said[returnSaid]
	longest                     said[float64]
	manifold                    said[manifoldSaid]
	manifolds                   []said[manifoldSaid]
	pump                        said[pumpSaid]
	pipes                       []said[pipeSaid]
}

// over is the layout with what it leaves unsaid taken from another.
func (a layoutSaid) over(b layoutSaid) layoutSaid {
	a.trunk, a.branch = overRun(a.trunk, b.trunk), overRun(a.branch, b.branch)
	a.supply, a.runs = overRun(a.supply, b.supply), overRun(a.runs, b.runs)
	if a.backLine.at != nil {
		a.backLine.value = a.backLine.value.over(b.backLine.value)
	}
	a.backLine = a.backLine.or(b.backLine)
	switch {
	case a.manifolds != nil:
	case a.manifold.at != nil:
		a.manifold.value = a.manifold.value.over(b.manifold.value)
	default:
		a.manifold, a.manifolds = b.manifold, b.manifolds
	}
	a.heaters, a.longest = a.heaters.or(b.heaters), a.longest.or(b.longest)
	if a.pump.at != nil && b.pump.at != nil {
		a.pump.value = a.pump.value.over(b.pump.value)
	}
	a.pump = a.pump.or(b.pump)
	if a.pipes == nil {
		a.pipes = b.pipes
	}
	return a
}

func overRun(a, b said[runSaid]) said[runSaid] {
	if a.at == nil {
		return b
	}
	a.value = a.value.over(b.value)
	return a
}

// manifoldSaid is where runs part. Its name, feed, supply and fixtures are said
// where there are several.
type manifoldSaid struct {
	at           said[[3]float64]
	port         said[float64]
	body, supply said[runSaid]
	name, from   said[string]
	serves       said[[]string]
}

// over is the manifold with what it leaves unsaid taken from another.
func (a manifoldSaid) over(b manifoldSaid) manifoldSaid {
	a.at, a.port, a.body = a.at.or(b.at), a.port.or(b.port), overRun(a.body, b.body)
	return a
}

var layoutKeys = table[layoutSaid]{"a layout", func() []row[layoutSaid] {
	type l = layoutSaid
	return []row[l]{
		{"name", "what results and figures call it", true, text("trunk and branch", func(x *l) *said[string] { return &x.name })},
		{"arrangement", "trunk-and-branch, short-tree, home-run, pumped or listed", false, choice([]string{trunkAndBranch, shortTree, homeRun, pumped, listed}, func(x *l) *said[string] { return &x.arrangement })},
		{"like", "name of an earlier layout to take over all that is not said here", false, text("trunk and branch", func(x *l) *said[string] { return &x.like })},
		{"heaters", "where it has its heater, or several of which each serves what is nearest to it; the house's if left out", false, places(func(x *l) *said[[][3]float64] { return &x.heaters })},
		{"trunk", "trunk-and-branch, short-tree: what serves several fixtures", false, within(trunkKeys, func(x *l) *said[runSaid] { return &x.trunk })},
		{"branch", "trunk-and-branch, short-tree: from trunk to each fixture", false, within(branchKeys, func(x *l) *said[runSaid] { return &x.branch })},
		{"manifold", "home-run: where the runs part", false, within(manifoldKeys, func(x *l) *said[manifoldSaid] { return &x.manifold })},
		{"manifolds", "home-run: the same where there are several", false, many(manifoldsKeys, mostManifolds, func(x *l) *[]said[manifoldSaid] { return &x.manifolds })},
		{"supply", "home-run: from heater to manifold", false, within(trunkKeys, func(x *l) *said[runSaid] { return &x.supply })},
		{"runs", "home-run: from manifold to each fixture", false, within(homeRunKeys, func(x *l) *said[runSaid] { return &x.runs })},
		{"longest branch", "pumped, of trunk and branch: the loop passes every fixture as near as that", false, quantity(units.Length, 0, 100, func(x *l) *said[float64] { return &x.longest })},
		{"return", "pumped: from the far end back to the heater", false, within(returnKeys, func(x *l) *said[returnSaid] { return &x.backLine })},
		{"pump", "pumped: the pump and its control", false, within(pumpKeys, func(x *l) *said[pumpSaid] { return &x.pump })},
		{"pipes", "listed: every pipe from the heater to the fixtures, and back where there is a pump", false, many(pipeKeys, mostPipes, func(x *l) *[]said[pipeSaid] { return &x.pipes })},
	}
}}

var manifoldKeys = table[manifoldSaid]{"a manifold", bodyKeys}

func bodyKeys() []row[manifoldSaid] {
	return []row[manifoldSaid]{
		{"at", "where it is", true, place(func(m *manifoldSaid) *said[[3]float64] { return &m.at })},
		{"port", "from one port to the next; 0 m if left out, as for a body too short to count", false, quantity(units.Length, 0, 1, func(m *manifoldSaid) *said[float64] { return &m.port })},
		{"body", "what it is made of; as its supply if left out", false, within(runKeys, func(m *manifoldSaid) *said[runSaid] { return &m.body })},
	}
}

// manifoldsKeys are those of one among several.
var manifoldsKeys = table[manifoldSaid]{"a manifold", func() []row[manifoldSaid] {
	return append([]row[manifoldSaid]{
		{"name", "what pipes call it", true, text("upper manifold", func(m *manifoldSaid) *said[string] { return &m.name })},
		{"from", "the earlier manifold that feeds it; the heater if left out", false, text("lower manifold", func(m *manifoldSaid) *said[string] { return &m.from })},
		{"supply", "from there to it; as the layout's supply where left out", false, within(trunkKeys, func(m *manifoldSaid) *said[runSaid] { return &m.supply })},
		{"serves", "the fixtures it serves; those nearest to it if no manifold says", false, words("kitchen sink", mostFixtures, func(m *manifoldSaid) *said[[]string] { return &m.serves })},
	}, bodyKeys()...)
}}

// The arrangements.
const (
	trunkAndBranch = "trunk-and-branch"
	shortTree      = "short-tree"
	homeRun        = "home-run"
	pumped         = "pumped"
	listed         = "listed"
)
