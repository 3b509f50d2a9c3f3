package spelling

import "testing"

// TestEdits: kitten and sitting are the pair of the textbooks; the others by hand.
func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3},
		{"", "pe-x", 4},
		{"pex", "pex", 0},
		{"küche", "kuche", 1},
		{"да", "не", 2},
	} {
		for _, got := range []int{Edits(c.a, c.b), Edits(c.b, c.a)} {
			if got != c.want {
				t.Errorf("%s and %s: %d, want %d", c.a, c.b, got, c.want)
			}
		}
	}
}
