package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"pipelag/network/limits"
	"pipelag/scenarios"
	"pipelag/units"
)

// ounce is a US fluid ounce [m³], exact by definition.
const ounce = 29.5735295625e-6

// page is a takeoff as text.
func (t *takenOff) page(system units.System) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s: takeoff of %s\n", t.scenario.Name, counted(len(t.layouts), "layout"))
	for i := range t.layouts {
		l := &t.layouts[i]
		fmt.Fprintf(&b, "\n%s\n", strings.Repeat("-", pageWidth))
		writeNote(&b, "", l.headline(system, t.scenario.Conditions().Code.Name))
		l.storedSheet(system).write(&b)
		writeNote(&b, "  ", storedLegend(system, l.pumped))
		l.pressureSheet(system).write(&b)
		l.ways(&b)
		l.tubeSheet(system).write(&b)
		writeNote(&b, "  ", tubeLegend(system, l.pumped))
		l.verdicts(&b, system)
		for k, p := range l.Problems {
			if k == 0 {
				b.WriteString("\nWrong\n")
			}
			writeNote(&b, "- ", p.What+"; "+p.Right)
		}
	}
	fmt.Fprintf(&b, "\n%s\n", strings.Repeat("-", pageWidth))
	t.notes(&b)
	return b.Bytes()
}

// headline is a layout in a sentence.
func (l *layoutOff) headline(system units.System, code string) string {
	return l.Layout + ": " + l.inAll(system, code)
}

// inAll is what all of a layout comes to.
func (l *layoutOff) inAll(system units.System, code string) string {
	text := fmt.Sprintf("%s of pipe holding %s", system.Format(l.Length, units.Length), system.Format(l.Volume, units.Volume))
	if l.Load.Pipes != nil {
		text += fmt.Sprintf("; demand by %s: hot %s, hot and cold %s", code, system.Format(l.Load.Hot, units.Flow), system.Format(l.Load.House, units.Flow))
	}
	return text
}

// storedSheet lists what stands on the way to each fixture and how long it
// takes to leave.
func (l *layoutOff) storedSheet(system units.System) *sheet {
	s := &sheet{title: "To each fixture", heads: []string{system.Unit(units.Length), "gal", "oz", "L"}}
	if l.pumped {
		s.heads = append(s.heads, "beyond loop")
	}
	s.heads = append(s.heads, system.Unit(units.Flow), "plug, s", "cold start, s")
	for i := range l.Fixtures {
		f := &l.Fixtures[i]
		cells := []cell{
			{system.Number(f.Length, units.Length), ""},
			{units.US.Number(f.Volume, units.Volume), ""},
			{fmt.Sprintf("%.1f", f.Volume/ounce), ""},
			{units.SI.Number(f.Volume, units.Volume), ""},
		}
		if l.pumped {
			cells = append(cells, cell{system.Number(f.FromLoop.Volume, units.Volume), ""})
		}
		flow, plug, cold := cell{"-", ""}, cell{"-", ""}, cell{"never", ""}
		if f.Alone != nil {
			flow.number = system.Number(f.Alone.Flow, units.Flow)
		}
		if f.Alone != nil && f.Alone.Flow > 0 {
			plug.number = fmt.Sprintf("%.1f", f.Alone.Wait)
		}
		if start := l.starts[i]; start != nil {
			cold.number = fmt.Sprintf("%.1f", start.Wait)
		}
		s.add("  "+f.Name, append(cells, flow, plug, cold))
	}
	return s
}

func storedLegend(system units.System, pumped bool) string {
	beyond, rest := "", ""
	if pumped {
		beyond = fmt.Sprintf("; beyond loop: %s stored past the loop, which plug counts from", system.Unit(units.Volume))
		rest = ", the pump at rest"
	}
	return fmt.Sprintf("%s: developed length from the heater; gal, oz, L: water stored on the way%s; %s: what the pressure passes, up to the rated flow; plug: wait if that water leaves like a plug; cold start: the engine's wait from cold, which knows of walls and mixing%s",
		system.Unit(units.Length), beyond, system.Unit(units.Flow), rest)
}

// pressureSheet lists the pressures at each fixture; it has no rows where none
// is known.
func (l *layoutOff) pressureSheet(system units.System) *sheet {
	s := &sheet{
		title: "Pressure left at the tap, " + system.Unit(units.Pressure),
		heads: []string{"still", "open alone", "all open", "then " + system.Unit(units.Flow), "at the code's demand"},
	}
	for i := range l.Fixtures {
		f := &l.Fixtures[i]
		if f.Alone == nil {
			continue
		}
		together, flow, peak := cell{"-", ""}, cell{"-", ""}, cell{"-", ""}
		if f.Together != nil {
			together.number, flow.number = system.Number(f.Together.Pressure, units.Pressure), system.Number(f.Together.Flow, units.Flow)
		}
		if l.Load.Pipes != nil {
			peak.number = system.Number(f.Peak, units.Pressure)
		}
		s.add("  "+f.Name, []cell{
			{system.Number(f.Still, units.Pressure), ""},
			{system.Number(f.Alone.Pressure, units.Pressure), ""},
			together, flow, peak,
		})
	}
	return s
}

