package plots

import (
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// lab is a colour in CIE L*a*b*, as somebody sees it who lacks a cone, or none.
// Sources: IEC 61966-2-1 (sRGB); CIE 15 (L*a*b*, D65); G. M. Machado, M. M.
// Oliveira, L. A. F. Fernandes, A physiologically-based model for simulation of
// color vision deficiency, IEEE TVCG 15 (2009) 1291, table for severity 1.0;
// all from memory. They rank colours here; no limit of the program rests on them.
func lab(c color.NRGBA, sight string) [3]float64 {
	linear := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	rgb := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	m := map[string][3][3]float64{
		"normal": {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
		"protan": {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
		"deutan": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
		"tritan": {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
	}[sight]
	var seen [3]float64
	for i := range seen {
		seen[i] = min(max(m[i][0]*rgb[0]+m[i][1]*rgb[1]+m[i][2]*rgb[2], 0), 1)
	}
	f := func(v float64) float64 {
		if v > 216.0/24389 {
			return math.Cbrt(v)
		}
		return (24389.0/27*v + 16) / 116
	}
	x := f((0.4124564*seen[0] + 0.3575761*seen[1] + 0.1804375*seen[2]) / 0.95047)
	y := f(0.2126729*seen[0] + 0.7151522*seen[1] + 0.0721750*seen[2])
	z := f((0.0193339*seen[0] + 0.1191920*seen[1] + 0.9503041*seen[2]) / 1.08883)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

func TestPalette(t *testing.T) {
	apart := func(a, b [3]float64) float64 {
		return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
	}
	for i, a := range layoutColours {
		for _, b := range layoutColours[:i] {
			// In grey: half a step of a ladder of eight would be 3.8.
			require.Greater(t, math.Abs(lab(a, "normal")[0]-lab(b, "normal")[0]), 6.5, "%v %v in grey", a, b)
			for _, sight := range []string{"normal", "protan", "deutan", "tritan"} {
				require.Greater(t, apart(lab(a, sight), lab(b, sight)), 24.0, "%v %v, %s", a, b, sight)
			}
		}
		require.Greater(t, 100-lab(a, "normal")[0], 24.0, "%v on white", a)
	}
	// Eight steps of temperature are told apart in grey and by anyone.
	for i := range 8 {
		cold, hot := warmth(float64(i)/8), warmth(float64(i+1)/8)
		require.Greater(t, lab(cold, "normal")[0]-lab(hot, "normal")[0], 5.0, "step %d", i)
		for _, sight := range []string{"normal", "protan", "deutan", "tritan"} {
			require.Greater(t, apart(lab(cold, sight), lab(hot, sight)), 7.0, "step %d, %s", i, sight)
		}
	}
	for n := 2; n <= mostProfiles; n++ {
		for i := 1; i < n; i++ {
			require.Greater(t, lab(ramp(i, n), "normal")[0]-lab(ramp(i-1, n), "normal")[0], 40/float64(n-1), "step %d of %d", i, n)
		}
	}
}
