package network

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pipelag/internal/check"
	"pipelag/network/heat"
	"pipelag/network/tubes"
)

func supply(from, to string) Segment {
	return Segment{From: from, To: to, Length: 2, Run: trunkRun}
}

func back(from, to string) Segment {
	return Segment{From: from, To: to, Length: 2, Run: smallRun, Return: true}
}

func TestListedOrder(t *testing.T) {
	fixtures := []string{"sink", "bath"}
	cases := []struct {
		name     string
		segments []Segment
		want     string
		ret      []int
	}{
		{"a list from the heater outwards keeps its order", []Segment{
			supply("heater", "tee"), supply("tee", "sink"), supply("heater", "other"), supply("other", "bath"),
		}, "heater > tee: 2 3/4\ntee > sink: 2 3/4\nheater > other: 2 3/4\nother > bath: 2 3/4\n", nil},
		{"any other is put in order, the return last", []Segment{
			back("turn", "heater"), supply("tee", "bath"), back("tee", "turn"), supply("heater", "tee"), supply("tee", "sink"),
		}, "heater > tee: 2 3/4\ntee > sink: 2 3/4\ntee > bath: 2 3/4\ntee > turn: 2 3/8\nturn > heater: 2 3/8\n", []int{3, 4}},
		{"a capped dead leg", []Segment{
			supply("heater", "sink"), supply("heater", "bath"), supply("heater", "capped"),
		}, "heater > sink: 2 3/4\nheater > bath: 2 3/4\nheater > capped: 2 3/4\n", nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			n, mistakes := Listed("as found", fixtures, c.segments)
			require.Empty(t, mistakes)
			assert.Equal(t, c.want, drawing(n))
			assert.Equal(t, c.ret, n.Return)
			assert.Equal(t, "listed", n.Arrangement)
			assert.Equal(t, "sink", n.end(n.Taps[0]))
			assert.Equal(t, "bath", n.end(n.Taps[1]))
		})
	}
}

