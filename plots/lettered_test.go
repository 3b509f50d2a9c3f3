package plots

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/units"
)

// TestLacking: what the font has not is in SVG and nowhere else.
func TestLacking(t *testing.T) {
	f, err := NewCooldown(NewSet(courtyard(t), units.US, OneColumn), []Cooling{{"浴室 ř 浴", []float64{0, 600}, []float64{50, 43}, "crawlspace", 15}})
	require.NoError(t, err)
	var b bytes.Buffer
	for _, format := range []Format{PDF, PNG} {
		err := f.Write(&b, format)
		require.ErrorIs(t, err, ErrLetters)
		require.EqualError(t, err, "the font of PDF and PNG figures lacks letters that SVG keeps: 浴 室")
		require.Zero(t, b.Len())
	}
	require.NoError(t, f.Write(&b, SVG))
	require.Contains(t, b.String(), ">浴室 ř 浴<")
}

// TestLackingMany: a long list is cut.
func TestLackingMany(t *testing.T) {
	f, err := NewCooldown(NewSet(courtyard(t), units.US, OneColumn), []Cooling{
		{"給湯器浴室台所", []float64{0, 600}, []float64{50, 43}, "crawlspace", 15}, {"洗面流し場風呂", []float64{0, 600}, []float64{50, 33}, "crawlspace", 15},
	})
	require.NoError(t, err)
	require.ErrorContains(t, f.Write(new(bytes.Buffer), PNG), "給 湯 器 浴 室 台 所 洗 面 流 し 場 and 2 more")
}

// TestLackingWidth: a letter that the font lacks takes an em, the width of every
// sign of Chinese in fonts that have it.
func TestLackingWidth(t *testing.T) {
	check.Within(t, float64(label.width("ab")+2*label.size), float64(label.width("a浴室b")), 1e-9, "width")
}
