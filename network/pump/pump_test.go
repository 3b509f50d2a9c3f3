package pump

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pipelag/internal/check"
	"pipelag/network"
	"pipelag/network/heat"
	"pipelag/network/hydraulics"
	"pipelag/network/tubes"
)

// loop is 20 m out and 20 m back.
func loop(back bool) (*network.Network, heat.Water) {
	wide, err := tubes.Find("copper L", "3/4")
	if err != nil {
		panic(err)
	}
	narrow, err := tubes.Find("PEX", "1/2")
	if err != nil {
		panic(err)
	}
	segments := []network.Segment{
		{From: "heater", To: "tee", Length: 20, Run: network.Run{Tube: wide, Zone: "indoors"}},
		{From: "tee", To: "sink", Length: 2, Run: network.Run{Tube: narrow, Zone: "indoors"}},
	}
	if back {
		segments = append(segments, network.Segment{From: "tee", To: "heater", Length: 20, Run: network.Run{Tube: narrow, Zone: "indoors"}, Return: true})
	}
	n, mistakes := network.Listed("loop", []string{"sink"}, segments)
	if len(mistakes) > 0 {
		panic(mistakes)
	}
	water, err := heat.WaterAt(50)
	if err != nil {
		panic(err)
	}
	return n, water
}

// quadratic is a curve of which only the ends are known, H = head (1 − (q/flow)²),
// carried by 33 points, within 0.1 % of head; common practice, no source.
func quadratic(head, flow, power float64) (Curve, error) {
	const n = 32
	points := make([]Point, n+1)
	for i := range points {
		x := float64(i) / n
		points[i] = Point{Flow: flow * x, Head: head * (1 - x*x), Power: power}
	}
	return NewCurve(points...)
}

// Exact: a straight curve meets a head in proportion to flow at
// H₀/(R + H₀/q₀), and a parabola one in proportion to its square at
// √(H₀/(k + H₀/q₀²)).
func TestMeets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(0.1, 10).Draw(t, "head")
		q := rapid.Float64Range(1e-5, 1e-3).Draw(t, "flow")
		r := rapid.Float64Range(1e-3, 1e3).Draw(t, "resistance") * h / q
		straight, err := NewCurve(Point{0, h, 30}, Point{q, 0, 50})
		require.NoError(t, err)
		d := straight.meet(func(x float64) float64 { return r * x })
		check.Within(t, 1, d.Flow*(r+h/q)/h, 1e-9)
		check.Within(t, 30+20*d.Flow/q, d.Power, 1e-9)
		bent, err := quadratic(h, q, 40)
		require.NoError(t, err)
		d = bent.meet(func(x float64) float64 { return r / q * x * x })
		check.Within(t, math.Sqrt(h/(r/q+h/q/q)), d.Flow, 0.01*q)
	})
}

// At the duty the loop takes what the pump gives.
func TestDuty(t *testing.T) {
	n, water := loop(true)
	c, err := quadratic(1.5, 0.4e-3, 45)
	require.NoError(t, err)
	free, err := c.In(n, water, 0)
	require.NoError(t, err)
	taken := 0.0
	for _, i := range n.Loop() {
		taken += hydraulics.Loss(n.Pipes[i], water, free.Flow)
	}
	check.Within(t, taken, free.Head*water.Density*gravity, 1e-3)
	check.Within(t, 45, free.Power, 1e-9)

	valve, err := c.In(n, water, 3000)
	require.NoError(t, err)
	require.Less(t, valve.Flow, free.Flow)
	taken = 3000
	for _, i := range n.Loop() {
		taken += hydraulics.Loss(n.Pipes[i], water, valve.Flow)
	}
	check.Within(t, taken, valve.Head*water.Density*gravity, 1e-3)
}

func TestRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		points []Point
		says   string
	}{
		"one point":          {[]Point{{0, 1, 1}}, "at least two"},
		"none":               {nil, "at least two"},
		"flow does not rise": {[]Point{{0, 2, 1}, {0, 0, 1}}, "it must rise"},
		"head rises":         {[]Point{{0, 1, 1}, {1e-4, 2, 1}, {2e-4, 0, 1}}, "it must fall"},
		"no shut-off head":   {[]Point{{1e-4, 1, 1}, {2e-4, 0, 1}}, "begin at 0"},
		"no greatest flow":   {[]Point{{0, 1, 1}, {2e-4, 0.5, 1}}, "end at 0"},
		"NaN":                {[]Point{{0, math.NaN(), 1}, {2e-4, 0, 1}}, "head NaN"},
		"endless power":      {[]Point{{0, 1, math.Inf(1)}, {2e-4, 0, 1}}, "power +Inf"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewCurve(c.points...)
			require.ErrorContains(t, err, c.says)
		})
	}
	_, err := quadratic(0, 1e-4, 40)
	require.Error(t, err)
	c, err := quadratic(0.2, 1e-4, 40)
	require.NoError(t, err)
	tree, water := loop(false)
	_, err = c.In(tree, water, 0)
	require.ErrorContains(t, err, "no return line")
	ring, _ := loop(true)
	_, err = c.In(ring, water, 3000)
	require.ErrorContains(t, err, "do not open the check valve")
	_, err = c.In(ring, water, math.NaN())
	require.ErrorContains(t, err, "check valve")
}

// A small pump on 20 m of 3/4 in copper out and 20 m of 1/2 in PEX back.
func ExampleCurve_In() {
	n, water := loop(true)
	c, err := quadratic(1.5, 0.4e-3, 45)
	if err != nil {
		fmt.Println(err)
		return
	}
	d, err := c.In(n, water, 2000)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f L/s at %.2f m, %.0f W\n", d.Flow*1000, d.Head, d.Power)
	// Output:
	// 0.079 L/s at 1.44 m, 45 W
}
