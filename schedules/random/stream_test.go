package random

import (
	"fmt"
	"math/bits"
	"testing"

	"github.com/stretchr/testify/require"
)

// The streams may not change: results are quoted with their seed.
func TestStreamsAreFrozen(t *testing.T) {
	for _, c := range []struct {
		name    string
		seed    uint64
		stream  string
		indices []uint64
		want    string
	}{
		{"bare", 1, "shower", nil, "51cbf9dde4a3f461 98ca4e72c624135e 0.067935839281343946"},
		{"replicate 0 day 0", 1, "shower", []uint64{0, 0}, "31bb26d2878f1786 33db5e4b30d79b41 0.32022484277920349"},
		{"replicate 0 day 1", 1, "shower", []uint64{0, 1}, "9dbf0a03a7321773 f6bfc5b6cb3298c1 0.79763275338496298"},
		{"another name", 1, "bath", []uint64{0, 0}, "884fd817191f0e92 b4185852b9a1787c 0.47380146880501728"},
		{"another seed", 2, "shower", []uint64{0, 0}, "d6dd9ff3d0c0413e 7b07a4b15c64c564 0.71020440007754915"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Stream(c.seed, c.stream, c.indices...)
			require.Equal(t, c.want, fmt.Sprintf("%016x %016x %.17g", s.Uint64(), s.Uint64(), s.Float64()))
		})
	}
}

// Neighbouring indices must give keys half of whose bits differ: over 1000
// pairs of 128 bits the count has mean 64000 and standard deviation 179.
func TestNeighboursDiffer(t *testing.T) {
	differ := 0
	for i := range uint64(1000) {
		a, b := NewKey(1, "x", 3, i), NewKey(1, "x", 3, i+1)
		differ += bits.OnesCount64(a.high^b.high) + bits.OnesCount64(a.low^b.low)
	}
	require.InDelta(t, 64000, differ, 4*179)
}

func TestKeysAreDistinct(t *testing.T) {
	seen := map[Key]bool{}
	for _, name := range []string{"shower", "bath", "kitchen", ""} {
		for r := range uint64(50) {
			for d := range uint64(365) {
				k := NewKey(7, name, r, d)
				require.False(t, seen[k])
				seen[k] = true
			}
		}
	}
	require.NotEqual(t, NewKey(1, "x", 2, 3), NewKey(1, "x", 3, 2))
	require.NotEqual(t, NewKey(1, "x", 0), NewKey(1, "x"))
}
