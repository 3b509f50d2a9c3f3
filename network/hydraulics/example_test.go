package hydraulics_test

import (
	"fmt"

	"pipelag/network"
	"pipelag/network/hydraulics"
	"pipelag/network/tubes"
)

// Two showers behind 20 m of narrow tube: each has its flow alone, neither with
// the other.
func ExampleSolver_Flow() {
	narrow, err := tubes.Find("PEX", "3/8")
	if err != nil {
		fmt.Println(err)
		return
	}
	run := network.Run{Tube: narrow, Zone: "indoors"}
	n, _ := network.Listed("narrow", []string{"hall shower", "upstairs shower"}, []network.Segment{
		{From: "heater", To: "tee", Length: 20, Run: run, Elbows: 4},
		{From: "tee", To: "hall shower", Length: 3, Run: run},
		{From: "tee", To: "upstairs shower", Length: 6, Rise: 3, Run: run},
	})
	tap := hydraulics.Tap{Rated: 0.13e-3, Needs: 138e3}
	circuit, err := hydraulics.NewCircuit(n, hydraulics.Service{Static: 350e3, Cold: 12}, []hydraulics.Tap{tap, tap}, 50)
	if err != nil {
		fmt.Println(err)
		return
	}
	solver := circuit.NewSolver()
	got := make([]float64, 2)
	for _, wanted := range [][]float64{{0.13e-3, 0}, {0.13e-3, 0.13e-3}} {
		if err := solver.Flow(wanted, 0, got); err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.3f L/s and %.3f L/s\n", 1000*got[0], 1000*got[1])
	}
	// Output:
	// 0.130 L/s and 0.000 L/s
	// 0.107 L/s and 0.085 L/s
}
