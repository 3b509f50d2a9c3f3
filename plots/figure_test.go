package plots

import (
	"bytes"
	"image/png"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"pipelag/sim"
	"pipelag/units"
)

func TestFiguresAreWhole(t *testing.T) {
	for name, f := range every(t) {
		t.Run(name, func(t *testing.T) {
			header, rows := f.Data()
			require.NotEmpty(t, rows)
			for _, row := range rows {
				require.Len(t, row, len(header))
				for _, cell := range row {
					require.NotContains(t, cell, "NaN")
				}
			}
			require.Contains(t, f.Caption(), "Courtyard house")
			require.True(t, strings.HasSuffix(f.Caption(), "pipelag 1.0.0."))
			if k := slices.IndexFunc(kinds, func(k kind) bool { return k.name == strings.Split(name, "-")[0] }); k >= 0 && kinds[k].needs == "a result" {
				require.Contains(t, f.Caption(), "10 simulated years, seed 1")
			}
			require.LessOrEqual(t, float64(f.height), float64(235*vg.Millimeter), "taller than a page")
			var b bytes.Buffer
			require.NoError(t, f.Write(&b, SVG))
			require.NotContains(t, b.String(), "NaN")
			require.NotContains(t, b.String(), "Inf")
		})
	}
}

func TestSameBytesTwice(t *testing.T) {
	began := time.Now().Truncate(time.Second)
	first := map[string][]byte{}
	for round := range 2 {
		if round == 1 { // a file that held the time would now hold another
			time.Sleep(time.Until(began.Add(1100 * time.Millisecond)))
		}
		for name, f := range every(t) {
			if !strings.HasSuffix(name, "1-us") {
				continue
			}
			for _, format := range []Format{SVG, PDF, PNG} {
				if format == PNG && !strings.HasPrefix(name, "t") {
					continue // slow, and drawn alike
				}
				var b bytes.Buffer
				require.NoError(t, f.Write(&b, format))
				key := name + "." + format.String()
				if round == 0 {
					first[key] = b.Bytes()
				} else {
					require.True(t, bytes.Equal(first[key], b.Bytes()), key)
				}
			}
		}
	}
}

func TestPrintSize(t *testing.T) {
	for width, millimetres := range map[Width]float64{OneColumn: 88, TwoColumns: 180} {
		f, err := NewMonths(NewSet(courtyard(t), units.SI, width), courtyard(t))
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, f.Write(&b, PNG))
		image, err := png.Decode(&b)
		require.NoError(t, err)
		require.InDelta(t, millimetres/25.4*300, float64(image.Bounds().Dx()), 1)
	}
}

// TestOneYear draws a result that has no intervals.
func TestOneYear(t *testing.T) {
	r := courtyard(t)
	r.Years = 1
	unknown := func(v *sim.Intervals) {
		for q := range v {
			v[q].Low, v[q].High = math.NaN(), math.NaN()
		}
	}
	for i := range r.Layouts {
		unknown(&r.Layouts[i].Annual)
	}
	for i := range r.Differences {
		unknown(&r.Differences[i].Annual)
	}
	s := NewSet(r, units.SI, OneColumn)
	m := Material{Result: r}
	for _, kind := range m.Kinds() {
		drawn, err := m.Draw(kind, s)
		require.NoError(t, err, kind)
		f := drawn[0]
		var b bytes.Buffer
		require.NoError(t, f.Write(&b, SVG))
		require.NotContains(t, b.String(), "NaN", kind)
		require.Contains(t, f.Caption(), "One simulated year")
		require.NotContains(t, f.Caption(), "95 %", kind)
	}
}

func TestFigureCopies(t *testing.T) {
	r := courtyard(t)
	f, err := NewWater(NewSet(r, units.US, OneColumn), r)
	require.NoError(t, err)
	var before, after bytes.Buffer
	require.NoError(t, f.Write(&before, SVG))
	r.Layouts[0].Annual[sim.Purged].Mean = math.NaN()
	r.Layouts[0].Name = "changed"
	_, rows := f.Data()
	rows[0][0] = "changed"
	require.NoError(t, f.Write(&after, SVG))
	require.Equal(t, before.String(), after.String())
	_, rows = f.Data()
	require.Equal(t, "trunk and branch", rows[0][0])

	traced := traces(t)
	f, err = NewTap(NewSet(courtyard(t), units.US, OneColumn), traced)
	require.NoError(t, err)
	before.Reset()
	after.Reset()
	require.NoError(t, f.Write(&before, SVG))
	traced[0].Usable = math.NaN()
	traced[0].Openings[0].Series.Tap[0] = math.NaN()
	*traced[0].Openings[0].Wait = math.NaN()
	require.NoError(t, f.Write(&after, SVG))
	require.Equal(t, before.String(), after.String())
}

func TestNamesAreEscaped(t *testing.T) {
	r := courtyard(t)
	const hostile = `<script>alert("x")</script>` + "\x00"
	r.Layouts[0].Name = hostile
	f, err := NewWater(NewSet(r, units.US, TwoColumns), r)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, SVG))
	require.NotContains(t, b.String(), "<script")
	require.NotContains(t, b.String(), "\x00")
}

func BenchmarkFigures(b *testing.B) {
	figures := every(b)
	for _, format := range []Format{SVG, PDF, PNG} {
		for _, name := range []string{"waits-2-us", "tap-2-us", "tradeoff-2-us", "day-2-us"} {
			b.Run(name+"/"+format.String(), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if err := figures[name].Write(io.Discard, format); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
