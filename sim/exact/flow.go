package exact

import "math"

// SteadyOutlet is the temperature at which water leaves a pipe that loses heat,
// once nothing changes any more.
//
//	T = A + (T₀ − A) e^(−g L / (ρc Q)),  1/g = 1/g₁ + 1/g₂ + …
//
// inlet T₀ and ambient A [°C]; length L [m], flow Q [m³/s] and volumetric heat
// capacity ρc [J/(m³ K)] above 0; conductances [W/(m K)] are those that the heat
// passes on its way out, 0 or more. Others panic.
//
// Source: derived, dT/dx = −g (T − A) / (ρc Q). Example: 50 °C into 25 m in
// 20 °C at 0.05 L/s with ρc = 4.13 MJ/(m³ K) and 0.5 W/(m K): 48.24 °C.
func SteadyOutlet(inlet, ambient, length, flow, capacity float64, conductances ...float64) Problem {
	require(length > 0, "the length", length)
	require(flow > 0, "the flow", flow)
	require(capacity > 0, "the heat capacity", capacity)
	resistance := 0.0
	for _, g := range conductances {
		require(g >= 0, "a conductance", g)
		resistance += 1 / g
	}
	return Problem{
		Name:    "outlet of a pipe with loss, steady",
		Formula: "A + (T₀ − A) e^(−g L / (ρc Q))",
		Value:   ambient + (inlet-ambient)*math.Exp(-length/(resistance*capacity*flow)),
		Unit:    "°C",
		Source:  "heat balance of a slice of pipe",
		Status:  "derived",
	}
}

// PlugArrival is the water that leaves a pipe before what comes in reaches its
// end, if nothing mixes and no heat is exchanged: what the pipe holds.
//
//	V = π d² L / 4
//
// bore d and length L [m] above 0; others panic.
//
// Source: geometry. Example: 25 m of 19.94 mm bore: 7.81 L.
func PlugArrival(bore, length float64) Problem {
	require(bore > 0, "the bore", bore)
	require(length > 0, "the length", length)
	return Problem{
		Name:    "arrival of a plug, no mixing, no wall",
		Formula: "π d² L / 4",
		Value:   math.Pi * bore * bore * length / 4,
		Unit:    "m³",
		Source:  "geometry",
		Status:  "derived",
	}
}

// TeeMixing is the temperature of flows that meet.
//
//	T = Σ Qᵢ Tᵢ / Σ Qᵢ
//
// flows [m³/s] 0 or more and not all 0, temperatures [°C] one for each flow;
// others panic.
//
// Source: heat balance, one heat capacity for all. Example: 0.1 L/s of 50 °C
// and 0.05 L/s of 20 °C: 40 °C.
func TeeMixing(flows, temperatures []float64) Problem {
	require(len(flows) == len(temperatures), "the number of temperatures", float64(len(temperatures)))
	flow, heat := 0.0, 0.0
	for i, q := range flows {
		require(q >= 0, "a flow", q)
		flow += q
		heat += q * temperatures[i]
	}
	require(flow > 0, "the flow", flow)
	return Problem{
		Name:    "flows that meet at a tee",
		Formula: "Σ Qᵢ Tᵢ / Σ Qᵢ",
		Value:   heat / flow,
		Unit:    "°C",
		Source:  "heat balance",
		Status:  "derived",
	}
}
