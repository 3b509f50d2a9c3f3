package verify

import (
	"context"
	"fmt"
	"math"

	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/hydraulics"
	"pipelag/network/sizing"
	"pipelag/network/tubes"
)

// frictionFactors are found from the loss in a metre of tube and held against
// Colebrook's equation.
func frictionFactors(context.Context) ([]Line, error) {
	source := Source{
		"x = −2 log10(ε/3.7 + 2.51 x/Re), f = x⁻², iterated until x changes by less than 1e-12; Colebrook, Turbulent flow in pipes, J. Inst. Civ. Eng. 11, 1939",
		"computed", "of long pipes in use it is true to some 5 %",
	}
	w, err := heat.WaterAt(50)
	if err != nil {
		return nil, err
	}
	tube, err := tubes.Find("copper L", "3/4")
	if err != nil {
		return nil, err
	}
	var lines []Line
	for _, c := range []struct{ re, relative float64 }{{4000, 0}, {2e4, 0}, {2e4, 1e-4}, {1e5, 1e-3}, {1e6, 1e-2}} {
		tube.Material.Roughness = c.relative * tube.Inside
		speed := c.re * w.Viscosity / (w.Density * tube.Inside)
		loss := hydraulics.Loss(network.Pipe{Tube: tube, Length: 1}, w, speed*tube.Volume())
		got := loss * tube.Inside / (w.Density * speed * speed / 2)
		lines = append(lines, topic{"friction factor, Serghides for Colebrook", "-"}.relative(
			fmt.Sprintf("Re %.0f, roughness %g", c.re, c.relative), colebrook(c.re, c.relative), got, 1e-4, source))
	}
	return lines, nil
}

// colebrook solves Colebrook's equation by repeated substitution, which
// contracts.
func colebrook(re, relative float64) float64 {
	x := 7.0
	for last := 0.0; math.Abs(x-last) > 1e-12; {
		last, x = x, -2*math.Log10(relative/3.7+2.51*x/re)
	}
	return 1 / (x * x)
}

// fixtureDemands are the flows of sums of fixture units.
func fixtureDemands() ([]Line, error) {
	var lines []Line
	for _, r := range records("fixture_demand.csv") {
		code, err := sizing.FindCode(r["code"])
		if err != nil {
			return nil, err
		}
		flow, err := code.Demand(r.number("units"))
		if err != nil {
			return nil, err
		}
		lines = append(lines, topic{"demand of fixture units, flush tanks", "gpm"}.absolute(
			fmt.Sprintf("%s, %s units", r["code"], r["units"]), r.number("gpm"), flow/gpm, r.tolerance(), r.source()))
	}
	return lines, nil
}
