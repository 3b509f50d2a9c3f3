package scenarios

import "pipelag/units"

// waterSaid is the water as it comes to the heater.
type waterSaid struct {
	static, residual, at, rise said[float64]
	lines                      []said[lineSaid]
	losses                     []said[lossSaid]
}

var waterKeys = table[waterSaid]{"the water", func() []row[waterSaid] {
	type w = waterSaid
	return []row[w]{
		{"static", "gauge pressure in the street with nothing drawn", true, quantity(units.Pressure, 1e4, 2e6, func(x *w) *said[float64] { return &x.static })},
		{"residual", "the same while as much is drawn as at: says; the static pressure if left out", false, quantity(units.Pressure, 0, 2e6, func(x *w) *said[float64] { return &x.residual })},
		{"at", "flow at which the residual pressure is stated", false, quantity(units.Flow, 1e-6, 1, func(x *w) *said[float64] { return &x.at })},
		{"rise", "height of the heater's outlet above the street's gauge; 0 m if left out", false, quantity(units.Length, -200, 200, func(x *w) *said[float64] { return &x.rise })},
		{"lines", "pipes from the street to the heater", false, many(lineKeys, mostLines, func(x *w) *[]said[lineSaid] { return &x.lines })},
		{"losses", "meter, valves, filter, heater, by what their makers state", false, many(lossKeys, mostLines, func(x *w) *[]said[lossSaid] { return &x.losses })},
	}
}}

// lineSaid is a stretch of cold-water pipe.
type lineSaid struct {
	tube, size             said[string]
	length                 said[float64]
	elbows, tees, branches said[int]
}

var lineKeys = table[lineSaid]{"a line", func() []row[lineSaid] {
	type l = lineSaid
	return []row[l]{
		{"tube", "kind of tube, such as copper L or PEX", true, text("copper L", func(x *l) *said[string] { return &x.tube })},
		{"size", "nominal size, such as 3/4 or 22x1", true, text("3/4", func(x *l) *said[string] { return &x.size })},
		{"length", "developed", true, quantity(units.Length, 0.01, 10000, func(x *l) *said[float64] { return &x.length })},
		{"elbows", "right-angled turns; 0 if left out", false, count(0, mostElbows, func(x *l) *said[int] { return &x.elbows })},
		{"tees", "tees passed straight through; 0 if left out", false, count(0, mostElbows, func(x *l) *said[int] { return &x.tees })},
		{"tee branches", "tees passed round the corner; 0 if left out", false, count(0, mostElbows, func(x *l) *said[int] { return &x.branches })},
	}
}}

// lossSaid is a thing with a stated loss.
type lossSaid struct {
	name     said[string]
	loss, at said[float64]
	hotOnly  said[bool]
}

var lossKeys = table[lossSaid]{"a loss", func() []row[lossSaid] {
	type l = lossSaid
	return []row[l]{
		{"name", "what loses pressure", true, text("meter", func(x *l) *said[string] { return &x.name })},
		{"loss", "how much", true, quantity(units.Pressure, 0, 2e6, func(x *l) *said[float64] { return &x.loss })},
		{"at", "flow at which it is stated, with whose square it goes; the same at any flow if left out", false, quantity(units.Flow, 1e-6, 1, func(x *l) *said[float64] { return &x.at })},
		{"hot only", "true where the cold taps' water does not pass, such as the heater", false, yesNo(func(x *l) *said[bool] { return &x.hotOnly })},
	}
}}

// limitsSaid is what piping is held against.
type limitsSaid struct {
	codes said[[]string]
	file  said[string]
}

var limitsKeys = table[limitsSaid]{"the limits", func() []row[limitsSaid] {
	return []row[limitsSaid]{
		{"codes", "the codes and practices to hold it against, of those that come with the program; all if left out", false, words("IPC", 50, func(l *limitsSaid) *said[[]string] { return &l.codes })},
		{"file", "limits of one's own to add: a CSV file beside the scenario's with the columns quantity, material, use, size, above, value, flow, code, clause, source, status, note", false, text("limits.csv", func(l *limitsSaid) *said[string] { return &l.file })},
	}
}}

// placesSaid are candidates for what is to be placed.
type placesSaid struct{ heater, manifold said[[][3]float64] }

var placesKeys = table[placesSaid]{"the places", func() []row[placesSaid] {
	return []row[placesSaid]{
		{"heater", "where the heater could stand", false, places(func(p *placesSaid) *said[[][3]float64] { return &p.heater })},
		{"manifold", "where a manifold could hang", false, places(func(p *placesSaid) *said[[][3]float64] { return &p.manifold })},
	}
}}
