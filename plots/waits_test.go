package plots

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestStill holds the shares against counts done by hand.
func TestStill(t *testing.T) {
	left, total, err := still([]int{5, 0, 3, 2})
	require.NoError(t, err)
	require.Equal(t, 10, total)
	require.Equal(t, []float64{1, 0.5, 0.5, 0.2, 0}, left)
}
