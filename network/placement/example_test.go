package placement_test

import (
	"fmt"

	"pipelag/network"
	"pipelag/network/placement"
)

// A manifold whose supply a pump keeps hot, among three fixtures; the kitchen
// is used most.
func ExampleHomeRuns_Place() {
	site := network.Site{Fixtures: []network.Stand{
		{Name: "kitchen", At: network.Point{X: 12, Y: 2}},
		{Name: "bath", At: network.Point{X: 4, Y: 9}},
		{Name: "lavatory", At: network.Point{X: 3, Y: 8}},
	}}
	house := placement.HomeRuns{
		Heater: site.Heater, Runs: []float64{0.62e-4, 1.15e-4, 0.62e-4}, Weights: []float64{20, 1, 8},
	}
	for _, f := range site.Fixtures {
		house.Fixtures = append(house.Fixtures, f.At)
	}
	found, err := house.Place(placement.Plane(site, 0), 1, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range []placement.Choice{found.Best, found.RunnerUp} {
		fmt.Printf("at x %g m, y %g m: %.3f L on the way to a tap\n", c.At[0].X, c.At[0].Y, 1000*c.Volume)
	}
	// Output:
	// at x 12 m, y 2 m: 0.316 L on the way to a tap
	// at x 12 m, y 0 m: 0.444 L on the way to a tap
}
