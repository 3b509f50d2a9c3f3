package plots

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// layoutColours tell layouts apart. Their lightness climbs in even steps from
// 22 to 75 of CIE L*, so they stay apart in grey; hue and chroma were searched
// for the greatest least distance under normal, protan, deutan and tritan
// sight. They stand in the order of handing out: neighbours lie far apart.
var layoutColours = [...]color.NRGBA{
	{0x47, 0x2e, 0xa7, 0xff}, // indigo, L* 30
	{0xd1, 0x57, 0x08, 0xff}, // rust, 52
	{0xa4, 0xa9, 0x6b, 0xff}, // sage, 67
	{0x83, 0x3d, 0x7e, 0xff}, // plum, 37
	{0x84, 0x86, 0xe9, 0xff}, // periwinkle, 60
	{0x24, 0x77, 0x59, 0xff}, // pine, 45
	{0x3e, 0x34, 0x02, 0xff}, // umber, 22
	{0xf4, 0xa1, 0xbe, 0xff}, // rose, 75
}

// What is not data is grey.
var (
	ink   = color.NRGBA{0x1d, 0x20, 0x27, 0xff} // text
	muted = color.NRGBA{0x5a, 0x60, 0x6b, 0xff} // numbers on axes, notes
	hair  = color.NRGBA{0xd5, 0xd8, 0xde, 0xff} // grid
	band  = color.NRGBA{0xf2, 0xf3, 0xf5, 0xff} // grounds
	white = color.NRGBA{0xff, 0xff, 0xff, 0xff}
)

// The ramp of what has an order but no layout: accounts, rests, times.
var (
	rampDark   = color.NRGBA{0x0f, 0x30, 0x38, 0xff}
	rampMiddle = color.NRGBA{0x3f, 0x7f, 0x89, 0xff}
	rampLight  = color.NRGBA{0x9c, 0xba, 0xb8, 0xff}
)

// ramp is step i of n from dark to light. No step is too light for a line.
func ramp(i, n int) color.NRGBA {
	at := 0.0
	if n > 1 {
		at = float64(i) / float64(n-1)
	}
	if at < 0.5 {
		return mixed(rampDark, rampMiddle, 2*at)
	}
	return mixed(rampMiddle, rampLight, 2*at-1)
}

// The ramp of water's temperature, from cold to hot. Lightness falls all the
// way, so that it reads in grey too.
var heatRamp = [...]color.NRGBA{
	{0xee, 0xf2, 0xf4, 0xff},
	{0xea, 0xd0, 0xa0, 0xff},
	{0xd8, 0x8c, 0x4c, 0xff},
	{0xae, 0x42, 0x3a, 0xff},
	{0x5a, 0x16, 0x4e, 0xff},
}

// warmth is the colour of a share of the way from the coldest to the hottest.
func warmth(share float64) color.NRGBA {
	at := min(max(share, 0), 1) * float64(len(heatRamp)-1)
	i := min(int(at), len(heatRamp)-2)
	return mixed(heatRamp[i], heatRamp[i+1], at-float64(i))
}

func mixed(a, b color.NRGBA, share float64) color.NRGBA {
	part := func(x, y uint8) uint8 { return uint8(float64(x) + share*(float64(y)-float64(x)) + 0.5) }
	return color.NRGBA{part(a.R, b.R), part(a.G, b.G), part(a.B, b.B), 0xff}
}

// stroke is the line of thing i: colours run out after eight, and dashes tell
// the next eight from the first.
func stroke(colour color.Color, i int, width vg.Length) draw.LineStyle {
	s := draw.LineStyle{Color: colour, Width: width}
	switch i / len(layoutColours) {
	case 0:
	case 1:
		s.Dashes = []vg.Length{4, 1.5}
	default:
		s.Dashes = []vg.Length{1.2, 1.2}
	}
	return s
}
