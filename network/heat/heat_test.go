package heat

import (
	"fmt"
	"math"
	"testing"

	"pipelag/network/tubes"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func mustLine(t testing.TB, kind, size string, sleeve tubes.Sleeve, bareShare float64, burial Burial, vertical bool) Line {
	t.Helper()
	tube, err := tubes.Find(kind, size)
	require.NoError(t, err)
	l, err := NewLine(tube, sleeve, bareShare, burial, vertical)
	require.NoError(t, err)
	return l
}

func mustWater(t testing.TB, celsius float64) Water {
	t.Helper()
	w, err := WaterAt(celsius)
	require.NoError(t, err)
	return w
}

func sleeve(t testing.TB, name string, thickness float64) tubes.Sleeve {
	t.Helper()
	m, err := tubes.FindSleeve(name)
	require.NoError(t, err)
	return tubes.Sleeve{Material: m, Thickness: thickness}
}

const inch = 0.0254 // [m]

func TestNewLineRefusesTheImpossible(t *testing.T) {
	good, err := tubes.Find("copper L", "3/4")
	require.NoError(t, err)
	foam := sleeve(t, "foam", inch/2)
	nan := math.NaN()
	thick := good
	thick.Inside = thick.Outside
	unknown := good
	unknown.Inside = nan
	weightless := good
	weightless.Material.Density = 0
	endless := foam
	endless.Material.Conductivity = math.Inf(1)
	for name, c := range map[string]struct {
		tube   tubes.Tube
		sleeve tubes.Sleeve
		bare   float64
		burial Burial
	}{
		"no wall":                 {thick, foam, 0, Burial{}},
		"NaN bore":                {unknown, foam, 0, Burial{}},
		"weightless wall":         {weightless, foam, 0, Burial{}},
		"no tube":                 {tubes.Tube{}, foam, 0, Burial{}},
		"negative sleeve":         {good, tubes.Sleeve{Material: foam.Material, Thickness: -0.01}, 0, Burial{}},
		"sleeve of nothing":       {good, tubes.Sleeve{Thickness: 0.01}, 0, Burial{}},
		"sleeve without end":      {good, endless, 0, Burial{}},
		"bare share above 1":      {good, foam, 1.01, Burial{}},
		"bare share NaN":          {good, foam, nan, Burial{}},
		"buried above its top":    {good, foam, 0, Burial{Depth: 0.02, Conductivity: 1}},
		"buried in a vacuum":      {good, foam, 0, Burial{Depth: 0.5}},
		"ground without a depth":  {good, foam, 0, Burial{Conductivity: 1}},
		"ground of NaN":           {good, foam, 0, Burial{Depth: 0.5, Conductivity: nan}},
		"buried an endless depth": {good, foam, 0, Burial{Depth: math.Inf(1), Conductivity: 1}},
	} {
		_, err := NewLine(c.tube, c.sleeve, c.bare, c.burial, false)
		assert.Error(t, err, name)
	}
}

// Every tube, sleeved or bare, flowing or still, gives positive finite
// coefficients whose steady series is right.
func TestEveryTubeGivesUsableCoefficients(t *testing.T) {
	all := tubes.All()
	rapid.Check(t, func(t *rapid.T) {
		tube := rapid.SampledFrom(all).Draw(t, "tube")
		s := tubes.Sleeve{
			Material:  rapid.SampledFrom(tubes.Sleeves()).Draw(t, "sleeve"),
			Thickness: rapid.SampledFrom([]float64{0, 0.006, 0.013, 0.05}).Draw(t, "thickness"),
		}
		burial := rapid.SampledFrom([]Burial{{}, {Depth: 0.5, Conductivity: 1.5}}).Draw(t, "burial")
		l, err := NewLine(tube, s, rapid.Float64Range(0, 1).Draw(t, "bare share"), burial, rapid.Bool().Draw(t, "vertical"))
		if err != nil {
			t.Fatal(err)
		}
		w, err := WaterAt(rapid.Float64Range(0, 100).Draw(t, "water"))
		if err != nil {
			t.Fatal(err)
		}
		flow := rapid.Float64Range(0, 1e-3).Draw(t, "flow")
		excess := rapid.Float64Range(-40, 80).Draw(t, "excess")
		ambient := rapid.Float64Range(-20, 50).Draw(t, "ambient")
		for _, c := range l.Explain(w, flow, excess, ambient) {
			signed := c.Symbol == "θ"
			zero := c.Symbol == "u" || c.Symbol == "Re"
			if math.IsNaN(c.Value) || math.IsInf(c.Value, 0) || !signed && (c.Value < 0 || c.Value == 0 && !zero) {
				t.Errorf("%s %s of %s %s is %g", c.Name, c.Symbol, tube.Kind, tube.Size, c.Value)
			}
			if c.Name == "" || c.Formula == "" || c.Source == "" || c.Unit == "" {
				t.Errorf("coefficient without words: %+v", c)
			}
		}
		var capacity float64
		for _, c := range l.WallCapacity() {
			capacity += c
		}
		m := tube.Material
		solid := m.Density * m.SpecificHeat * math.Pi / 4 * (tube.Outside*tube.Outside - tube.Inside*tube.Inside)
		if !(math.Abs(capacity/solid-1) < 1e-12) {
			t.Errorf("the wall nodes hold %g, the wall %g J/(m K)", capacity, solid)
		}
		want := 4
		if m.Metal {
			want = 1
		}
		if nodes := len(l.WallCapacity()); nodes != want || len(l.Between()) != want-1 {
			t.Errorf("%d wall nodes with %g between for %s", nodes, l.Between(), m.Name)
		}
	})
}

// Explain may not say anything else than what the engine is given.
func TestExplainAgreesWithTheCoefficients(t *testing.T) {
	w := mustWater(t, 45)
	const flow, excess, ambient = 0.08e-3, 24, 19
	for _, l := range []Line{
		mustLine(t, "copper L", "3/4", tubes.Sleeve{}, 0, Burial{}, false),
		mustLine(t, "PEX", "1/2", sleeve(t, "foam", inch/2), 0.05, Burial{}, true),
		mustLine(t, "PP-R", "25x4.2", tubes.Sleeve{}, 0, Burial{Depth: 0.4, Conductivity: 1.2}, false),
	} {
		seen := map[string]float64{}
		for _, c := range l.Explain(w, flow, excess, ambient) {
			_, twice := seen[c.Symbol]
			assert.False(t, twice, c.Symbol)
			seen[c.Symbol] = c.Value
		}
		assert.Equal(t, l.Inner(w, flow), seen["g_i"])
		for i, g := range l.Between() {
			assert.Equal(t, g, seen[fmt.Sprintf("g_%d%d", i+1, i+2)])
		}
		assert.Equal(t, l.Outer(excess, ambient), seen["g_o"])
		assert.Equal(t, l.WaterCapacity(w), seen["C_f"])
		assert.Equal(t, l.Dispersion(w, flow, math.Inf(1)), seen["K"])
	}
}

func BenchmarkOuter(b *testing.B) {
	l := mustLine(b, "copper L", "3/4", sleeve(b, "foam", inch/2), 0.05, Burial{}, false)
	b.ReportAllocs()
	for b.Loop() {
		l.Outer(25, 20)
	}
}

func BenchmarkInner(b *testing.B) {
	l := mustLine(b, "PEX", "1/2", tubes.Sleeve{}, 0, Burial{}, false)
	w := mustWater(b, 40)
	b.ReportAllocs()
	for b.Loop() {
		l.Inner(w, 1e-4)
	}
}

func BenchmarkNewLine(b *testing.B) {
	tube, err := tubes.Find("PEX", "1/2")
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewLine(tube, tubes.Sleeve{}, 0, Burial{}, false); err != nil {
			b.Fatal(err)
		}
	}
}
