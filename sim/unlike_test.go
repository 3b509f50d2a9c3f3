package sim

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
)

// A layout serves less if one of its fixtures gets less than through another layout,
// though others get more; as little as all others it may serve. One of which the cold
// line is the return is unlike one of which it is not.
func TestUnlike(t *testing.T) {
	short := func(passed ...float64) (l LayoutResult) {
		for f, p := range passed {
			l.Shortfalls = append(l.Shortfalls, Shortfall{string(rune('a' + f)), 1, p})
		}
		return l
	}
	crossed := func(l LayoutResult) LayoutResult {
		l.Crossover = &CrossoverResult{}
		return l
	}
	for name, c := range map[string]struct {
		layouts []LayoutResult
		want    []Unlike
	}{
		"alone":         {[]LayoutResult{short(0.5)}, []Unlike{Alike}},
		"alike":         {[]LayoutResult{short(0.5), short(0.499)}, []Unlike{Alike, Alike}},
		"less":          {[]LayoutResult{short(0.5), short(0.4)}, []Unlike{Alike, ServesLess}},
		"than all":      {[]LayoutResult{short(0.5), short()}, []Unlike{ServesLess, Alike}},
		"here less":     {[]LayoutResult{short(0.5, 0.3), short(0.4, 0.6)}, []Unlike{ServesLess, ServesLess}},
		"cold":          {[]LayoutResult{short(), crossed(short()), short()}, []Unlike{Alike, ThroughCold, Alike}},
		"cold first":    {[]LayoutResult{crossed(short()), crossed(short()), short()}, []Unlike{Alike, Alike, ThroughCold}},
		"cold and less": {[]LayoutResult{short(), crossed(short(0.5))}, []Unlike{Alike, ServesLess}},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, (&Result{Layouts: c.layouts}).Unlike())
		})
	}
}

// TestUnlikeText: what is kept is the name that results give, not the place in a list, and
// it is read back.
func TestUnlikeText(t *testing.T) {
	text, err := json.Marshal([]Unlike{Alike, ServesLess, ThroughCold})
	require.NoError(t, err)
	require.Equal(t, `["","serves less","cold line"]`, string(text))
	var read []Unlike
	require.NoError(t, json.Unmarshal(text, &read))
	require.Equal(t, []Unlike{Alike, ServesLess, ThroughCold}, read)
	for _, wrong := range []string{`"cold"`, "1"} {
		require.Error(t, json.Unmarshal([]byte(wrong), new(Unlike)), wrong)
	}
	require.EqualError(t, new(Unlike).UnmarshalText([]byte("cold")), `"cold" is no reason why a layout is unlike the first; write "serves less", "cold line" or nothing`)
}

// TestAgainst: none is held against a first layout that serves less, and one that is
// itself unlike is held against none.
func TestAgainst(t *testing.T) {
	for _, c := range []struct{ own, first, want Unlike }{
		{Alike, Alike, Alike},
		{ServesLess, Alike, ServesLess},
		{ThroughCold, Alike, ThroughCold},
		{Alike, ServesLess, ServesLess},
		{ThroughCold, ServesLess, ServesLess},
	} {
		require.Equal(t, c.want, c.own.Against(c.first), "%v against %v", c.own, c.first)
	}
}
