package hydraulics

import (
	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/tubes"
)

// conduit is a pipe made ready for loss.
type conduit struct {
	area     float64 // [m²]
	reynolds float64 // per flow [s/m³]
	relative float64 // roughness over bore [-]
	lengths  float64 // straight and equivalent length over bore [-]
	k        float64 // loss coefficients of fittings without an equivalent length [-]
	dynamic  float64 // dynamic pressure per flow squared [Pa/(m³/s)²]
	added    float64 // equivalent length of the fittings [m]; 0 where they go by coefficient
}

func newConduit(w heat.Water, t tubes.Tube, length float64, f network.Fittings) conduit {
	area := t.Volume()
	added, k, _ := fittingLoss(t, f)
	return conduit{
		area:     area,
		reynolds: w.Density * t.Inside / (area * w.Viscosity),
		relative: t.Material.Roughness / t.Inside,
		lengths:  (length + added) / t.Inside,
		k:        k,
		dynamic:  w.Density / (2 * area * area),
		added:    added,
	}
}

// loss is the pressure lost to friction and fittings, and its derivative by
// flow.
//
//	Δp = (f (L + Lₑ)/d + ΣK) ρ u²/2  [Pa],  u = q/A
//
// flow [m³/s] from 0. The factor f is that of friction.
//
// Source: Darcy and Weisbach. Example: 0.1 L/s through 10 m of a smooth 12.4 mm
// bore at 20 °C lose 8.5 kPa.
func (c *conduit) loss(flow float64) (loss, slope float64) {
	if flow <= 0 {
		// The slope of laminar flow, f Re being 64.
		return 0, 64 / c.reynolds * c.lengths * c.dynamic
	}
	f, df := friction(c.reynolds*flow, c.relative)
	resistance := f*c.lengths + c.k
	loss = resistance * c.dynamic * flow * flow
	return loss, 2*loss/flow + df*c.reynolds*c.lengths*c.dynamic*flow*flow
}

// Loss is what a pipe by itself loses to friction and fittings [Pa] while it
// passes a flow [m³/s] of water.
func Loss(p network.Pipe, w heat.Water, flow float64) float64 {
	c := newConduit(w, p.Tube, p.Length, p.Fittings)
	loss, _ := c.loss(flow)
	return loss
}
