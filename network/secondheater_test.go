package network

import (
	"math"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSplit(t *testing.T) {
	site := Site{Fixtures: []Stand{{"kitchen", Point{1, 1, 1}}, {"bath", Point{20, 1, 1}}, {"halfway", Point{10, 0, 0}}, {"shower", Point{18, 0, 2}}}}
	sites, fixtures, err := site.Split([]Point{{}, {X: 20}})
	require.NoError(t, err)
	assert.Equal(t, [][]int{{0, 2}, {1, 3}}, fixtures)
	n, err := homeRun(sites[1], sites[1].Heater)
	require.NoError(t, err)
	check.Within(t, 2, n.PathLength(0), 1e-9, "bath from the second heater")
	check.Within(t, 4, n.PathLength(1), 1e-9, "shower")

	for want, heaters := range map[string][]Point{
		"heater 2 is nearest to no fixture": {{}, {X: -50}},
		"no heater to choose from":          nil,
		"is not within":                     {{X: math.NaN()}},
	} {
		_, _, err := site.Split(heaters)
		assert.ErrorContains(t, err, want)
	}
}

func TestSplitIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site, heaters := anySite(t), []Point{anySite(t).Heater, anySite(t).Heater}
		sites, fixtures, err := site.Split(heaters)
		if err != nil {
			assert.ErrorContains(t, err, "nearest to no fixture")
			return
		}
		for h, list := range fixtures {
			for k, f := range list {
				assert.Equal(t, site.Fixtures[f], sites[h].Fixtures[k])
				assert.LessOrEqual(t, apart(heaters[h], site.Fixtures[f].At), apart(heaters[1-h], site.Fixtures[f].At)+1e-9)
			}
		}
		assert.Equal(t, len(site.Fixtures), len(fixtures[0])+len(fixtures[1]))
	})
}
