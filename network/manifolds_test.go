package network

import (
	"math"
	"strings"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// homeRun lays a site's home runs from one manifold.
func homeRun(site Site, manifold Point) (*Network, error) {
	return HomeRuns("home run", site, []Manifold{{Name: "manifold", At: manifold, Supply: trunkRun}}, nil, each(smallRun, site), nil)
}

// Plans drawn by hand, heater at the origin.
func TestHomeRunPlans(t *testing.T) {
	fixtures := []Stand{{"sink", Point{5, -1, 0.5}}, {"bath", Point{2, 1, 4}}}
	cases := []struct {
		name     string
		manifold Point
		want     string
	}{
		{"manifold on a wall", Point{2, 1, 1.5}, `
heater > foot of manifold: 3 3/4
foot of manifold > manifold: 1.5 rise 1.5 3/4
manifold > head of sink: 5 3/8
head of sink > sink: 1 rise -1 3/8
manifold > bath: 2.5 rise 2.5 3/8
`},
		{"manifold at the heater", Point{}, `
heater > foot of sink: 6 3/8
foot of sink > sink: 0.5 rise 0.5 3/8
heater > foot of bath: 3 3/8
foot of bath > bath: 4 rise 4 3/8
`},
		{"manifold at a fixture", Point{2, 1, 4}, `
heater > foot of manifold: 3 3/4
foot of manifold > manifold: 4 rise 4 3/4
manifold > head of sink: 5 3/8
head of sink > sink: 3.5 rise -3.5 3/8
`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			site := Site{Fixtures: fixtures}
			n, err := homeRun(site, c.manifold)
			require.NoError(t, err)
			assert.Equal(t, strings.TrimPrefix(c.want, "\n"), drawing(n))
		})
	}
}

func TestHomeRunRefused(t *testing.T) {
	site := Site{Fixtures: []Stand{{"a", Point{1, 2, 3}}}}
	_, err := homeRun(site, Point{X: math.NaN()})
	assert.ErrorContains(t, err, "NaN")
	_, err = HomeRuns("plan", site, []Manifold{{Name: "manifold"}}, nil, nil, nil)
	assert.ErrorContains(t, err, "0 runs")
}

func TestHomeRunHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		manifold := anySite(t).Heater
		n, err := homeRun(site, manifold)
		if apart(site.Heater, manifold) == 0 {
			assert.Equal(t, -1, n.LoopEnd)
		}
		require.NoError(t, err)
		supply, total := apart(site.Heater, manifold), apart(site.Heater, manifold)
		for i, f := range site.Fixtures {
			check.Within(t, supply+apart(manifold, f.At), n.PathLength(i), 1e-9, "supply and run")
			total += apart(manifold, f.At)
		}
		check.Within(t, total, n.Length(), 1e-9, "all pipes")
		for _, p := range n.Pipes {
			assert.True(t, p.Length > 0 && (p.Rise == 0 || math.Abs(p.Rise) == p.Length))
		}
	})
}
