package sim

import (
	"context"
	"errors"
	"strings"
	"testing"

	"pipelag/internal/fault"
	"pipelag/schedules"
)

// stray is a household that on one day wants water of a fixture that is not there,
// which no schedule may.
type stray struct{}

func (stray) Year(uint64, int) schedules.Year { return stray{} }

func (stray) Day(d int, into []schedules.Wish) []schedules.Wish {
	if d == 100 {
		into = append(into, schedules.Wish{Fixture: 7, Start: 100 * 86400, Flow: 1e-4, Duration: 60})
	}
	return into
}

// TestFault: a panic in a worker is an error of the run.
func TestFault(t *testing.T) {
	h := bench(t, "PEX", "1/2", 10, 20, 50)
	h.Schedule = stray{}
	for _, workers := range []int{1, 3} {
		_, err := Run(context.Background(), h, Options{Years: 9, Workers: workers})
		if !errors.Is(err, fault.Err) || !strings.HasPrefix(err.Error(), `layout "bench", year 1: `) || !strings.Contains(err.Error(), "index out of range [7] with length 1; at sim/") {
			t.Errorf("%v", err)
		}
	}
}
