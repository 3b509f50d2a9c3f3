package network

import (
	"strings"
	"testing"

	"pipelag/internal/check"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// bareOf is the bare tube of a hot pipe.
func bareOf(hot Pipe) Run { return Run{Tube: hot.Tube, Zone: hot.Zone} }

func TestCrossoverPlans(t *testing.T) {
	site := Site{Heater: Point{1, 1, 1}, Fixtures: []Stand{{"sink", Point{7, 3, 2}}, {"bath", Point{4, 1, 3}}}}
	trunk, err := TrunkAndBranch("trunk", site, trunkRun, each(branchRun, site))
	require.NoError(t, err)
	before := drawing(trunk)
	n, err := trunk.WithCrossover("crossed", 0, bareOf)
	require.NoError(t, err)
	assert.Equal(t, before+strings.TrimPrefix(`
sink > cold foot of sink: 1 rise -1 1/2
cold foot of sink > cold tee 2: 2 1/2
cold tee 2 > cold tee 1: 3 3/4
cold tee 1 > heater: 3 3/4
`, "\n"), drawing(n), "beside the way to the sink")
	assert.Equal(t, before, drawing(trunk), "the layout it was made from is left as it was")
	assert.Equal(t, "pumped", n.Arrangement)
	assert.Equal(t, []int{0, 2, 3, 4, 5, 6, 7, 8}, n.Loop())
	assert.Equal(t, 0, n.ColdTap(0), "the sink is at the crossover")
	assert.Equal(t, 3, n.ColdTap(1), "the bath's way leaves the loop at the first tee")

	n, err = trunk.WithCrossover("at the bath", 1, func(Pipe) Run { return smallRun })
	require.NoError(t, err)
	assert.Equal(t, before+strings.TrimPrefix(`
bath > cold tee 1: 2 rise -2 3/8
cold tee 1 > heater: 3 3/8
`, "\n"), drawing(n))
	assert.Equal(t, 1, n.ColdTap(0))
	assert.Equal(t, 0, n.ColdTap(1))

	riser, mistakes := Listed("listed", []string{"near", "far"}, []Segment{
		{From: "heater", To: "near", Length: 3, Run: branchRun},
		{From: "heater", To: "far", Length: 5, Run: branchRun},
	})
	require.Empty(t, mistakes)
	n, err = riser.WithCrossover("listed", 1, bareOf)
	require.NoError(t, err)
	assert.Equal(t, "listed", n.Arrangement)
	assert.Equal(t, 1, n.ColdTap(0), "a way of its own draws right at the heater")
	assert.Equal(t, 0, n.ColdTap(1))
}

func TestCrossoverRefused(t *testing.T) {
	site := Site{Fixtures: []Stand{{"sink", Point{6, 2, 2}}, {"bath", Point{3, 1, 2}}}}
	trunk, err := TrunkAndBranch("trunk", site, trunkRun, each(branchRun, site))
	require.NoError(t, err)
	pumped, err := trunk.WithReturn("pumped", site, smallRun)
	require.NoError(t, err)
	_, err = pumped.WithCrossover("both", 0, bareOf)
	assert.ErrorContains(t, err, "return line already")
	_, err = trunk.WithCrossover("no tube", 0, func(Pipe) Run { return Run{} })
	assert.ErrorContains(t, err, "bore")
	pumped.Crossover = true
	assert.ErrorContains(t, pumped.Validate(), "cold line of 1 pipes beside a hot one of 2")
}

func TestCrossoverHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		n := anyUnpumped(t, site)
		at := rapid.IntRange(0, len(n.Taps)-1).Draw(t, "at")
		loop, err := n.WithCrossover("crossed", at, bareOf)
		require.NoError(t, err)
		out := loop.pathTo(loop.LoopEnd)
		check.Within(t, loop.sum(out, Pipe.Volume), loop.sum(loop.Return, Pipe.Volume), 1e-9, "the cold line holds as much as the hot one beside it")
		rise := 0.0
		for _, i := range loop.Loop() {
			rise += loop.Pipes[i].Rise
		}
		check.Within(t, 0, rise, 1e-9, "a loop ends at the height it began")
		shownWhereLaid(t, site, loop)
		assert.Equal(t, n.Pipes, loop.Pipes[:len(n.Pipes)])
		for f := range loop.Taps {
			shared := 0.0
			for _, i := range loop.Path(f) {
				for _, k := range out {
					if i == k {
						shared += loop.Pipes[i].Length
					}
				}
			}
			check.Within(t, shared, loop.sum(loop.Return[loop.ColdTap(f):], Pipe.length), 1e-9, "cold water leaves the loop where the hot does")
		}
	})
}
