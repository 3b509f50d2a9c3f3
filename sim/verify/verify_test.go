package verify

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every check of every group holds, and says where its value comes from.
func TestChecks(t *testing.T) {
	lines, err := Run(context.Background())
	require.NoError(t, err)
	published := 0
	for _, l := range lines {
		what := l.Group + ": " + l.Subject + ": " + l.Quantity
		if l.Verdict == Fail {
			t.Errorf("%s: computed %g, published %g %s, deviation %.3g, tolerance %v (%s, %s)", what, l.Computed, l.Published, l.Unit, l.Deviation, *l.Tolerance, l.Title, l.Status)
		}
		assert.NotEmpty(t, l.Subject, what)
		assert.NotEmpty(t, l.Unit, what)
		assert.NotEmpty(t, l.Title, what)
		assert.Contains(t, []string{"read", "memory", "derived", "computed", "practice"}, l.Status, what)
		if l.Status == "memory" {
			assert.Equal(t, Shown, l.Verdict, what)
		}
		if l.Verdict == Shown && l.Status != "memory" {
			assert.NotEmpty(t, l.Note, "%s is not judged and does not say why", what)
		}
		if l.Status == "read" {
			published++
		}
	}
	assert.GreaterOrEqual(t, len(lines), 40)
	assert.GreaterOrEqual(t, published, 25)
}

func TestVerdicts(t *testing.T) {
	read, memory := Source{"a table", "read", ""}, Source{"a table", "memory", ""}
	for _, c := range []struct {
		name string
		line Line
		want Verdict
	}{
		{"within", topic{"s", "m"}.relative("q", 2, 2.01, 0.01, read), Pass},
		{"at the edge", topic{"s", "m"}.absolute("q", 2, 2.5, 0.5, read), Pass},
		{"below", topic{"s", "m"}.relative("q", 2, 1.97, 0.01, read), Fail},
		{"beyond", topic{"s", "m"}.absolute("q", 2, 2.51, 0.5, read), Fail},
		{"from memory", topic{"s", "m"}.relative("q", 2, 3, 0.01, memory), Shown},
		{"no tolerance", topic{"s", "m"}.relative("q", 2, 3, noTolerance, read), Shown},
		{"not a number", topic{"s", "m"}.relative("q", 2, math.NaN(), 0.01, read), Fail},
		{"not a number, from memory", topic{"s", "m"}.relative("q", 2, math.NaN(), 0.01, memory), Fail},
		{"infinite", topic{"s", "m"}.relative("q", 0, 1, 0.01, read), Fail},
	} {
		assert.Equal(t, c.want, c.line.Verdict, c.name)
	}
}

func TestGroupsRunAlone(t *testing.T) {
	lines, err := Run(context.Background(), "measured", "standards")
	require.NoError(t, err)
	seen := []string{lines[0].Group}
	for _, l := range lines {
		if l.Group != seen[len(seen)-1] {
			seen = append(seen, l.Group)
		}
	}
	assert.Equal(t, []string{"standards", "measured"}, seen, "in the order of the program, not of the asking")

	_, err = Run(context.Background(), "no such")
	assert.EqualError(t, err, `unknown group "no such"; there are exact, tables, standards, measured, solvers, practice, controls, grid, balance`)

	ended, end := context.WithCancel(context.Background())
	end()
	_, err = Run(ended)
	assert.ErrorIs(t, err, context.Canceled)
}

// The slow mode of two nodes by the determinant of their matrix.
func TestSlowestMode(t *testing.T) {
	const water, wall, inner, outer = 1295.0, 263.0, 8.6, 0.5
	rate := slowest(water, wall, inner, outer)
	determinant := (inner/water-rate)*((inner+outer)/wall-rate) - inner/water*inner/wall
	assert.InDelta(t, 0, determinant/(inner/wall*inner/wall), 1e-9)
	assert.False(t, math.IsNaN(determinant))
	// Slower than all heat through the outer film alone, by the film inside.
	assert.Less(t, rate, outer/(water+wall))
}

func ExampleRun() {
	lines, err := Run(context.Background(), "measured")
	if err != nil {
		fmt.Println(err)
		return
	}
	l := lines[0]
	fmt.Printf("%s, %s: %.0f published, %.1f computed, %s\n%s (%s)\n", l.Subject, l.Quantity, l.Published, l.Computed, l.Verdict, l.Title, l.Status)
	// Output:
	// time to cool from 120 to 105 °F, copper L 1/2, bare: 10 published, 9.2 computed, pass
	// CPC/UPC 609.11 explanatory text (read)
}

func BenchmarkRun(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Run(context.Background()); err != nil {
			b.Fatal(err)
		}
	}
}
