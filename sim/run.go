package sim

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"pipelag/internal/fault"
	"pipelag/schedules"
	"pipelag/sim/pipework"
)

// Options say how to run a house.
type Options struct {
	Seed         uint64
	Years        int           // replicates; with Precision, the most
	Grid         pipework.Grid // 0 for each layout's default
	Cells        int           // to the largest way to a tap of each layout, in place of Grid; 0 to leave it at that
	NoDispersion bool          // leaves axial dispersion out
	Workers      int           // 0 for one on each core; the answer is the same with any number
	Precision    *Precision    // nil to run all years
	Progress     func(years int)

	// Year is told the annual numbers of every layout, in their order, as each
	// replicate year is done, in the order of years; an error of it ends the run. Nil
	// where nobody asks.
	Year func(layouts []Values) error
}

// Precision is how well a difference must be known. Looking at an interval to decide
// when to stop catches it where it happens to be narrow: of two layouts whose difference
// is normally distributed it then holds the truth in 92 to 95 of 100 runs (computed; the
// fewest where the half-width asked is half the spread of a year).
type Precision struct {
	Quantity  Quantity
	HalfWidth float64 // of the 95 % interval of every layout's difference from the first, in SI
}

// batch is how many replicates pass between two looks at the precision. It does
// not depend on the number of workers, so neither does the answer.
const batch = 4

// Run lives through replicate years of every layout and compares them. Every
// layout meets the same wishes. It stops early, with an error, when ctx ends. A
// panic, its own or a worker's, is an error too: a fault.Err.
func Run(ctx context.Context, h *House, o Options) (_ *Result, err error) {
	defer fault.Catch(&err)
	if len(h.Layouts) == 0 {
		return nil, errors.New("there is no layout to run")
	}
	if o.Years < 1 {
		return nil, fmt.Errorf("%d years; there must be one at least", o.Years)
	}
	plants := make([]*plant, len(h.Layouts))
	short := make([][]Shortfall, len(h.Layouts))
	for i := range h.Layouts {
		grid := o.Grid
		if o.Cells > 0 {
			grid = pipework.CellsGrid(h.Layouts[i].Network, o.Cells)
		}
		p, err := newPlant(h, &h.Layouts[i], pipework.Model{Grid: grid, NoDispersion: o.NoDispersion})
		if err != nil {
			return nil, fmt.Errorf("layout %q: %w", h.Layouts[i].Network.Name, err)
		}
		plants[i] = p
		if short[i], err = Shortfalls(h, &h.Layouts[i]); err != nil {
			return nil, fmt.Errorf("layout %q: %w", h.Layouts[i].Network.Name, err)
		}
	}
	c := newComparison(h, short)
	for c.years < o.Years {
		count := o.Years - c.years
		if o.Precision != nil {
			count = min(count, batch)
		}
		if err := c.extend(ctx, plants, o, count); err != nil {
			return nil, err
		}
		if o.Precision != nil && c.known(o.Precision) {
			break
		}
	}
	r := c.result()
	r.Seed = o.Seed
	if o.Cells != pipework.DefaultCells {
		r.Cells = o.Cells
	}
	if o.Precision != nil && !c.known(o.Precision) {
		r.Warnings = append(r.Warnings, fmt.Sprintf("After %d years the differences in %s are still not known as well as asked.", c.years, o.Precision.Quantity.Key()))
	}
	return r, nil
}

// outcome is what one replicate gave for one layout.
type outcome struct {
	ledger *ledger
	waits  []histogram
	err    error
}

// extend adds count replicates. Workers take pieces of replicates in turn and
// finish in any order; they are added up in the order of replicates.
func (c *comparison) extend(ctx context.Context, plants []*plant, o Options, count int) error {
	workers := o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	// One replicate's layouts share its wishes, but where replicates are fewer
	// than workers they are split.
	pieces := min(max(1, workers/count), len(plants))
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()

	type piece struct{ replicate, part int }
	todo := make(chan piece)
	finished := make(chan piece)
	// A replicate may be this far ahead of the oldest that is not finished, so
	// that few outcomes wait to be added.
	ahead := make(chan struct{}, 2*workers+1)
	outcomes := make(map[int][]outcome)
	var lock sync.Mutex
	var crew sync.WaitGroup
	for range workers {
		crew.Go(func() {
			for p := range todo {
				var mine []*plant
				for i := p.part; i < len(plants); i += pieces {
					mine = append(mine, plants[i])
				}
				got, err := live(ctx, mine, o.Seed, p.replicate)
				if err != nil {
					got = slices.Repeat([]outcome{{err: err}}, len(mine))
				}
				lock.Lock()
				all := outcomes[p.replicate]
				for k := range got {
					all[p.part+k*pieces] = got[k]
				}
				lock.Unlock()
				finished <- p
			}
		})
	}
	first := c.years
	go func() {
		defer close(todo)
		for r := first; r < first+count; r++ {
			ahead <- struct{}{}
			lock.Lock()
			outcomes[r] = make([]outcome, len(plants))
			lock.Unlock()
			for part := range pieces {
				todo <- piece{r, part}
			}
		}
	}()

	missing := make(map[int]int)
	var failure error
	for range count * pieces {
		p := <-finished
		missing[p.replicate]++
		for missing[c.years] == pieces {
			lock.Lock()
			got := outcomes[c.years]
			delete(outcomes, c.years)
			lock.Unlock()
			delete(missing, c.years)
			annual, err := c.add(got)
			if err == nil && o.Year != nil && failure == nil {
				err = o.Year(annual)
			}
			if err != nil && failure == nil {
				failure = err
				cancel() // the other workers have nothing more to find out
			}
			<-ahead
			if o.Progress != nil && failure == nil {
				o.Progress(c.years)
			}
		}
	}
	crew.Wait()
	return failure
}

// live takes some layouts through one replicate year, side by side, so that
// each day's wishes are drawn once. An error is that of all of them.
func live(ctx context.Context, plants []*plant, seed uint64, replicate int) (outcomes []outcome, err error) {
	defer fault.Catch(&err)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	years := make([]*year, len(plants))
	outcomes = make([]outcome, len(plants))
	for i, p := range plants {
		years[i] = newYear(p, seed, replicate)
	}
	calendar := plants[0].house.Schedule.Year(seed, replicate)
	var wishes []schedules.Wish
	for d := range schedules.DaysPerYear {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		wishes = calendar.Day(d, wishes[:0])
		for i, y := range years {
			if outcomes[i].err == nil {
				outcomes[i].err = y.day(d, wishes)
			}
		}
	}
	for i, y := range years {
		if outcomes[i].err == nil {
			outcomes[i].err = y.finish()
		}
		outcomes[i].ledger, outcomes[i].waits = y.ledger, y.waits
	}
	return outcomes, nil
}
