package plots

import (
	"bytes"
	"compress/zlib"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/units"
)

// TestLatin looks for a degree sign in its one byte among the text of a PDF, and
// for no mark in place of a letter that its encoding lacks and its font has.
func TestLatin(t *testing.T) {
	s := NewSet(courtyard(t), units.US, OneColumn)
	s.Opposite = true
	text := pdfText(t, "tube r", s)
	require.Contains(t, text, "(\xb0C)")
	require.Contains(t, text, "(tube r)")
	require.NotContains(t, pdfText(t, "tube ř", s), "(tube ")
	require.Equal(t, strings.Count(text, "?"), strings.Count(pdfText(t, "tube ř", s), "?"))
}

// pdfText is what the streams of a PDF of one cooling tube hold.
func pdfText(tb testing.TB, tube string, s Set) string {
	f, err := NewCooldown(s, []Cooling{{tube, []float64{0, 600}, []float64{50, 43}, "crawlspace", 15}})
	require.NoError(tb, err)
	var b bytes.Buffer
	require.NoError(tb, f.Write(&b, PDF))
	var text strings.Builder
	for _, part := range bytes.Split(b.Bytes(), []byte("stream\n"))[1:] {
		if z, err := zlib.NewReader(bytes.NewReader(part)); err == nil {
			plain, _ := io.ReadAll(z) // the end of a part is not of its stream
			if bytes.Contains(plain, []byte(" Tf")) {
				text.Write(plain)
			}
		}
	}
	return text.String()
}

// TestFontFiles holds each font of a PDF to have a file of its own, so that plain
// is not printed bold.
func TestFontFiles(t *testing.T) {
	f, err := NewWater(NewSet(courtyard(t), units.US, OneColumn), courtyard(t))
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, PDF))
	files := regexp.MustCompile(`/FontFile2 \d+ 0 R`).FindAllString(b.String(), -1)
	fonts := strings.Count(b.String(), "/Type /Font\n")
	require.Len(t, files, fonts)
	slices.Sort(files)
	require.Len(t, slices.Compact(files), fonts)
}
