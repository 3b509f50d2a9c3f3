package scenarios

import (
	"bytes"
	"fmt"
	"strings"

	"pipelag/network"
	"pipelag/network/hydraulics"
	"pipelag/network/limits"
	"pipelag/network/sizing"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/units"
)

// buildSupply makes the water that comes to the heater: as water: says, or else
// at one pressure whatever is drawn.
func (b *builder) buildSupply() {
	s := b.said.water
	cold := annualMean(b.made.house.Climate.Mains)
	if s.at == nil {
		b.made.house.Supply = &hydraulics.Service{
			Static: b.or(b.said.pressure, units.Pressure, defaultPressure, "pressure", "at the heater's outlet, whatever is drawn; round figure, no source"),
			Cold:   cold,
		}
		return
	}
	if p := b.said.pressure; p.at != nil {
		b.fault(p.at, "a pressure at the heater's outlet beside water:", "keep one of them")
	}
	w := s.value
	switch {
	case w.residual.at != nil && w.at.at == nil:
		b.fault(w.residual.at, "a residual pressure without its flow", "add at: the flow at which it was measured")
	case w.residual.at == nil && w.at.at != nil:
		b.fault(w.at.at, "a flow without the residual pressure at it", "add residual: the pressure while it is drawn")
	case w.residual.at != nil && w.static.at != nil && w.residual.value > w.static.value:
		b.fault(w.residual.at, "a residual pressure above the static one", "give at most "+units.Both(w.static.value, units.Pressure))
	}
	service := &hydraulics.Service{
		Static: w.static.value, Residual: w.residual.value, ResidualFlow: w.at.value, Cold: cold,
		Rise: b.or(w.rise, units.Length, 0, "water.rise", "the heater's outlet as high as the street's gauge"),
	}
	for _, l := range w.lines {
		service.Lines = append(service.Lines, hydraulics.Line{
			Tube: b.tube(l.value.tube, l.value.size), Length: l.value.length.value,
			Fittings: network.Fittings{Elbows: l.value.elbows.value, TeeRuns: l.value.tees.value, TeeBranches: l.value.branches.value},
		})
	}
	for _, d := range w.losses {
		service.Devices = append(service.Devices, hydraulics.Device{
			Name: d.value.name.value, Loss: d.value.loss.value, Flow: d.value.at.value, HotOnly: d.value.hotOnly.value,
		})
	}
	b.made.house.Supply = service
}

// annualMean is the mean of a temperature over the days of a year [°C].
func annualMean(t schedules.Temperature) float64 {
	if t == nil { // a mistake noted already
		return 0
	}
	sum := 0.0
	for d := range schedules.DaysPerYear {
		sum += t.At((float64(d) + 0.5) * 86400)
	}
	return sum / schedules.DaysPerYear
}

// tube is one that is made; an unknown one is noted.
func (b *builder) tube(kind, size said[string]) tubes.Tube {
	if kind.at == nil || size.at == nil {
		return tubes.Tube{}
	}
	t, err := tubes.Find(kind.value, size.value)
	if err != nil {
		at := size.at
		if strings.HasPrefix(err.Error(), "unknown") {
			at = kind.at
		}
		b.advise(at, err, "give another value")
	}
	return t
}

// buildCode finds the code that demand goes by and the limits that piping is
// held against.
func (b *builder) buildCode() {
	name := b.said.code.value
	if b.said.code.at == nil {
		name = defaultCode
		b.assume("code", name, "fixture units of 2018 IPC table E103.3(2), read; demand of table E103.3(3), mostly from memory")
	}
	code, err := sizing.FindCode(name)
	if err != nil {
		b.advise(b.said.code.at, err, "name another")
	}
	b.made.code, b.made.house.Limits = code, limits.Standard()
	said := b.said.limits.value
	if said.codes.at != nil {
		if b.made.house.Limits, err = b.made.house.Limits.Codes(said.codes.value...); err != nil {
			b.advise(said.codes.at, err, "name others")
		}
	}
	if said.file.at != nil {
		b.buildLimits(said.file)
	}
}

// buildCold finds the fixture units of what draws cold water alone. Left out, they are
// those of toilets: as many as lavatories errs on the safe side where a bathroom has two.
func (b *builder) buildCold() {
	if b.made.code.Name == "" {
		return // a mistake noted already
	}
	if b.said.cold.at != nil {
		b.made.cold = b.said.cold.value
		all := b.made.cold
		for _, f := range b.made.house.Fixtures {
			if _, units, err := b.made.code.Units(f.Use.String()); err == nil {
				all += units
			}
		}
		if _, err := b.made.code.Demand(all); err != nil {
			b.fault(b.said.cold.at, "with those of the fixtures it comes to "+err.Error(), "give fewer")
		}
		return
	}
	toilets := 0
	for _, f := range b.made.house.Fixtures {
		if f.Use == schedules.Lavatory {
			toilets++
		}
	}
	toilets = max(toilets, 1)
	each, source := b.made.code.Toilet()
	b.made.cold = float64(toilets) * each
	b.assume("cold units", fmt.Sprintf("%.3g fixture units", b.made.cold), fmt.Sprintf("%d × %g: a flush-tank toilet for each lavatory, and one at least, by %s; hose bibbs and other cold taps are left out", toilets, each, source))
}

// buildLimits adds the user's own limits; what is wrong in their file is noted
// with its line there.
func (b *builder) buildLimits(s said[string]) {
	data, path, ok := b.companion(s, "file of limits")
	if !ok {
		return
	}
	own, err := limits.Read(bytes.NewReader(data))
	if err == nil {
		b.made.house.Limits = append(b.made.house.Limits, own...)
		return
	}
	for _, text := range strings.Split(err.Error(), "\n") {
		place := Mistake{File: path, Line: 1, Column: 1}
		rest := strings.TrimPrefix(text, "limits: ")
		if n, _ := fmt.Sscanf(rest, "line %d:", &place.Line); n == 1 {
			_, rest, _ = strings.Cut(rest, ": ")
		}
		b.elsewhere(place, rest, "correct the table")
	}
}

// needs is the pressure at which a fixture gives its flow [Pa]: that of the
// first clause that states one for its use, or else that of a sink.
func (b *builder) needs(s said[float64], use string) float64 {
	if s.at != nil {
		return s.value
	}
	b.assume("fixtures.pressure", "by use, 8 or 20 psi (55 or 138 kPa)", "IPC 604.3, read; a clothes washer as a sink, no source")
	if stated := limits.Standard().Of(limits.Pressure, use); len(stated) > 0 {
		return stated[0].Value
	}
	return defaultNeeds
}