// Every mistake of a list is found at once, and one slip is one mistake.
func TestListedMistakes(t *testing.T) {
	type at struct {
		segment, fixture int
		what             string
	}
	length := func(m float64) Segment {
		s := supply("heater", "sink")
		s.Length = m
		return s
	}
	rise := length(2)
	rise.Rise = 2.5
	unbored := length(2)
	unbored.Run = Run{}
	_, err := heat.NewLine(tubes.Tube{}, tubes.Sleeve{}, 0, heat.Burial{}, false)
	require.Error(t, err)
	noTube := err.Error()
	cases := []struct {
		name     string
		fixtures []string
		segments []Segment
		want     []at
	}{
		{"no pipes", []string{"sink"}, nil, []at{{-1, -1, "no pipe is listed"}, {-1, 0, `no pipe of the supply ends at fixture "sink"`}}},
		{"no fixtures", nil, []Segment{supply("heater", "a")}, []at{{-1, -1, "there is no fixture"}}},
		{"fixture not reached", []string{"sink", "bath"}, []Segment{supply("heater", "sink")}, []at{{-1, 1, `no pipe of the supply ends at fixture "bath"`}}},
		{"never fed", []string{"sink"}, []Segment{supply("heater", "tee"), supply("tea", "a"), supply("a", "sink")}, []at{{1, -1, `no pipe ends at "tea", where this one begins`}}},
		{"never fed, in two places", []string{"sink"}, []Segment{supply("x", "sink"), supply("y", "b")}, []at{
			{0, -1, `no pipe ends at "x", where this one begins`}, {1, -1, `no pipe ends at "y", where this one begins`},
		}},
		{"fed twice", []string{"sink"}, []Segment{supply("heater", "a"), supply("heater", "b"), supply("a", "sink"), supply("b", "sink")}, []at{{3, -1, `"sink" is fed twice, from "a" too`}}},
		{"circle", []string{"sink"}, []Segment{supply("heater", "sink"), supply("b", "c"), supply("a", "b"), supply("c", "a"), supply("c", "d")}, []at{{1, -1, `the pipes through "b" run in a circle that the heater does not feed`}}},
		{"circle fed from the heater", []string{"sink"}, []Segment{supply("heater", "a"), supply("a", "b"), supply("b", "a"), supply("b", "sink")}, []at{{2, -1, `"a" is fed twice, from "heater" too`}}},
		{"into the heater", []string{"sink"}, []Segment{supply("heater", "a"), supply("a", "sink"), supply("a", "heater")}, []at{{2, -1, "the pipe runs into the heater"}}},
		{"to itself", []string{"sink"}, []Segment{supply("heater", "sink"), supply("a", "a")}, []at{{1, -1, `the pipe leads from "a" to itself`}}},
		{"heater to itself", []string{"sink"}, []Segment{supply("heater", "sink"), supply("heater", "heater")}, []at{{1, -1, `the pipe leads from "heater" to itself`}}},
		{"return to itself", []string{"sink"}, []Segment{supply("heater", "sink"), back("a", "a")}, []at{{1, -1, `the pipe leads from "a" to itself`}}},
		{"no name", []string{"sink"}, []Segment{supply("heater", "sink"), supply("heater", "")}, []at{{1, -1, "a pipe's end has no name"}}},
		{"no length", []string{"sink"}, []Segment{length(0)}, []at{{0, -1, "a length of 0 m"}}},
		{"negative length", []string{"sink"}, []Segment{length(-1)}, []at{{0, -1, "a length of -1 m"}}},
		{"length not a number", []string{"sink"}, []Segment{length(math.NaN())}, []at{{0, -1, "a length of NaN m"}}},
		{"infinite length", []string{"sink"}, []Segment{length(math.Inf(1))}, []at{{0, -1, "a length of +Inf m"}}},
		{"rise above length", []string{"sink"}, []Segment{rise}, []at{{0, -1, "a rise of 2.5 m on a length of 2 m"}}},
		{"no tube", []string{"sink"}, []Segment{unbored}, []at{{0, -1, noTube}}},
		{"pipe leaves a fixture", []string{"sink", "bath"}, []Segment{supply("heater", "sink"), supply("sink", "bath")}, []at{{1, -1, `the pipe leaves a fixture, "sink"`}}},
		{"fixture named twice", []string{"sink", "sink"}, []Segment{supply("heater", "sink")}, []at{{-1, 1, `a fixture is called "sink"`}}},
		{"fixture called heater", []string{"heater"}, []Segment{supply("heater", "a")}, []at{{-1, 0, `a fixture is called "heater"`}}},
		{"two return lines", []string{"sink"}, []Segment{
			supply("heater", "a"), supply("a", "b"), supply("b", "sink"), back("b", "heater"), back("a", "heater"),
		}, []at{{4, -1, `a second return line begins at "a"`}}},
		{"return lines join", []string{"sink"}, []Segment{
			supply("heater", "a"), supply("a", "b"), supply("b", "sink"), back("a", "r"), back("b", "r"), back("r", "heater"),
		}, []at{{4, -1, `a second return line joins at "r", where the pipe from "a" ends`}, {4, -1, `a second return line begins at "b"`}}},
		{"return forks", []string{"sink"}, []Segment{
			supply("heater", "a"), supply("a", "sink"), back("a", "r"), back("r", "heater"), back("r", "s"), back("s", "heater"),
		}, []at{{4, -1, `the return line forks at "r", to "heater" and "s"`}}},
		{"return starts nowhere", []string{"sink"}, []Segment{supply("heater", "sink"), back("x", "heater")}, []at{{1, -1, `the return line begins at "x", which is not on the supply`}}},
		{"return starts at the heater", []string{"sink"}, []Segment{supply("heater", "sink"), back("heater", "x"), back("x", "heater")}, []at{{1, -1, `the return line begins at "heater", which is not on the supply`}}},
		{"return starts at a fixture", []string{"sink"}, []Segment{supply("heater", "sink"), back("sink", "heater")}, []at{{1, -1, `the pipe leaves a fixture, "sink"`}}},
		{"return ends short", []string{"sink"}, []Segment{supply("heater", "a"), supply("a", "sink"), back("a", "r")}, []at{{2, -1, `the return line ends at "r"`}}},
		{"return runs into the supply", []string{"sink"}, []Segment{
			supply("heater", "a"), supply("a", "b"), supply("b", "sink"), back("b", "a"),
		}, []at{{3, -1, `the return line runs into "a", which is fed from "heater"`}}},
		{"return in a circle", []string{"sink"}, []Segment{supply("heater", "sink"), back("r", "s"), back("s", "r")}, []at{{1, -1, `the return line runs in a circle through "r"`}}},
		{"return circle beside a sound one", []string{"sink"}, []Segment{
			supply("heater", "a"), supply("a", "sink"), back("a", "heater"), back("r", "s"), back("s", "r"),
		}, []at{{3, -1, `the return line runs in a circle through "r"`}}},
		{"return feeds a fixture", []string{"sink"}, []Segment{
			supply("heater", "a"), back("a", "r"), back("r", "heater"), supply("r", "sink"),
		}, []at{{3, -1, `"r" is on the return line, which feeds nothing`}}},
		{"return ends at a fixture", []string{"sink"}, []Segment{supply("heater", "a"), back("a", "sink")}, []at{
			{-1, 0, `no pipe of the supply ends at fixture "sink"`}, {1, -1, `the return line runs to a fixture, "sink"`},
		}},
		{"all at once", []string{"sink", "bath"}, []Segment{length(-1), supply("x", "b"), back("y", "heater")}, []at{
			{-1, 1, `no pipe of the supply ends at fixture "bath"`},
			{0, -1, "a length of -1 m"},
			{1, -1, `no pipe ends at "x", where this one begins`},
			{2, -1, `the return line begins at "y", which is not on the supply`},
		}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			n, mistakes := Listed("as found", c.fixtures, c.segments)
			assert.Nil(t, n)
			var got []at
			for _, m := range mistakes {
				got = append(got, at{m.Segment, m.Fixture, m.What})
				assert.NotEmpty(t, m.Right, "what would be right")
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func TestListedSuggestsTheLooseEnd(t *testing.T) {
	_, mistakes := Listed("as found", []string{"hall shower"}, []Segment{supply("heater", "hal shower")})
	require.Len(t, mistakes, 1)
	assert.Equal(t, `let a pipe end at "hall shower"; neither fixture nor pipe is at "hal shower"`, mistakes[0].Right)
}

// What was generated can be listed, in any order, and comes out the same.
func TestListedAsGenerated(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := anySite(t)
		n, err := homeRun(site, anySite(t).Heater)
		require.NoError(t, err)
		if n.LoopEnd >= 0 {
			n, err = n.WithReturn("pumped", site, smallRun)
			require.NoError(t, err)
		}
		var names []string
		for i, f := range site.Fixtures {
			if n.Taps[i] == n.LoopEnd {
				return // a fixture right at the manifold has no pipe of its own to list
			}
			names = append(names, f.Name)
		}
		var segments []Segment
		for i, p := range n.Pipes {
			run := Run{p.Tube, p.Sleeve, p.BareShare, p.Zone, p.Burial}
			segments = append(segments, Segment{p.From, p.To, p.Length, p.Rise, run, slices.Contains(n.Return, i), p.Fittings.Elbows})
		}
		listed, mistakes := Listed("listed", names, rapid.Permutation(segments).Draw(t, "order"))
		require.Empty(t, mistakes)
		for i := range names {
			check.Within(t, n.PathLength(i), listed.PathLength(i), 1e-9, "length")
			check.Within(t, n.PathVolume(i), listed.PathVolume(i), 1e-9, "volume")
		}
		check.Within(t, n.sum(n.Loop(), Pipe.length), listed.sum(listed.Loop(), Pipe.length), 1e-9, "loop")
		listed, mistakes = Listed("listed", names, segments)
		require.Empty(t, mistakes)
		assert.Equal(t, n.Pipes, listed.Pipes, "a list from the heater outwards keeps its order")
		assert.Equal(t, n.Return, listed.Return)
	})
}

// anyList draws a sound list and then spoils it in up to three places.
func anyList(t *rapid.T) (fixtures []string, segments []Segment) {
	fixtures = []string{"sink", "bath"}[:rapid.IntRange(1, 2).Draw(t, "fixtures")]
	nodes := []string{heater}
	for _, to := range slices.Concat([]string{"a", "b", "c"}[:rapid.IntRange(0, 3).Draw(t, "tees")], fixtures) {
		segments = append(segments, supply(rapid.SampledFrom(nodes).Draw(t, "from"), to))
		if !slices.Contains(fixtures, to) {
			nodes = append(nodes, to)
		}
	}
	if len(nodes) > 1 && rapid.Bool().Draw(t, "pumped") {
		from := rapid.SampledFrom(nodes[1:]).Draw(t, "loop end")
		for _, to := range append([]string{"r", "s"}[:rapid.IntRange(0, 2).Draw(t, "turns")], heater) {
			segments = append(segments, back(from, to))
			from = to
		}
	}
	node := rapid.SampledFrom([]string{heater, "a", "b", "c", "r", "s", "sink", "bath", "elsewhere", ""})
	for range rapid.IntRange(0, 3).Draw(t, "slips") {
		if len(segments) == 0 {
			break
		}
		i := rapid.IntRange(0, len(segments)-1).Draw(t, "which")
		switch s := &segments[i]; rapid.IntRange(0, 8).Draw(t, "slip") {
		case 0:
			s.From = node.Draw(t, "from")
		case 1:
			s.To = node.Draw(t, "to")
		case 2:
			s.Length = rapid.OneOf(rapid.Float64(), rapid.Just(math.NaN()), rapid.Just(math.Inf(1))).Draw(t, "length")
		case 3:
			s.Rise = rapid.OneOf(rapid.Float64(), rapid.Just(math.NaN())).Draw(t, "rise")
		case 4:
			s.Run = Run{}
		case 5:
			s.Return = !s.Return
		case 6:
			segments = slices.Delete(segments, i, i+1)
		case 7:
			segments = append(segments, Segment{node.Draw(t, "from"), node.Draw(t, "to"), 1, 0, trunkRun, rapid.Bool().Draw(t, "return"), 0})
		case 8:
			fixtures = append(slices.Clone(fixtures), node.Draw(t, "fixture"))
		}
	}
	return fixtures, rapid.Permutation(segments).Draw(t, "order")
}

// eitherWay holds for any list: mistakes that point at something, or a network
// that has every pipe and every fixture of the list.
func eitherWay(t *rapid.T) {
	fixtures, segments := anyList(t)
	n, mistakes := Listed("fuzzed", fixtures, segments)
	if n == nil {
		require.NotEmpty(t, mistakes)
		for _, m := range mistakes {
			assert.True(t, m.Segment >= -1 && m.Segment < len(segments) && m.Fixture >= -1 && m.Fixture < len(fixtures))
			assert.NotEmpty(t, m.What)
			assert.NotEmpty(t, m.Right)
		}
		return
	}
	require.Empty(t, mistakes)
	require.NoError(t, n.Validate())
	require.Len(t, n.Pipes, len(segments))
	for i, f := range fixtures {
		assert.Equal(t, f, n.end(n.Taps[i]))
	}
}

func TestListedEitherWay(t *testing.T) { rapid.Check(t, eitherWay) }

func FuzzListed(f *testing.F) { f.Fuzz(rapid.MakeFuzz(eitherWay)) }