// ways lists the nodes on the way to each fixture.
func (l *layoutOff) ways(b *bytes.Buffer) {
	b.WriteString("\nThe way to each fixture\n")
	for _, f := range l.Fixtures {
		writeNote(b, "  ", f.Name+": "+strings.Join(f.Way, " > "))
	}
}

// tubeSheet lists what the layout comes to for each tube.
func (l *layoutOff) tubeSheet(system units.System) *sheet {
	s := &sheet{title: "Tubes, by where they end", heads: []string{
		"tube", system.Unit(units.Length), system.Unit(units.Volume), "units",
		system.Unit(units.Flow), system.Unit(units.Velocity), "all open", system.Unit(units.Pressure) + " lost",
	}}
	open := l.openVelocities()
	for i, t := range l.Tubes {
		cells := []cell{
			{"", t.Pipe.Tube.Kind + " " + t.Pipe.Tube.Size},
			{system.Number(t.Pipe.Length, units.Length), ""},
			{system.Number(t.Pipe.Volume(), units.Volume), ""},
		}
		load, flow, velocity, all, lost := cell{"-", ""}, cell{"-", ""}, cell{"-", ""}, cell{"-", ""}, cell{"-", ""}
		loaded := l.Load.Pipes != nil && !t.Return
		if loaded || t.Pumped > 0 {
			flow.number, velocity.number = system.Number(t.Demand+t.Pumped, units.Flow), system.Number(t.Velocity, units.Velocity)
		}
		if loaded {
			load.number, all.number, lost.number = fmt.Sprintf("%.1f", t.Units), system.Number(open[i], units.Velocity), system.Number(t.Loss, units.Pressure)
		}
		cells = append(cells, load, flow, velocity, all, lost)
		s.add("  "+t.Pipe.To, cells)
	}
	return s
}

// openVelocities are the speeds in each tube with all taps open [m/s].
func (l *layoutOff) openVelocities() []float64 {
	speeds := make([]float64, len(l.Tubes))
	for _, f := range l.Fixtures {
		if f.Together == nil {
			continue
		}
		for k, i := range f.Path {
			speeds[i] = f.Together.Velocities[k]
		}
	}
	return speeds
}

func tubeLegend(system units.System, pumped bool) string {
	besides, rest := "", ""
	if pumped {
		besides, rest = ", in the loop with what is pumped besides", ", the pump at rest"
	}
	return fmt.Sprintf("units: hot fixture units behind it; %s: the code's demand%s; %s: velocity at that flow, and with all taps open%s; %s lost: to friction and fittings at the code's demand",
		system.Unit(units.Flow), besides, system.Unit(units.Velocity), rest, system.Unit(units.Pressure))
}

// notes are what a reader of the numbers must know.
func (t *takenOff) notes(b *bytes.Buffer) {
	for i, w := range t.scenario.Warnings(t.house.Layouts...) {
		if i == 0 {
			b.WriteString("\nDoubts\n")
		}
		writeNote(b, "- ", w)
	}
	b.WriteString("\nCautions\n")
	for _, c := range cautionsOf(t.layouts) {
		writeNote(b, "- ", c)
	}
	for i, a := range t.assumed() {
		if i == 0 {
			b.WriteString("\nAssumed, since the scenario does not say\n")
		}
		writeNote(b, "- ", a.text())
	}
}

// cautionsOf are those of all layouts, each once.
func cautionsOf(layouts []layoutOff) []string {
	var all []string
	for _, l := range layouts {
		for _, c := range l.Cautions {
			if c != limits.Advice && !slices.Contains(all, c) {
				all = append(all, c)
			}
		}
	}
	return append(all, limits.Advice)
}

// assumed are the assumptions that a takeoff rests on.
func (t *takenOff) assumed() []assumption {
	return append(slices.DeleteFunc(assumed(t.scenario.Assumed, t.house), func(a assumption) bool {
		for _, start := range []string{"draws.", "rates.", "bedrooms", "heater."} {
			if strings.HasPrefix(a.Path, start) {
				return true
			}
		}
		return a.Path == scenarios.Undrawn || strings.Contains(a.Path, ".pump.")
	}), t.firingAssumed()...)
}
