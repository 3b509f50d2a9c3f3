package studies

import (
	"context"
	"runtime"
	"syscall"
	"testing"
	"time"

	"pipelag/sim"
	"pipelag/studies/store"
)

// BenchmarkStudy runs a study on one core and on two, and its years by themselves,
// in turn. It tells how many times as fast two are, how much more processor time
// they take than one, and how much more one takes than the years: what a study
// costs beside its simulations.
func BenchmarkStudy(b *testing.B) {
	c := load(b, "samples: 5", "samples: 32", "replicates: 2", "replicates: 4")
	study := func() error {
		f, err := store.Open(b.TempDir(), manifest(b, c))
		if err != nil {
			return err
		}
		return Run(context.Background(), c, f, Options{})
	}
	years := func() error {
		for i := range c.Count {
			h, err := c.house(i)
			if err != nil {
				return err
			}
			for r := range c.Study.Replicates {
				if _, err := sim.Run(context.Background(), &h.House, sim.Options{Seed: c.Seed(i, r), Years: 1, Workers: 1}); err != nil {
					return err
				}
			}
		}
		return nil
	}
	var alone, one, two took
	for range b.N {
		alone.add(b, 1, years)
		one.add(b, 1, study)
		two.add(b, 2, study)
	}
	b.ReportMetric(float64(one.wall)/float64(two.wall), "times-as-fast-on-2")
	b.ReportMetric(100*(float64(two.processor)/float64(one.processor)-1), "%-more-processor-on-2")
	b.ReportMetric(100*(float64(one.processor)/float64(alone.processor)-1), "%-beside-simulations")
}

// took is the time that something took.
type took struct{ wall, processor time.Duration }

func (t *took) add(b *testing.B, cores int, run func() error) {
	b.Helper()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	processor := func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			b.Fatal(err)
		}
		return time.Duration(u.Utime.Nano() + u.Stime.Nano())
	}
	began, before := time.Now(), processor()
	if err := run(); err != nil {
		b.Fatal(err)
	}
	t.wall += time.Since(began)
	t.processor += processor() - before
}
