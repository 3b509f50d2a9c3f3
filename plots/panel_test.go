package plots

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		n         int
		want      string
	}{
		{0, 100, 5, "0 20 40 60 80 100"},
		{0, 1.2, 4, "0.0 0.5 1.0"},
		{-2130, 0, 3, "–2000 –1000 0"},
		{0, 86672, 4, "0 20\u00a0000 40\u00a0000 60\u00a0000 80\u00a0000"},
		{57, 127, 4, "60 80 100 120"},
		{-386, 4716, 2, "0 2000 4000"}, // and not 0 alone
	} {
		at, decimals := ticks(c.low, c.high, c.n)
		var text []string
		for _, v := range at {
			text = append(text, tickText(v, decimals))
		}
		require.Equal(t, c.want, strings.Join(text, " "))
	}
}

// Multiples of 5 at 5e16 are counted in numbers above 2^53, which do not grow by
// one; the scale ends all the same.
func TestTicksFarFromZero(t *testing.T) {
	at, _ := ticks(5e16-16, 5e16+16, 5)
	require.NotEmpty(t, at)
	require.Less(t, len(at), 12)
	for _, v := range at {
		require.InDelta(t, 5e16, v, 24)
	}
}
