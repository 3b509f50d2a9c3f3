package published

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/schedules"
)

func TestTablesAreWhole(t *testing.T) {
	for u := range schedules.Use(schedules.Uses) {
		sum := 0.0
		for _, share := range Hours(u).Hours {
			require.Positive(t, share)
			sum += share
		}
		check.Within(t, 1, sum, 1e-12)
		e := Events(u)
		for _, v := range []float64{e.Duration, e.DurationSD, e.Flow, e.FlowSD, e.Volume, e.PerDay, e.PerCluster} {
			require.Positive(t, v)
		}
		for _, s := range []Source{e.Source, Hours(u).Source, Volumes(Rated, u).Source, Volumes(Benchmark, u).Source} {
			require.NotEmpty(t, s.Title)
			require.Contains(t, []string{"read", "memory", "derived", "computed"}, s.Status)
		}
	}
	for _, shares := range [][]Share{Gaps(), ShortDraws(), SmallDraws()} {
		for i, s := range shares {
			require.True(t, s.Share > 0 && s.Share < 1)
			if i > 0 {
				require.True(t, s.Limit > shares[i-1].Limit && s.Share > shares[i-1].Share)
			}
		}
	}
}

// House Simulation Protocols 2014, Table 11 at three bedrooms (read): shower
// 106.0, bath 26.5, sinks 94.6, clothes washer 17.8, dishwasher 17.1 L/day; in all 262.
func TestBenchmarkVolumes(t *testing.T) {
	sum := 0.0
	for use, want := range map[schedules.Use]float64{
		schedules.Shower: 106.0, schedules.Bath: 26.5, schedules.Kitchen: 94.6,
		schedules.ClothesWasher: 17.8, schedules.Dishwasher: 17.1,
	} {
		got := Volumes(Benchmark, use).At(3) * 1000
		check.Within(t, want, got, 0.1)
		sum += got
	}
	check.Within(t, 262, sum, 0.5)
}

// ANSI/RESNET/ICC 301 (read): refFgpd = 14.6 + 10.0 Nbr, 55.3 + 37.9 Nbr L/day.
func TestRatedVolumes(t *testing.T) {
	for bedrooms := range 6 {
		n := float64(bedrooms)
		sum := 0.0
		for _, u := range []schedules.Use{schedules.Shower, schedules.Bath, schedules.Kitchen} {
			sum += Volumes(Rated, u).At(n) * 1000
		}
		check.Within(t, 55.3+37.9*n, sum, 0.3)
	}
	// The machines' lines are from memory: this holds the table to its formula.
	n := 3.0
	check.Within(t, (88.4+34.9*n)*8.16/365, Volumes(Rated, schedules.Dishwasher).At(n)/gallon, 1e-4)
	check.Within(t, 4.52*(164+46.5*n)*((3*2.08+1.59)/(2.874*2.08+1.59))/365, Volumes(Rated, schedules.ClothesWasher).At(n)/gallon, 1e-4)
}
