package main

import (
	"bytes"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"pipelag/network/tubes"
	"pipelag/units"
)

type catalogOptions struct {
	units systemFlag
	json  bool
}

func newCatalogCommand() *cobra.Command {
	var o catalogOptions
	c := &cobra.Command{
		Use:     "catalog",
		Short:   "List the tubes and insulation known, with their sources",
		Example: "  pipelag catalog\n  pipelag catalog --units si\n  pipelag catalog --json",
		Args:    count(0, 0, "argument"),
		RunE:    func(c *cobra.Command, _ []string) error { return listCatalog(&o, c.OutOrStdout()) },
	}
	o.units.bind(c)
	bindJSON(c, &o.json)
	return c
}

type tubeRow struct {
	Kind     string  `json:"kind"`
	Size     string  `json:"size"`
	Outside  float64 `json:"outside_mm"`
	Inside   float64 `json:"inside_mm"`
	Volume   float64 `json:"volume_L_per_m"`
	Wall     string  `json:"wall"`
	Standard string  `json:"standard"`
	Source   string  `json:"source"`
	Status   string  `json:"status"`
}

type materialRow struct {
	Name         string  `json:"name"`
	Conductivity float64 `json:"conductivity_W_per_mK"`
	Density      float64 `json:"density_kg_per_m3"`
	SpecificHeat float64 `json:"specific_heat_J_per_kgK"`
	Emissivity   float64 `json:"emissivity"`
	Source       string  `json:"source"`
	Status       string  `json:"status"`
}

func materialRowOf(m tubes.Material) materialRow {
	return materialRow{m.Name, m.Conductivity, m.Density, m.SpecificHeat, m.Emissivity, m.Source, m.Status}
}

func listCatalog(o *catalogOptions, w io.Writer) error {
	var all struct {
		Tubes      []tubeRow     `json:"tubes"`
		Walls      []materialRow `json:"walls"`
		Insulation []materialRow `json:"insulation"`
	}
	seen := make(map[string]bool) // looked up only
	for _, t := range tubes.All() {
		all.Tubes = append(all.Tubes, tubeRow{
			t.Kind, t.Size, t.Outside / thousandth, t.Inside / thousandth, t.Volume() / thousandth, t.Material.Name, t.Standard, t.Source, t.Status,
		})
		if !seen[t.Material.Name] {
			seen[t.Material.Name] = true
			all.Walls = append(all.Walls, materialRowOf(t.Material))
		}
	}
	for _, m := range tubes.Sleeves() {
		all.Insulation = append(all.Insulation, materialRowOf(m))
	}
	if o.json {
		return writeJSON(w, all)
	}

	var b bytes.Buffer
	system := o.units.System
	decimals := map[units.System]int{units.US: 3, units.SI: 2}[system] // of a diameter, as standards give it
	for i := 0; i < len(all.Tubes); {
		first := all.Tubes[i]
		s := &sheet{
			title: fmt.Sprintf("%s (%s, wall of %s)", first.Kind, first.Standard, first.Wall),
			heads: []string{"outside " + system.Unit(units.Thickness), "inside " + system.Unit(units.Thickness), "holds " + system.Unit(units.Volume) + "/" + system.Unit(units.Length), "source"},
		}
		for ; i < len(all.Tubes) && all.Tubes[i].Kind == first.Kind; i++ {
			t := all.Tubes[i]
			s.add("  "+t.Size, []cell{
				{fmt.Sprintf("%.*f", decimals, system.Convert(t.Outside*thousandth, units.Thickness)), ""},
				{fmt.Sprintf("%.*f", decimals, system.Convert(t.Inside*thousandth, units.Thickness)), ""},
				{fmt.Sprintf("%.4f", system.Convert(t.Volume*thousandth, units.Volume)/system.Convert(1, units.Length)), ""},
				{"", t.Source + " (" + t.Status + ")"},
			})
		}
		s.write(&b)
	}
	b.WriteString("\nMaterials of walls\n")
	for _, m := range all.Walls {
		m.write(&b, system)
	}
	b.WriteString("\nInsulation\n")
	for _, m := range all.Insulation {
		m.write(&b, system)
	}
	return write(w, bytes.TrimLeft(b.Bytes(), "\n"))
}

func (m materialRow) write(b *bytes.Buffer, system units.System) {
	writeNote(b, "  ", fmt.Sprintf("%s: %s, %g kg/m3, %g J/(kg K), emissivity %g; %s (%s)", m.Name,
		system.Format(m.Conductivity, units.Conductivity), m.Density, m.SpecificHeat, m.Emissivity, m.Source, m.Status))
}
