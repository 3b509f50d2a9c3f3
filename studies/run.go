package studies

import (
	"context"
	"runtime"
	"slices"
	"sync"

	"pipelag/internal/fault"
	"pipelag/sim"
	"pipelag/studies/store"
)

// Options say how to run a study's cases.
type Options struct {
	Workers   int                  // 0 for one on each core; the results are the same with any number
	Precision *sim.Precision       // at which a case has replicates enough; nil to make all
	Progress  func(done, runs int) // called with how many of the runs are done; nil for nobody
}

// batch is how many replicates pass between two looks at the precision.
const batch = 4

// Run makes what the folder lacks of the cases. It may be stopped at any moment:
// what is in the folder is whole, and the next Run goes on from there. A run that
// fails is kept with its cause and stops nothing.
func Run(ctx context.Context, c *Cases, f *store.Folder, o Options) error {
	r := &runner{Options: o, cases: c, folder: f}
	parts, err := f.Missing(r.enough)
	if err != nil {
		return err
	}
	if r.Workers <= 0 {
		r.Workers = runtime.GOMAXPROCS(0)
	}
	r.slots, r.turn, r.ahead = make(chan struct{}, r.Workers), make(chan struct{}, 1), make(chan struct{}, 4*r.Workers)
	for _, p := range parts {
		r.runs += (p.Last - p.First + 1) * f.Manifest.Replicates
	}
	ctx, r.stop = context.WithCancelCause(ctx)
	defer r.stop(nil)
	for _, p := range parts {
		if err := r.begin(ctx, p); err != nil {
			r.stop(err)
			break
		}
	}
	r.crew.Wait()
	if err := context.Cause(ctx); err != nil {
		return err
	}
	return f.Settle()
}

// runner has cases made in order, a few at a time, and pieces written as they
// fill.
type runner struct {
	Options
	cases  *Cases
	folder *store.Folder
	slots  chan struct{} // one for each simulation at a time
	turn   chan struct{} // of the case that takes slots, so that cases end one after another and little is lost with a study that is killed
	ahead  chan struct{} // one for each case begun and not finished, so that few wait in memory
	crew   sync.WaitGroup
	stop   context.CancelCauseFunc

	lock       sync.Mutex
	done, runs int
}

// enough tells whether a case's runs are all that are wanted.
func (r *runner) enough(runs []store.Run) bool {
	return len(runs) >= r.folder.Manifest.Replicates || r.Precision != nil && len(runs) > 0 && len(runs)%batch == 0 && precise(runs, r.Precision)
}

// filling is a piece whose cases are being made.
type filling struct {
	part store.Part
	runs [][]store.Run // by case
	left int
}

// begin sets a part's cases going, as soon as there is room for each.
func (r *runner) begin(ctx context.Context, p store.Part) error {
	have, err := r.folder.Have(p)
	if err != nil {
		return err
	}
	n := p.Last - p.First + 1
	f := &filling{part: p, runs: make([][]store.Run, n), left: n}
	for _, runs := range store.Cases(have) {
		f.runs[runs[0].Case-p.First] = runs
	}
	for k := range n {
		if !acquire(ctx, r.ahead) {
			return nil
		}
		r.crew.Go(func() {
			defer func() { <-r.ahead }()
			if err := r.fill(ctx, f, k); err != nil {
				r.stop(err)
			}
		})
	}
	return nil
}

// fill makes one of a piece's cases, in a goroutine of its own.
func (r *runner) fill(ctx context.Context, f *filling, k int) (err error) {
	defer fault.Catch(&err)
	runs, err := r.oneCase(ctx, f.part.First+k, f.runs[k])
	if err != nil {
		return err
	}
	return r.deliver(f, k, runs)
}

// deliver takes in a case's runs and writes the piece with its last one.
func (r *runner) deliver(f *filling, k int, runs []store.Run) error {
	r.lock.Lock()
	f.runs[k] = runs
	f.left--
	last := f.left == 0
	r.lock.Unlock()
	if !last {
		return nil
	}
	return r.folder.Fill(f.part, slices.Concat(f.runs...))
}

// oneCase makes the replicates that a case lacks.
func (r *runner) oneCase(ctx context.Context, i int, runs []store.Run) ([]store.Run, error) {
	replicates := r.folder.Manifest.Replicates
	r.tell(len(runs))
	if !r.enough(runs) {
		if !acquire(ctx, r.slots) {
			return nil, context.Cause(ctx)
		}
		h, unfit := r.cases.house(i)
		<-r.slots
		for !r.enough(runs) {
			count := replicates - len(runs)
			if r.Precision != nil {
				count = min(count, batch-len(runs)%batch)
			}
			more, err := r.years(ctx, h, unfit, i, len(runs), count)
			if err != nil {
				return nil, err
			}
			runs = append(slices.Clip(runs), more...)
		}
	}
	r.tell(replicates - len(runs)) // those that precision spares
	return runs, nil
}

// years simulates count replicates of a case, side by side as there is room.
func (r *runner) years(ctx context.Context, h *house, unfit error, i, first, count int) ([]store.Run, error) {
	more, failures := make([]store.Run, count), make([]error, count)
	if !acquire(ctx, r.turn) {
		return nil, context.Cause(ctx)
	}
	var crew sync.WaitGroup
	for k := range more {
		if !acquire(ctx, r.slots) {
			failures[k] = context.Cause(ctx)
			break
		}
		crew.Go(func() {
			defer func() { <-r.slots }()
			defer fault.Catch(&failures[k])
			more[k], failures[k] = r.cases.year(ctx, h, unfit, i, first+k)
			r.tell(1)
		})
	}
	<-r.turn
	crew.Wait()
	for _, err := range failures {
		if err != nil {
			return nil, err
		}
	}
	return more, nil
}

func (r *runner) tell(more int) {
	r.lock.Lock()
	defer r.lock.Unlock()
	r.done += more
	if r.Progress != nil {
		r.Progress(r.done, r.runs)
	}
}

// acquire waits for room; false if the study is stopped first.
func acquire(ctx context.Context, room chan struct{}) bool {
	select {
	case <-ctx.Done():
		return false
	case room <- struct{}{}:
	}
	if ctx.Err() != nil {
		<-room
		return false
	}
	return true
}
