package household

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"pipelag/internal/reference"
	"pipelag/schedules"
	"pipelag/schedules/published"
)

// Means of used volume against testdata/daily_volumes.csv, in standard errors
// of the sample. The seed is fixed; four standard errors were chosen beforehand.
func TestVolumesArePublished(t *testing.T) {
	totals := map[string]Total{"rated": Rated, "benchmark": Benchmark}
	groups := map[string][]schedules.Use{
		"fixtures": {schedules.Shower, schedules.Bath, schedules.Kitchen, schedules.Lavatory},
		"sinks":    {schedules.Kitchen, schedules.Lavatory},
		"shower":   {schedules.Shower}, "bath": {schedules.Bath},
		"dishwasher": {schedules.Dishwasher}, "clothes washer": {schedules.ClothesWasher},
	}
	type key struct {
		total    string
		bedrooms int
	}
	measured := map[key][][schedules.Uses]float64{}
	for line, row := range reference.Rows(t, "testdata/daily_volumes.csv") {
		t.Run(row["total"]+" "+row["group"]+" "+row["bedrooms"], func(t *testing.T) {
			bedrooms, want := int(row.Number(t, "bedrooms")), row.Number(t, "gal_per_day")
			k := key{row["total"], bedrooms}
			if measured[k] == nil {
				h := mustNew(t, Config{People: bedrooms + 1, Fixtures: home, Total: totals[row["total"]]})
				measured[k] = yearlyVolumes(h, uint64(100+line), 30)
			}
			mean, square, n := 0.0, 0.0, float64(len(measured[k]))
			for _, year := range measured[k] {
				sum := 0.0
				for _, u := range groups[row["group"]] {
					sum += year[u] / (gpm * 60)
				}
				mean += sum / n
				square += sum * sum / n
			}
			stderr := math.Sqrt((square - mean*mean) / (n - 1))
			z := (mean - want) / stderr
			t.Logf("%.2f gal/day, published %.2f, z = %.2f", mean, want, z)
			require.Less(t, math.Abs(z), 4.0)
			require.Less(t, stderr/want, 0.04, "the sample must be large enough to tell")
		})
	}
}

// yearlyVolumes is the mean daily volume of each use in each year [m³/d].
func yearlyVolumes(h *Household, seed uint64, years int) [][schedules.Uses]float64 {
	volumes := make([][schedules.Uses]float64, years)
	var wishes []schedules.Wish
	for r := range years {
		y := h.Year(seed, r)
		for d := range schedules.DaysPerYear {
			wishes = y.Day(d, wishes[:0])
			for _, w := range wishes {
				volumes[r][w.Use] += (w.Volume + w.Flow*w.Duration) / schedules.DaysPerYear
			}
		}
	}
	return volumes
}

// Counts of draws are what the published volumes and the volumes of a draw make
// of them (both in published/), for every size of household, in standard errors of
// forty years; four were chosen beforehand. Unscaled, they are the published counts,
// which are from memory: that part holds the arithmetic only.
func TestCounts(t *testing.T) {
	for _, c := range []struct {
		name string
		Config
	}{
		{"one, rated", Config{People: 1}},
		{"two, rated", Config{People: 2}},
		{"four, rated", Config{People: 4}},
		{"six, rated", Config{People: 6}},
		{"two, benchmark", Config{People: 2, Total: Benchmark}},
		{"five, benchmark", Config{People: 5, Total: Benchmark}},
		{"three, unscaled", Config{People: 3, Total: Unscaled}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.Fixtures = home
			h := mustNew(t, c.Config)
			const years = 40
			var counts [schedules.Uses][years]float64
			var wishes []schedules.Wish
			for r := range years {
				y := h.Year(9, r)
				for d := range schedules.DaysPerYear {
					wishes = y.Day(d, wishes[:0])
					for _, w := range wishes {
						u := w.Use
						if u == schedules.Lavatory {
							u = schedules.Kitchen // published together
						}
						counts[u][r] += 1. / schedules.DaysPerYear
					}
				}
			}
			for u := range schedules.Uses {
				use := schedules.Use(u)
				if use == schedules.Lavatory {
					continue
				}
				want := published.Events(use).PerDay
				publication := map[Total]published.Publication{Rated: published.Rated, Benchmark: published.Benchmark}[c.Total]
				if c.Total != Unscaled {
					want = published.Volumes(publication, use).At(float64(c.People-1)) / drawVolume(use, c.Total)
				}
				mean, sd := stat.MeanStdDev(counts[u][:], nil)
				stderr := sd / math.Sqrt(years)
				t.Logf("%s: %.3f ± %.3f a day, expected %.3f", use, mean, stderr, want)
				require.Less(t, math.Abs(mean-want), 4*stderr)
				require.Less(t, stderr, 0.05*want, "the sample must be large enough to tell")
			}
		})
	}
}

// wave is mains of 13.0 °C that swing by 5.2 K, coldest in February: those of UK SAP
// 10.2 Table J1 (read).
type wave struct{}

func (wave) At(t float64) float64 {
	return 13 - 5.2*math.Cos(2*math.Pi*(t/dayLength-45)/schedules.DaysPerYear)
}

type fixed float64

func (f fixed) At(float64) float64 { return float64(f) }

// People use more in winter and as much in a year; machines know no season.
func TestSeason(t *testing.T) {
	thirds := func(c Config) (cold, warm, machines float64) {
		var wishes []schedules.Wish
		for r := range 20 {
			y := mustNew(t, c).Year(4, r)
			for d := range schedules.DaysPerYear {
				wishes = y.Day(d, wishes[:0])
				for _, w := range wishes {
					switch since := (d - 45 + schedules.DaysPerYear) % schedules.DaysPerYear; {
					case w.Use >= schedules.Dishwasher:
						machines++
					case since < 61 || since >= schedules.DaysPerYear-61:
						cold++
					case since >= 122 && since < 244:
						warm++
					}
				}
			}
		}
		return cold, warm, machines
	}
	coldWith, warmWith, machinesWith := thirds(Config{People: 4, Fixtures: home, Mains: wave{}})
	cold, warm, machines := thirds(Config{People: 4, Fixtures: home, Mains: fixed(13)})
	// Over a third of the year the wave's mean is 0.827 of its height. The same random numbers
	// make both, so little is left to chance.
	const swing = seasonPerKelvin * 5.2 * 0.827
	require.InDelta(t, 1+swing, coldWith/cold, swing/4)
	require.InDelta(t, 1-swing, warmWith/warm, swing/4)
	require.Equal(t, machines, machinesWith)
	sum := 0.0
	for _, f := range mustNew(t, Config{People: 4, Fixtures: home, Mains: wave{}}).season {
		sum += f
	}
	require.InDelta(t, schedules.DaysPerYear, sum, 1e-3)
	_, err := New(Config{People: 4, Fixtures: home, Mains: fixed(math.NaN())})
	require.ErrorContains(t, err, "mains: NaN")
}
