package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pipelag/schedules"
	"pipelag/sim/pipework"
)

// To look at a day changes nothing of it: the books and the pipes are those of
// a day that nobody watched.
func TestWatchingChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := anyHouse(t)
		p, err := newPlant(h, &h.Layouts[0], pipework.Model{Grid: 1})
		if err != nil {
			t.Fatal(err)
		}
		before, watched := anyWishes(t, 0, len(h.Fixtures)), anyWishes(t, 1, len(h.Fixtures))
		plain := lived(t, p, [][]schedules.Wish{before, watched})

		// An event within an instant of a look is brought forward to it; no look is at a
		// round time, as events are.
		o := WatchOptions{Day: 1, Seed: 7, Every: rapid.Float64Range(200, 3599).Draw(t, "every") + math.Pi/10}
		y := newYear(p, 7, 0)
		require.NoError(t, y.day(0, before))
		var w Watch
		require.NoError(t, w.live(y, o, watched))
		y.runTo(2 * Day)
		require.NoError(t, y.finish())
		require.Equal(t, plain.ledger, y.ledger)
		for i := range h.Layouts[0].Network.Pipes {
			require.Equal(t, plain.Water(i), y.Water(i))
		}
		require.Len(t, w.Temperature, len(w.Time))
	})
}
