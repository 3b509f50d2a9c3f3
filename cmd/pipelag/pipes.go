package main

import (
	"bytes"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/sim"
	"pipelag/units"
)

type pipesOptions struct {
	layouts []string
	units   systemFlag
	json    bool
}

func newScenarioPipesCommand() *cobra.Command {
	var o pipesOptions
	c := &cobra.Command{
		Use:   "pipes [SCENARIO]",
		Short: "List every pipe of every layout with its water and heat coefficients",
		Long: fmt.Sprintf(`List every pipe of every layout: between what, how long, what it holds, and its heat
coefficients per length: the heat capacities of its water and of its wall, and the
conductances from the water to the wall and from the wall to the surroundings.

Conductances change as things happen; these are of water at the heater's set point,
flowing at %.1f L/s (%.1f gpm), a wall as warm as the water, and surroundings of %d C.`,
			statedFlow*1000, units.US.Convert(statedFlow, units.Flow), statedAmbient),
		Example: "  pipelag scenario pipes\n  pipelag scenario pipes house.yaml --units si\n  pipelag scenario pipes house.yaml --layouts 2 --json",
		Args:    count(0, 1, "scenario"),
		RunE: func(c *cobra.Command, args []string) error {
			return listPipes(args, &o, c.OutOrStdout(), c.ErrOrStderr())
		},
	}
	bindLayouts(c, &o.layouts)
	o.units.bind(c)
	bindJSON(c, &o.json)
	return c
}

// What coefficients are stated for.
const (
	statedFlow    = 1e-4 // [m³/s]
	statedAmbient = 20   // [°C]
)

// thousandth is a litre [m³] and a millimetre [m].
const thousandth = 1e-3

// pipeRow is one pipe for other programs.
type pipeRow struct {
	From       string  `json:"from"`
	To         string  `json:"to"`
	Tube       string  `json:"tube"`
	Size       string  `json:"size"`
	Insulation string  `json:"insulation,omitempty"`
	Sleeve     float64 `json:"insulation_mm"`
	Zone       string  `json:"zone"`
	Length     float64 `json:"length_m"`
	Rise       float64 `json:"rise_m"`
	Inside     float64 `json:"inside_mm"`
	Outside    float64 `json:"outside_mm"`
	Volume     float64 `json:"volume_L"`
	Water      float64 `json:"water_J_per_mK"`
	Wall       float64 `json:"wall_J_per_mK"`
	Inner      float64 `json:"inner_W_per_mK"`
	Outer      float64 `json:"outer_W_per_mK"`
}

type layoutPipes struct {
	Layout string    `json:"layout"`
	Length float64   `json:"length_m"`
	Volume float64   `json:"volume_L"`
	Pipes  []pipeRow `json:"pipes"`
}

func listPipes(args []string, o *pipesOptions, stdout, stderr io.Writer) error {
	s, err := load(args, stderr)
	if err != nil {
		return err
	}
	h := s.House()
	layouts, err := choose(h.Layouts, o.layouts)
	if err != nil {
		return err
	}
	var all []layoutPipes
	for _, l := range layouts {
		found, err := pipesOf(l.Network, &h)
		if err != nil {
			return failed(err)
		}
		all = append(all, found)
	}
	if o.json {
		return writeJSON(stdout, all)
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s: coefficients at %s, %s, surroundings of %s\n", s.Name,
		o.units.Format(h.Heater.Setpoint, units.Temperature), o.units.Format(statedFlow, units.Flow), o.units.Format(statedAmbient, units.Temperature))
	for _, l := range all {
		l.write(&b, o.units.System)
	}
	return write(stdout, b.Bytes())
}

func pipesOf(n *network.Network, h *sim.House) (layoutPipes, error) {
	water, err := heat.WaterAt(h.Heater.Setpoint)
	if err != nil {
		return layoutPipes{}, err
	}
	all := layoutPipes{Layout: n.Name, Length: n.Length(), Volume: n.Volume() / thousandth}
	for _, p := range n.Pipes {
		line, err := p.Line()
		if err != nil {
			return layoutPipes{}, err
		}
		row := pipeRow{
			From: p.From, To: p.To, Tube: p.Tube.Kind, Size: p.Tube.Size, Zone: p.Zone,
			Length: p.Length, Rise: p.Rise, Inside: p.Tube.Inside / thousandth, Outside: p.Tube.Outside / thousandth, Volume: p.Volume() / thousandth,
			Water: line.WaterCapacity(water), Inner: line.Inner(water, statedFlow),
			Outer: line.Outer(h.Heater.Setpoint-statedAmbient, statedAmbient),
		}
		if p.Sleeve.Thickness > 0 {
			row.Insulation, row.Sleeve = p.Sleeve.Material.Name, p.Sleeve.Thickness/thousandth
		}
		for _, c := range line.WallCapacity() {
			row.Wall += c
		}
		all.Pipes = append(all.Pipes, row)
	}
	return all, nil
}

// write adds a layout to a page. Coefficients are in SI in either system: they
// are for checking against handbooks and other programs.
func (l *layoutPipes) write(b *bytes.Buffer, system units.System) {
	s := &sheet{
		title: fmt.Sprintf("%s: %s holding %s", l.Layout, system.Format(l.Length, units.Length), system.Format(l.Volume*thousandth, units.Volume)),
		heads: []string{"tube", system.Unit(units.Length), system.Unit(units.Thickness), system.Unit(units.Volume), "water", "wall", "inner", "outer"},
	}
	for _, p := range l.Pipes {
		s.add(p.From+" > "+p.To, []cell{
			{"", p.Tube + " " + p.Size},
			{system.Number(p.Length, units.Length), ""},
			{system.Number(p.Inside*thousandth, units.Thickness), ""},
			{system.Number(p.Volume*thousandth, units.Volume), ""},
			{fmt.Sprintf("%.0f", p.Water), ""},
			{fmt.Sprintf("%.0f", p.Wall), ""},
			{fmt.Sprintf("%.1f", p.Inner), ""},
			{fmt.Sprintf("%.3f", p.Outer), ""},
		})
	}
	s.write(b)
	writeNote(b, "  ", fmt.Sprintf("%s: length; %s: bore; %s: water held; water, wall: heat capacity, J/(m K); inner: water to wall, outer: wall to surroundings, W/(m K)",
		system.Unit(units.Length), system.Unit(units.Thickness), system.Unit(units.Volume)))
}
