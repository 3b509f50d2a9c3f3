package plots

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"pipelag/units"
)

// TestPlanIsDrawnWhereItIs holds the table of a plan against what was given, and a
// tube drawn beside another against its own line.
func TestPlanIsDrawnWhereItIs(t *testing.T) {
	p := plan(t)
	f, err := NewPlan(NewSet(courtyard(t), units.SI, TwoColumns), p)
	require.NoError(t, err)
	header, rows := f.Data()
	require.Equal(t, "from_x_m", header[5])
	legs := 0
	for _, tube := range p.Tubes {
		legs += len(tube.Route) - 1
	}
	require.Len(t, rows, legs)
	require.Equal(t, number(p.Tubes[0].Route[0][0]), rows[0][5])

	d := newDrawing(p, NewSet(courtyard(t), units.SI, TwoColumns))
	q := newPanel(&page{}, 0, 100, 0, 100)
	q.across(0, 10)
	q.up(0, 10)
	d.Tubes = []PlanTube{
		{Name: p.Tubes[0].Name, Route: [][3]float64{{0, 5, 0}, {8, 5, 0}}},
		{Name: p.Tubes[0].Name, Route: [][3]float64{{2, 5, 0}, {6, 5, 0}, {6, 9, 0}}},
		{Name: p.Tubes[0].Name, Route: [][3]float64{{8, 5, 0}, {9, 5, 0}}},
	}
	ways := d.lanes(q, 1)
	require.Equal(t, []vg.Point{{X: 0, Y: 50}, {X: 80, Y: 50}}, ways[0], "the first keeps the line")
	require.Equal(t, []vg.Point{{X: 80, Y: 50}, {X: 90, Y: 50}}, ways[2], "the next on the line goes on along it")
	aside := ways[1][1].Y - 50
	require.Greater(t, float64(aside), float64(thickest), "the other is beside it")
	require.Equal(t, []vg.Point{{X: 20, Y: 50}, {X: 20, Y: 50 + aside}, {X: 60, Y: 50 + aside}, {X: 60, Y: 90}}, ways[1])
}

// TestPlanInBothSystems holds the caption and the key of a plan to say lengths and
// volumes in both systems where its axes have both. A foot is 0.3048 m and a gallon
// 3.785412 L.
func TestPlanInBothSystems(t *testing.T) {
	p := Plan{
		Layout: "short", Heaters: [][3]float64{{0, 0, 0}}, Fixtures: []PlanFixture{{"basin", [3]float64{3.048, 0, 0}}},
		Tubes: []PlanTube{{"copper L 3/4", 3.785412e-3 / 3.048, false, [][3]float64{{0, 0, 0}, {3.048, 0, 0}}}},
		Way:   []int{0}, Length: 3.048, Stored: 3.785412e-3,
	}
	f, err := NewPlan(Set{System: units.US, Opposite: true, Width: TwoColumns, Layouts: []string{"short"}}, p)
	require.NoError(t, err)
	require.Contains(t, f.Caption(), "is the way to basin: 10.0 ft (3.05 m) of tube holding 1.00 gal (3.79 L).")
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, SVG))
	require.Contains(t, b.String(), ">way of 10.0 ft (3.05 m), 1.00 gal (3.79 L) to basin<")
	require.Contains(t, b.String(), ">copper L 3/4, 0.1 gal/ft (1.24 L/m)<")
	_, rows := f.Data()
	require.Equal(t, "0.1", rows[0][2])
}
