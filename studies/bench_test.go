package studies

import (
	"context"
	"testing"

	"pipelag/sim"
	"pipelag/studies/store"
)

// BenchmarkStudy runs a study on one worker and BenchmarkYears the same years by
// themselves: what the one takes longer is what a study costs.
func BenchmarkStudy(b *testing.B) {
	b.ReportAllocs()
	c := load(b, "samples: 5", "samples: 32", "replicates: 2", "replicates: 4")
	for range b.N {
		f, err := store.Open(b.TempDir(), manifest(b, c))
		if err == nil {
			err = Run(context.Background(), c, f, Options{Workers: 1})
		}
		if err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkYears(b *testing.B) {
	b.ReportAllocs()
	c := load(b, "samples: 5", "samples: 32", "replicates: 2", "replicates: 4")
	for range b.N {
		for i := range c.Count {
			h, err := c.house(i)
			if err != nil {
				b.Fatal(err)
			}
			for r := range 4 {
				if _, err := sim.Run(context.Background(), &h.House, sim.Options{Seed: c.Seed(i, r), Years: 1, Workers: 1}); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
}
