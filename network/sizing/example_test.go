package sizing_test

import (
	"fmt"

	"pipelag/network"
	"pipelag/network/hydraulics"
	"pipelag/network/limits"
	"pipelag/network/sizing"
	"pipelag/network/tubes"
)

// The trunk's size is the user's; the branches are chosen.
func ExampleChoose() {
	tube, err := tubes.Find("PEX", "3/4")
	if err != nil {
		fmt.Println(err)
		return
	}
	run := network.Run{Tube: tube, Zone: "indoors"}
	n, _ := network.Listed("house", []string{"bath", "lavatory"}, []network.Segment{
		{From: "heater", To: "tee", Length: 10, Run: run, Elbows: 2},
		{From: "tee", To: "bath", Length: 6, Rise: 3, Run: run, Elbows: 2},
		{From: "tee", To: "lavatory", Length: 5, Rise: 3, Run: run, Elbows: 2},
	})
	code, err := sizing.FindCode("IPC")
	if err != nil {
		fmt.Println(err)
		return
	}
	sized, err := sizing.Choose(n, []bool{false, true, true}, sizing.Design{
		Code: code, Hot: 50, Limits: limits.Standard(), Service: hydraulics.Service{Static: 350e3, Cold: 12},
		Fixtures: []sizing.Fixture{
			{Name: "bath", Use: "bath", Rated: 0.25e-3, Needs: 138e3},
			{Name: "lavatory", Use: "lavatory", Rated: 0.09e-3, Needs: 55e3},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range sized.Network.Pipes {
		fmt.Printf("%s: %s\n", p.To, p.Tube.Size)
	}
	// Output:
	// tee: 3/4
	// bath: 1/2
	// lavatory: 1/2
}
