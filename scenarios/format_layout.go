package scenarios

type layoutSaid struct {
	name, arrangement, like               said[string]
	trunk, branch, supply, runs, backLine said[runSaid]
	manifold                              said[manifoldSaid]
	pump                                  said[pumpSaid]
	pipes                                 []said[pipeSaid]
}

// over is the layout with what it leaves unsaid taken from another.
func (a layoutSaid) over(b layoutSaid) layoutSaid {
	a.trunk, a.branch = overRun(a.trunk, b.trunk), overRun(a.branch, b.branch)
	a.supply, a.runs, a.backLine = overRun(a.supply, b.supply), overRun(a.runs, b.runs), overRun(a.backLine, b.backLine)
	a.manifold = a.manifold.or(b.manifold)
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

type manifoldSaid struct{ at said[[3]float64] }

var layoutKeys = table[layoutSaid]{"a layout", func() []row[layoutSaid] {
	type l = layoutSaid
	return []row[l]{
		{"name", "what results and figures call it", true, text("trunk and branch", func(x *l) *said[string] { return &x.name })},
		{"arrangement", "trunk-and-branch, home-run, pumped or listed", false, choice([]string{trunkAndBranch, homeRun, pumped, listed}, func(x *l) *said[string] { return &x.arrangement })},
		{"like", "name of an earlier layout to take over all that is not said here", false, text("trunk and branch", func(x *l) *said[string] { return &x.like })},
		{"trunk", "trunk-and-branch: the trunk", false, within(runKeys, func(x *l) *said[runSaid] { return &x.trunk })},
		{"branch", "trunk-and-branch: from trunk to each fixture", false, within(branchKeys, func(x *l) *said[runSaid] { return &x.branch })},
		{"manifold", "home-run: where the runs part", false, within(manifoldKeys, func(x *l) *said[manifoldSaid] { return &x.manifold })},
		{"supply", "home-run: from heater to manifold", false, within(runKeys, func(x *l) *said[runSaid] { return &x.supply })},
		{"runs", "home-run: from manifold to each fixture", false, within(branchKeys, func(x *l) *said[runSaid] { return &x.runs })},
		{"return", "pumped: from the far end back to the heater", false, within(runKeys, func(x *l) *said[runSaid] { return &x.backLine })},
		{"pump", "pumped: the pump and its control", false, within(pumpKeys, func(x *l) *said[pumpSaid] { return &x.pump })},
		{"pipes", "listed: every pipe from the heater to the fixtures, and back where there is a pump", false, many(pipeKeys, mostPipes, func(x *l) *[]said[pipeSaid] { return &x.pipes })},
	}
}}

var manifoldKeys = table[manifoldSaid]{"a manifold", func() []row[manifoldSaid] {
	return []row[manifoldSaid]{
		{"at", "where it is", true, place(func(m *manifoldSaid) *said[[3]float64] { return &m.at })},
	}
}}

// The arrangements.
const (
	trunkAndBranch = "trunk-and-branch"
	homeRun        = "home-run"
	pumped         = "pumped"
	listed         = "listed"
)
