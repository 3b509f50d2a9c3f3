package network

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/network/tubes"
)

var (
	trunkRun  = Run{Tube: tube("copper L", "3/4"), Zone: "crawlspace"}
	branchRun = Run{Tube: tube("copper L", "1/2"), Zone: "crawlspace"}
	smallRun  = Run{Tube: tube("PEX", "3/8"), Zone: "indoors", BareShare: 0.1}
)

func tube(kind, size string) tubes.Tube {
	t, err := tubes.Find(kind, size)
	if err != nil {
		panic(err)
	}
	return t
}

// drawing lists a network's pipes, one a line, for comparison with a plan
// drawn by hand.
func drawing(n *Network) string {
	var b strings.Builder
	for _, p := range n.Pipes {
		fmt.Fprintf(&b, "%s > %s: %.6g", p.From, p.To, p.Length)
		if p.Rise != 0 {
			fmt.Fprintf(&b, " rise %.6g", p.Rise)
		}
		fmt.Fprintf(&b, " %s\n", p.Tube.Size)
	}
	return b.String()
}

func TestPathsAndTotals(t *testing.T) {
	n, mistakes := Listed("as found", []string{"bath", "sink"}, []Segment{
		{From: "heater", To: "tee", Length: 4, Run: trunkRun},
		{From: "tee", To: "sink", Length: 3, Run: branchRun},
		{From: "tee", To: "bath", Length: 2, Run: branchRun},
		{From: "tee", To: "heater", Length: 5, Run: smallRun, Return: true},
	})
	require.Empty(t, mistakes)
	assert.Equal(t, []int{0, 2}, n.Path(0))
	assert.Equal(t, []int{0, 1}, n.Path(1))
	check.Within(t, 6, n.PathLength(0), 1e-9, "to the bath")
	check.Within(t, 7, n.PathLength(1), 1e-9, "to the sink")
	assert.Equal(t, []int{0, 3}, n.Loop())
	check.Within(t, 14, n.Length(), 1e-9, "all pipes")
	// Bores of 0.785 and 0.545 in: ASTM B88 type L; 0.350 in: ASTM F876 SDR-9, average wall; read.
	const inch = 0.0254
	check.Within(t, math.Pi/4*inch*inch*(0.785*0.785*4+0.545*0.545*5+0.350*0.350*5), n.Volume(), 1e-9, "all water")
	check.Within(t, math.Pi/4*inch*inch*(0.785*0.785*4+0.545*0.545*2), n.PathVolume(0), 1e-9, "water to the bath")
}

func TestValidateRefuses(t *testing.T) {
	whole := func() *Network {
		n, mistakes := Listed("sound", []string{"bath"}, []Segment{
			{From: "heater", To: "tee", Length: 4, Run: trunkRun},
			{From: "tee", To: "bath", Length: 2, Run: branchRun},
			{From: "tee", To: "turn", Length: 3, Run: smallRun, Return: true},
			{From: "turn", To: "heater", Length: 2, Run: smallRun, Return: true},
		})
		require.Empty(t, mistakes)
		require.NoError(t, n.Validate())
		return n
	}
	cases := map[string]struct {
		spoil func(*Network)
		want  string
	}{
		"no pipes":               {func(n *Network) { n.Pipes = nil }, "no pipes"},
		"no taps":                {func(n *Network) { n.Taps = nil }, "no fixture"},
		"pipe before its feed":   {func(n *Network) { n.Pipes[0].Feed = 1 }, "before its feed"},
		"feed below −1":          {func(n *Network) { n.Pipes[0].Feed = -2 }, "before its feed"},
		"ends do not meet":       {func(n *Network) { n.Pipes[1].From = "elsewhere" }, "begins at"},
		"node fed twice":         {func(n *Network) { n.Pipes[2].To, n.Pipes[3].From = "bath", "bath" }, "both end at"},
		"length is NaN":          {func(n *Network) { n.Pipes[1].Length = math.NaN() }, "length"},
		"length is infinite":     {func(n *Network) { n.Pipes[1].Length = math.Inf(1) }, "length"},
		"rise above length":      {func(n *Network) { n.Pipes[1].Rise = -2.1 }, "rise"},
		"bore above outside":     {func(n *Network) { n.Pipes[1].Tube.Inside = 0.03 }, "bore"},
		"no material":            {func(n *Network) { n.Pipes[1].Tube.Material = tubes.Material{} }, "material"},
		"bare share above one":   {func(n *Network) { n.Pipes[1].BareShare = 1.5 }, "bare share"},
		"tap nowhere":            {func(n *Network) { n.Taps[0] = 4 }, "fixture 0"},
		"tap at the heater":      {func(n *Network) { n.Taps[0] = -1 }, "fixture 0"},
		"tap on the return":      {func(n *Network) { n.Taps[0] = 2 }, "on the return line"},
		"return starts astray":   {func(n *Network) { n.LoopEnd = 1 }, "broken"},
		"return not closed":      {func(n *Network) { n.Return = n.Return[:1] }, "does not end"},
		"return not marked":      {func(n *Network) { n.Return = nil }, "not on the return line"},
		"return names no pipe":   {func(n *Network) { n.Return[1] = 9 }, "names pipe"},
		"return feeds a fixture": {func(n *Network) { n.Pipes = append(n.Pipes, smallRun.pipe("turn", "sink", 2, 1, 0)) }, "fed by the return line"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			n := whole()
			c.spoil(n)
			assert.ErrorContains(t, n.Validate(), c.want)
		})
	}
}

func TestLineOfARiser(t *testing.T) {
	outer := func(rise float64) float64 {
		line, err := Pipe{Length: 2, Rise: rise, Tube: branchRun.Tube}.Line()
		require.NoError(t, err)
		return line.Outer(30, 20)
	}
	level := outer(0)
	assert.Equal(t, level, outer(1), "up to half its length a pipe counts as level")
	assert.NotEqual(t, level, outer(1.01), "beyond it as a riser")
	assert.Equal(t, outer(2), outer(-2), "a drop loses what a riser does")
	_, err := Pipe{Length: 2}.Line()
	assert.Error(t, err)
}
