package plots

import (
	"bytes"
	"image/color"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/sim"
)

// TestDayUpright looks for a slug of hot water near the heater at the foot of the
// picture, in the first half of the day.
func TestDayUpright(t *testing.T) {
	w := &sim.Watch{Usable: 40, Distance: []float64{1, 2, 3, 4}, Time: []float64{0, 21600, 43200, 64800, 86400}}
	for range w.Time {
		w.Temperature = append(w.Temperature, []float64{20, 20, 20, 20})
	}
	w.Temperature[0] = []float64{50, 50, 20, 20}
	w.Temperature[1] = w.Temperature[0]
	f, err := NewDay(Set{}, w)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, PNG))
	drawn, err := png.Decode(&b)
	require.NoError(t, err)
	seen := func(right, up float64) float64 { // share of the panel's width and height
		box := drawn.Bounds()
		x, y := 0.12+0.6*right, 0.15+0.65*up
		r, g, blue, _ := drawn.At(int(x*float64(box.Dx())), int((1-y)*float64(box.Dy()))).RGBA()
		return lab(color.NRGBA{uint8(r >> 8), uint8(g >> 8), uint8(blue >> 8), 0xff}, "normal")[0]
	}
	require.Less(t, seen(0.2, 0.2), 40.0, "hot by the heater in the morning")
	for _, place := range [][2]float64{{0.2, 0.8}, {0.8, 0.2}, {0.8, 0.8}} {
		require.Greater(t, seen(place[0], place[1]), 80.0, "cold at %v", place)
	}
}
