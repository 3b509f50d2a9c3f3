package sim

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"pipelag/sim/heater"
	"pipelag/units"
)

// tellingCooled is the share of the water used from which on it is told how much was
// used gone cool: less hangs on how warm water left in a pipe happens to be, and on the
// grid. A year of a cottage with an electric tank had 24 L, 0.05 %, on the default grid,
// and 2.4 L on one four times as fine.
const tellingCooled = 0.001

// cautionsOfHeater are what years raise of a heater that runs short.
func (l *layoutYears) cautionsOfHeater(h *House, say func(format string, args ...any)) {
	cooled, used := l.annual[Cooled].interval().Mean, l.annual[Used].interval().Mean
	said := ""
	if cooled >= tellingCooled*used && cooled > 0 {
		said = fmt.Sprintf("Heater: %s a year were used when water that had been usable was so no longer", units.Both(cooled, units.Volume))
	}
	f, err := NewFiring(h)
	needs := slices.MaxFunc(h.Fixtures, func(a, b Fixture) int { return cmp.Compare(a.Usable, b.Usable) })
	switch {
	case err != nil || isHeld(h.Heater.Kind):
	case f != nil && said != "":
		say("%s: %s.", said, strings.Join(f.lets(h.Fixtures), "; "))
	case f == nil && l.coolest < needs.Usable:
		if said == "" {
			said = "Heater"
		}
		say("%s: at its coolest the store gave %.1f C (%.1f F), and %s waits for %.1f C (%.1f F); it does not always keep up with the draws.", said, l.coolest, fahrenheit(l.coolest), needs.Name, needs.Usable, fahrenheit(needs.Usable))
	case f == nil && said != "":
		say("%s, though the store gave usable water at every full hour: it runs short in between, or the water cools in the pipes.", said)
	}
}

func isHeld(k heater.Kind) bool {
	_, held := k.(heater.Held)
	return held
}

// lets are the ways in which the heater lets water through that is too cool.
func (f *Firing) lets(fixtures []Fixture) []string {
	first := "it lets cool water through until it has warmed itself"
	if f.Delay > 0 {
		first = fmt.Sprintf("it lets cool water through until it fires, %s after the flow begins, and has warmed itself", units.Roughly(f.Delay))
	}
	all := []string{first}
	if f.LeastFlow > 0 {
		all = append(all, fmt.Sprintf("it heats nothing below %s, which the hot share of a mixed flow can be", units.Both(f.LeastFlow, units.Flow)))
	}
	need := 0.0
	for _, x := range fixtures {
		need += x.Flow * max(0, x.Usable-f.Coldest)
	}
	if need > f.heats {
		all = append(all, "its power is too little for all fixtures at once while the mains are coldest")
	}
	return all
}

// cautionOfPower says at which fixtures water never becomes usable, however long it
// runs, while the mains are coldest; it is empty where there are none.
func (f *Firing) cautionOfPower(fixtures []Fixture) string {
	var at []string
	for _, x := range fixtures {
		if gives := f.Gives(x.Flow, f.Coldest); gives < x.Usable {
			at = append(at, fmt.Sprintf("%s (%s come to %s, usable is %s)", x.Name, units.Both(x.Flow, units.Flow), units.Both(gives, units.Temperature), units.Both(x.Usable, units.Temperature)))
		}
	}
	if at == nil {
		return ""
	}
	return "Heater: while the mains are coldest it never brings the flow to what is usable at " + strings.Join(at, ", ") + "."
}

const (
	// ratedSetpoint is what heat pumps are set to where they are rated: 125 °F in 10 CFR 430,
	// from memory.
	ratedSetpoint = (125.0 - 32) / 1.8 // [°C]

	// farSetpoint is how far from that a set point is told: a usual COP is then 15 % off.
	farSetpoint = 8.0 // [K]
)

// cautionOfCOP says where a COP that is the same in any air and at any set point stands for
// what it does not do; it is empty where there is none such.
func (h *House) cautionOfCOP() string {
	held, ok := h.Heater.Kind.(heater.Held)
	zone := h.Heater.draws()
	if !ok || zone == "" {
		return ""
	}
	var off []string
	for _, z := range h.extremes() {
		if z.zone == zone && z.coldest < heater.UsualLeastAir {
			off = append(off, fmt.Sprintf("it gets as cold as %s in %s, and below about %s many compressors stand still and an element heats in their place",
				units.Both(z.coldest, units.Temperature), zone, units.Both(heater.UsualLeastAir, units.Temperature)))
		}
	}
	if by := h.Heater.Setpoint - ratedSetpoint; by > farSetpoint || by < -farSetpoint {
		cop := func(setpoint float64) float64 { return heater.UsualCOP.At(setpoint, heater.UsualCOP.Air) }
		off = append(off, fmt.Sprintf("it is set to %s, where a usual COP differs by %+.0f %% from that at %s, for which they are rated",
			units.Both(h.Heater.Setpoint, units.Temperature), 100*(cop(h.Heater.Setpoint)/cop(ratedSetpoint)-1), units.Both(ratedSetpoint, units.Temperature)))
	}
	if off == nil {
		return ""
	}
	return fmt.Sprintf("Heater: its COP of %.3g is taken in any air and at any set point, but %s. See that it holds for these, or give it layers, with which its COP follows both.", held.Efficiency, strings.Join(off, "; "))
}
