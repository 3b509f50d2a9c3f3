package plots

import (
	"slices"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"
)

func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		wanted, heights := make([]vg.Length, n), make([]vg.Length, n)
		need := vg.Length(0)
		for i := range wanted {
			wanted[i] = vg.Length(rapid.Float64Range(0, 200).Draw(t, "wanted"))
			heights[i] = vg.Length(rapid.Float64Range(5, 16).Draw(t, "height"))
			need += heights[i]
		}
		at := spread(wanted, heights, 0, 200)
		order := make([]int, n)
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(a, b int) int {
			if at[a] < at[b] {
				return -1
			}
			return 1
		})
		for k, i := range order {
			if k > 0 {
				j := order[k-1]
				if at[i]-heights[i]/2 < at[j]+heights[j]/2-1e-6 {
					t.Fatalf("%v and %v overlap", at[j], at[i])
				}
				if wanted[i] < wanted[j] {
					t.Fatalf("order changed")
				}
			}
			if at[i]-heights[i]/2 < -1e-6 || need <= 200 && at[i]+heights[i]/2 > 200+1e-6 {
				t.Fatalf("%v left its room", at[i])
			}
		}
	})
}
