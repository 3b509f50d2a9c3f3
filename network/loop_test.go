package network

import (
	"strings"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestReturnPlans(t *testing.T) {
	site := Site{Heater: Point{1, 1, 1}, Fixtures: []Stand{{"sink", Point{7, 3, 2}}, {"bath", Point{4, 1, 3}}}}

	trunk, err := TrunkAndBranch("trunk", site, trunkRun, each(branchRun, site))
	require.NoError(t, err)
	before := drawing(trunk)
	n, err := trunk.WithReturn("pumped", site, smallRun)
	require.NoError(t, err)
	assert.Equal(t, strings.TrimPrefix(`
heater > tee 1: 3 3/4
tee 1 > bath: 2 rise 2 1/2
tee 1 > tee 2: 3 3/4
tee 2 > foot of sink: 2 1/2
foot of sink > sink: 1 rise 1 1/2
tee 2 > heater: 6 3/8
`, "\n"), drawing(n))
	assert.Equal(t, "pumped", n.Arrangement)
	assert.Equal(t, "pumped", n.Name)
	assert.Equal(t, []int{0, 2, 5}, n.Loop())
	assert.Equal(t, before, drawing(trunk), "the layout it was made from is left as it was")
	assert.Nil(t, trunk.Loop())

	run, err := homeRun(site, Point{3, 1, 2.5})
	require.NoError(t, err)
	n, err = run.WithReturn("pumped home run", site, smallRun)
	require.NoError(t, err)
	assert.True(t, strings.HasSuffix(drawing(n), `
manifold > turn of return: 1.5 rise -1.5 3/8
turn of return > heater: 2 3/8
`), drawing(n))
}

func TestReturnRefused(t *testing.T) {
	site := Site{Fixtures: []Stand{{"sink", Point{6, 2, 2}}}}
	trunk, err := TrunkAndBranch("trunk", site, trunkRun, each(branchRun, site))
	require.NoError(t, err)
	pumped, err := trunk.WithReturn("pumped", site, smallRun)
	require.NoError(t, err)
	_, err = pumped.WithReturn("twice", site, smallRun)
	assert.ErrorContains(t, err, "return line already")
	_, err = trunk.WithReturn("elsewhere", Site{Heater: Point{0, 9, 0}, Fixtures: site.Fixtures}, smallRun)
	assert.ErrorContains(t, err, "not the one")
	_, err = trunk.WithReturn("no tube", site, Run{})
	assert.ErrorContains(t, err, "bore")

	above := Site{Fixtures: []Stand{{"sink", Point{0, 0, 2}}}}
	riser, err := TrunkAndBranch("riser", above, trunkRun, each(branchRun, above))
	require.NoError(t, err)
	_, err = riser.WithReturn("pumped", above, smallRun)
	assert.ErrorContains(t, err, "no trunk")

	listed, mistakes := Listed("listed", []string{"sink"}, []Segment{{From: "heater", To: "sink", Length: 3, Run: branchRun}})
	require.Empty(t, mistakes)
	_, err = listed.WithReturn("pumped", site, smallRun)
	assert.ErrorContains(t, err, "no trunk")
}

func TestReturnHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		n := anyUnpumped(t, site)
		if n.LoopEnd < 0 {
			return
		}
		loop, err := n.WithReturn("pumped", site, smallRun)
		require.NoError(t, err)
		require.NoError(t, loop.Validate())
		out := n.sum(n.pathTo(n.LoopEnd), Pipe.length)
		check.Within(t, 2*out, loop.sum(loop.Loop(), Pipe.length), 1e-9, "the return is as long as the trunk")
		rise := 0.0
		for _, i := range loop.Loop() {
			rise += loop.Pipes[i].Rise
		}
		check.Within(t, 0, rise, 1e-9, "a loop ends at the height it began")
		shownWhereLaid(t, site, loop)
		assert.Equal(t, n.Taps, loop.Taps)
		assert.Equal(t, n.Pipes, loop.Pipes[:len(n.Pipes)])
	})
}
