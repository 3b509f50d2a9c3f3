package heat_test

import (
	"fmt"

	"pipelag/network/heat"
	"pipelag/network/tubes"
)

func ExampleNewLine() {
	tube, err := tubes.Find("PEX", "3/8")
	if err != nil {
		fmt.Println(err)
		return
	}
	line, err := heat.NewLine(tube, tubes.Sleeve{}, 0, heat.Burial{}, false)
	if err != nil {
		fmt.Println(err)
		return
	}
	water, err := heat.WaterAt(40)
	if err != nil {
		fmt.Println(err)
		return
	}
	const flow = 0.0315e-3 // [m³/s]
	fmt.Printf("water %.0f, wall %.0f J/(m K)\n", line.WaterCapacity(water), line.WallCapacity())
	fmt.Printf("to the wall %.1f, within it %.1f, to the room %.3f W/(m K)\n", line.Inner(water, flow), line.Between(), line.Outer(25, 20))
	fmt.Printf("dispersion %.2g m²/s\n", line.Dispersion(water, flow, 10))
	// Output:
	// water 257, wall [10 22 35 72] J/(m K)
	// to the wall 63.0, within it [43.2 27.9 21.3], to the room 0.523 W/(m K)
	// dispersion 0.0028 m²/s
}

func ExampleWaterAt() {
	w, err := heat.WaterAt(20)
	fmt.Printf("%.1f kg/m³, %.0f J/(kg K), %.3f W/(m K), %.3g Pa s, %v\n", w.Density, w.SpecificHeat, w.Conductivity, w.Viscosity, err)
	_, err = heat.WaterAt(101)
	fmt.Println(err)
	// Output:
	// 998.3 kg/m³, 4184 J/(kg K), 0.598 W/(m K), 0.001 Pa s, <nil>
	// water at 101 °C: liquid between 0 and 100 °C is needed
}

func ExampleLine_Explain() {
	tube, err := tubes.Find("copper L", "1/2")
	if err != nil {
		fmt.Println(err)
		return
	}
	line, err := heat.NewLine(tube, tubes.Sleeve{}, 0, heat.Burial{}, false)
	if err != nil {
		fmt.Println(err)
		return
	}
	water, err := heat.WaterAt(45)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range line.Explain(water, 0, 25, 20) {
		switch c.Symbol {
		case "h_c", "h_r", "g_o":
			fmt.Printf("%s %s = %.3f %s\n", c.Name, c.Symbol, c.Value, c.Unit)
		}
	}
	// Output:
	// free convection h_c = 7.093 W/(m² K)
	// radiation h_r = 3.244 W/(m² K)
	// wall to surroundings g_o = 0.516 W/(m K)
}
