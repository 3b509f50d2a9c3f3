package network

import (
	"math"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Two heaters a metre apart in height, drawn by hand.
func TestJoin(t *testing.T) {
	site := Site{Fixtures: []Stand{{"kitchen", Point{1, 1, 1}}, {"bath", Point{20, 2, 1}}, {"shower", Point{18, 0, 2}}}}
	heaters := []Point{{}, {X: 20, Z: -1}}
	sites, fixtures, err := site.Split(heaters)
	require.NoError(t, err)
	var parts []Part
	for h := range sites {
		n, err := TrunkAndBranch("plan", sites[h], trunkRun, each(branchRun, sites[h]))
		require.NoError(t, err)
		parts = append(parts, Part{n, heaters[h], fixtures[h]})
	}
	n, err := Join("joined", site.Heater, 3, parts...)
	require.NoError(t, err)
	for f, length := range []float64{3, 4, 5} {
		check.Within(t, length, n.PathLength(f), 1e-9, site.Fixtures[f].Name)
		rise := 0.0
		for _, i := range n.Path(f) {
			rise += n.Climb(i)
		}
		check.Within(t, site.Fixtures[f].At.Z, rise, 1e-9, "height above the house's heater")
		route := n.Route(n.Taps[f])
		check.Within(t, 0, apart(site.Fixtures[f].At, route[len(route)-1]), 1e-9, "the end of its route")
	}
	assert.Equal(t, "foot of bath, heater 2", n.Pipes[n.Taps[1]].From)

	parts[1].Heater.X = 1e9
	_, err = Join("joined", site.Heater, 3, parts...)
	assert.ErrorContains(t, err, "heater 2")
}

func TestListedPipesHaveNoRoute(t *testing.T) {
	n, mistakes := Listed("list", []string{"a"}, []Segment{{From: "heater", To: "a", Length: 3, Rise: 1, Run: trunkRun}})
	require.Empty(t, mistakes)
	assert.Nil(t, n.Route(0))
	assert.Equal(t, 1.0, n.Climb(0))
}

func TestPlacesOfListedPipes(t *testing.T) {
	n, mistakes := Listed("list", []string{"a"}, []Segment{
		{From: "heater", To: "tee", Length: 5, Run: trunkRun},
		{From: "tee", To: "a", Length: 3, Rise: 1, Run: trunkRun},
		{From: "tee", To: "back", Length: 3, Run: smallRun, Return: true},
		{From: "back", To: "heater", Length: 3, Run: smallRun, Return: true},
	})
	require.Empty(t, mistakes)
	places := map[string]Point{"a": {3, 2, 2}, "tee": {3, 2, 1}}
	_, err := n.At(Point{1, 1, 1}, places)
	assert.EqualError(t, err, `layout "list": it is not said where it has back`)
	places["back"] = Point{1, 2, 1}
	shown, err := n.At(Point{1, 1, 1}, places)
	require.NoError(t, err)
	assert.Equal(t, []Point{{1, 1, 1}, {3, 1, 1}, {3, 2, 1}}, shown.Route(0))
	assert.Equal(t, []Point{{3, 2, 1}, {3, 2, 2}}, shown.Route(1))
	assert.Equal(t, []Point{{1, 2, 1}, {1, 1, 1}}, shown.Route(3))
	assert.Nil(t, n.Route(0), "the layout given stays as it was")
	assert.Equal(t, 5.0, shown.Pipes[0].Length, "lengths stay as listed")
	_, err = n.At(Point{1, 1, 1}, map[string]Point{"a": {X: math.NaN()}, "tee": {}, "back": {}})
	assert.ErrorContains(t, err, "is not within")
}
