package sim_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/sim"
)

func TestReadResult(t *testing.T) {
	h := courtyard(t)
	h.Layouts = h.Layouts[:2]
	r := run(t, h, sim.Options{Seed: 1, Years: 2, Grid: 5})
	r.Version, r.Scenario.SHA256 = "0.0.0", "0"
	text, err := json.MarshalIndent(r, "", " ")
	require.NoError(t, err)
	back, err := sim.ReadResult(text)
	require.NoError(t, err)
	require.Equal(t, r.Mains, back.Mains)

	_, err = sim.ReadResult(text[:len(text)/2])
	require.ErrorContains(t, err, fmt.Sprintf("%d:", 1+strings.Count(string(text[:len(text)/2]), "\n")))
	_, err = sim.ReadResult([]byte("{}"))
	require.EqualError(t, err, "there is no bill")

	// Whatever is left out is missed, by its path.
	var tree map[string]any
	require.NoError(t, json.Unmarshal(text, &tree))
	layout := tree["layouts"].([]any)[1].(map[string]any)
	for _, c := range []struct {
		want   string
		remove func()
	}{
		{"layouts[1].annual", func() { delete(layout, "annual") }},
		{"layouts[1].months[11]", func() { layout["months"] = layout["months"].([]any)[:11] }},
		{"mains_C[3]", func() { tree["mains_C"] = tree["mains_C"].([]any)[:3] }},
	} {
		require.NoError(t, json.Unmarshal(text, &tree))
		layout = tree["layouts"].([]any)[1].(map[string]any)
		c.remove()
		torn, err := json.Marshal(tree)
		require.NoError(t, err)
		_, err = sim.ReadResult(torn)
		require.ErrorContains(t, err, c.want)
	}
}

// A name stands for one thing.
func TestReadResultRefusesNamesTwice(t *testing.T) {
	h := courtyard(t)
	h.Layouts = h.Layouts[:3]
	r := run(t, h, sim.Options{Seed: 1, Years: 1, Grid: 5})
	r.Version, r.Scenario.SHA256 = "0.0.0", "0"
	first, second, third := r.Layouts[0].Name, r.Layouts[1].Name, r.Layouts[2].Name
	for _, c := range []struct {
		want   string
		rename func()
	}{
		{"", func() {}},
		{fmt.Sprintf("layout %q is there twice", first), func() { r.Layouts[1].Name = first }},
		{fmt.Sprintf("the difference of layout %q is there twice", third), func() { r.Differences[0].Layout = third }},
	} {
		r.Layouts[1].Name, r.Differences[0].Layout = second, second
		c.rename()
		text, err := json.Marshal(r)
		require.NoError(t, err)
		if _, err = sim.ReadResult(text); c.want == "" {
			require.NoError(t, err)
		} else {
			require.EqualError(t, err, c.want)
		}
	}
}

// Whatever a file holds, it is read whole or refused: what was read is written
// and read again as the same.
func FuzzReadResult(f *testing.F) {
	f.Add([]byte(`{}`))
	f.Add([]byte(`{"version":"0.1.0","years":2,"layouts":[{}]}`))
	f.Add([]byte(`{"layouts":[{"annual":null,"months":[]}],"years":1}`))
	f.Add([]byte("[1,2"))
	if text, err := json.Marshal(&sim.Result{Years: 1, Layouts: make([]sim.LayoutResult, 1), Cautions: []sim.Caution{}}); err == nil {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := sim.ReadResult(text)
		if err != nil {
			return
		}
		again, err := json.Marshal(r)
		require.NoError(t, err)
		_, err = sim.ReadResult(again)
		require.NoError(t, err)
	})
}
