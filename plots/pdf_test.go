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
// for a mark in place of a letter that its fonts lack.
func TestLatin(t *testing.T) {
	s := NewSet(courtyard(t), units.US, OneColumn)
	s.Opposite = true
	f, err := NewCooldown(s, []Cooling{{"tube ř", []float64{0, 600}, []float64{50, 43}}})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, PDF))
	var text []byte
	for _, part := range bytes.Split(b.Bytes(), []byte("stream\n"))[1:] {
		if z, err := zlib.NewReader(bytes.NewReader(part)); err == nil {
			plain, _ := io.ReadAll(z) // the end of a part is not of its stream
			text = append(text, plain...)
		}
	}
	require.Contains(t, string(text), "(\xb0C)")
	require.Contains(t, string(text), "tube ?")
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
