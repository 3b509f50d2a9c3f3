package main

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"pipelag/sim"
	"pipelag/units"
)

// compared is an outcome of layouts a, b, c, … that differ from a in purged
// water [L] and cost by so much, give or take a tenth of it or, where loose, twice.
func compared(loose bool, differences ...[2]float64) *outcome {
	r := &sim.Result{Years: 10, Currency: "USD", Layouts: make([]sim.LayoutResult, 1+len(differences))}
	about := func(mean float64) sim.Interval {
		half := mean / 10
		if loose {
			half = 2 * mean
		}
		if mean < 0 {
			half = -half
		}
		return sim.Interval{Mean: mean, Low: mean - half, High: mean + half}
	}
	for i := range r.Layouts {
		r.Layouts[i].Name = string(rune('a' + i))
	}
	r.Layouts[0].Annual[sim.Wait] = about(36000)
	r.Layouts[0].Annual[sim.Purged] = about(8)
	r.Layouts[0].Annual[sim.Cost] = about(400)
	for i, d := range differences {
		x := sim.Difference{Layout: r.Layouts[1+i].Name, Against: "a"}
		x.Annual[sim.Purged], x.Annual[sim.Cost] = about(d[0]/1000), about(d[1])
		r.Differences = append(r.Differences, x)
	}
	return &outcome{Result: r}
}

// crossed lets layouts return through the cold line.
func (o *outcome) crossed(layouts ...int) *outcome {
	for _, i := range layouts {
		o.Layouts[i].Crossover = &sim.CrossoverResult{}
	}
	return o
}

// heard is the answer with plain spaces.
func (o *outcome) heard() []string {
	said := o.answer(units.SI)
	for i := range said {
		said[i] = strings.ReplaceAll(said[i], "\u00a0", " ")
	}
	return said
}

// Of layouts with a crossover and without, only those like the first are held
// against it.
func TestAnswerKeepsCrossoversApart(t *testing.T) {
	three := func() *outcome {
		return compared(false, [2]float64{-2000, -30}, [2]float64{-10, 5}, [2]float64{-3000, -40})
	}
	unlike := func(names string) string {
		return "Not held against “a”: " + names + "; a cold line with a crossover takes up heat of its surroundings, which is left out where there is no crossover."
	}
	const b = "“b” both costs least and wastes least water: it costs 30 ± 3 USD less and lets 2000 ± 200 L less run to waste."
	for name, c := range map[string]struct {
		of   *outcome
		want []string
	}{
		"the best":   {three().crossed(3), []string{"Of the 2 others that may be held against it " + b, unlike("“d”")}},
		"the first":  {three().crossed(0, 1, 2), []string{"Of the 2 others that may be held against it " + b, unlike("“d”")}},
		"all":        {three().crossed(0, 1, 2, 3), []string{"Of the 3 others “d” both costs least and wastes least water: it costs 40 ± 4 USD less and lets 3000 ± 300 L less run to waste."}},
		"all others": {three().crossed(1, 2, 3), []string{"The year’s water and energy cost 400 ± 40 USD; the heater takes 0 kWh, and the pipes lose 0 kWh.", unlike("“b”, “c”, “d”")}},
		"but one":    {three().crossed(1, 3), []string{"“c” against that: it costs 5.0 ± 0.5 USD more and lets 10.0 ± 1.0 L less run to waste.", unlike("“b”, “d”")}},
	} {
		t.Run(name, func(t *testing.T) {
			if said := c.of.heard()[1:]; !slices.Equal(said, c.want) {
				t.Errorf("said %q, want %q", said, c.want)
			}
		})
	}
}

// short lets fixtures of a layout get so many L/s less than the 0.1 that they are
// rated for.
func (o *outcome) short(layout int, less float64) *outcome {
	o.Layouts[layout].Shortfalls = append(o.Layouts[layout].Shortfalls, sim.Shortfall{Fixture: "tub", Rated: 0.1, Passed: 0.1 - less})
	return o
}

// A layout that serves less than another is not named, whatever it saves; one that
// serves as little as all others do is.
func TestAnswerWithoutLayoutsThatServeLess(t *testing.T) {
	three := func() *outcome { return compared(false, [2]float64{-2000, -30}, [2]float64{-3000, -40}) }
	const b = "“b” against that: it costs 30 ± 3 USD less and lets 2000 ± 200 L less run to waste."
	const out = "Left out of the running, since fixtures get less water at the pressure there is than with another layout: "
	for name, c := range map[string]struct {
		of   *outcome
		want []string
	}{
		"one":          {three().short(2, 0.05), []string{b, out + "“c”."}},
		"all others":   {three().short(1, 0.02).short(2, 0.05), []string{"The year’s water and energy cost 400 ± 40 USD; the heater takes 0 kWh, and the pipes lose 0 kWh.", out + "“b”, “c”."}},
		"all":          {three().short(0, 0.05).short(1, 0.05).short(2, 0.05), []string{"Of the 2 others “c” both costs least and wastes least water: it costs 40 ± 4 USD less and lets 3000 ± 300 L less run to waste."}},
		"the least":    {three().short(0, 0.02).short(1, 0.02).short(2, 0.05), []string{b, out + "“c”."}},
		"the first":    {three().short(0, 0.05).short(2, 0.05), []string{"No other is held against “a”: with it fixtures get less water at the pressure there is than with another layout."}},
		"two in three": {compared(false, [2]float64{-2000, -30}, [2]float64{-10, 5}, [2]float64{-9000, -90}).short(3, 0.05), []string{"Of the 2 others that may be held against it “b” both costs least and wastes least water: it costs 30 ± 3 USD less and lets 2000 ± 200 L less run to waste.", out + "“d”."}},
	} {
		t.Run(name, func(t *testing.T) {
			if said := c.of.heard()[1:]; !slices.Equal(said, c.want) {
				t.Errorf("said %q, want %q", said, c.want)
			}
		})
	}
}

func TestAnswer(t *testing.T) {
	const first = "With “a” people wait 10.0 ± 1.0 h a year for usable hot water while 8000 ± 800 L run to waste (means of 10 simulated years, ± half their 95 % interval)."
	for name, c := range map[string]struct {
		of   *outcome
		want string
	}{
		"alone":          {compared(false), "The year’s water and energy cost 400 ± 40 USD; the heater takes 0 kWh, and the pipes lose 0 kWh."},
		"one other":      {compared(false, [2]float64{-2000, 30}), "“b” against that: it costs 30 ± 3 USD more and lets 2000 ± 200 L less run to waste."},
		"best in both":   {compared(false, [2]float64{-2000, -30}, [2]float64{-10, 5}), "Of the 2 others “b” both costs least and wastes least water: it costs 30 ± 3 USD less and lets 2000 ± 200 L less run to waste."},
		"best in one":    {compared(false, [2]float64{-2000, 30}, [2]float64{500, -40}), "Of the 2 others “c” costs least: it costs 40 ± 4 USD less and lets 500 ± 50 L more run to waste; “b” wastes least water: it costs 30 ± 3 USD more and lets 2000 ± 200 L less run to waste."},
		"may be chance":  {compared(true, [2]float64{-2000, 30}), "“b” against that: it costs 30 ± 60 USD more (which may be chance) and lets 2000 ± 4000 L less (which may be chance) run to waste."},
		"no differences": {compared(false, [2]float64{0, 0}), "“b” against that: it costs the same and lets the same run to waste."},
		"none for three": {compared(false, [2]float64{0, 0}, [2]float64{0, 0}), "Of the 2 others none costs or wastes less than another: it costs the same and lets the same run to waste."},
		"one of each":    {compared(false, [2]float64{-2000, -30}, [2]float64{-2000.01, -30}), "Of the 2 others none costs or wastes less than another: it costs 30 ± 3 USD less and lets 2000 ± 200 L less run to waste."},
		"next to none":   {compared(false, [2]float64{0.02, 0.0001}), "“b” against that: it costs the same and lets the same run to waste."},
		"cost alone":     {compared(false, [2]float64{0, 0}, [2]float64{0, -40}), "Of the 2 others “c” costs least: it costs 40 ± 4 USD less and lets the same run to waste."},
		"water alone":    {compared(false, [2]float64{-2000, 0}, [2]float64{0, 0}), "Of the 2 others “b” wastes least water: it costs the same and lets 2000 ± 200 L less run to waste."},
	} {
		t.Run(name, func(t *testing.T) {
			said := c.of.heard()
			if len(said) != 2 || said[1] != c.want {
				t.Errorf("said %q, want %q", said[1], c.want)
			}
			if name != "may be chance" && said[0] != first {
				t.Errorf("said %q", said[0])
			}
		})
	}
}

// TestChange: a difference that its interval's digits round to none is none within that.
func TestChange(t *testing.T) {
	for want, i := range map[string]sim.Interval{
		"the same within ±\u00a03\u00a0USD":                   {Mean: -0.25, Low: -3.25, High: 2.75},
		"1\u00a0±\u00a03\u00a0USD less (which may be chance)": {Mean: -0.75, Low: -3.75, High: 2.25},
		"the same": {Mean: 0, Low: 0, High: 0},
	} {
		if got := quantityShown(sim.Cost).change(units.SI, "USD", i, 400); got != want {
			t.Errorf("%+v: got %q, want %q", i, got, want)
		}
	}
}

// Years that are all the same say nothing of how sure their numbers are.
func TestAnswerOfAlikeYears(t *testing.T) {
	o := compared(false)
	for q := range o.Layouts[0].Annual {
		i := &o.Layouts[0].Annual[q]
		i.Low, i.High = i.Mean, i.Mean
	}
	const want = "With “a” people wait 10.00 h a year for usable hot water while 8000 L run to waste (of 10 simulated years, all the same)."
	if said := o.heard(); said[0] != want {
		t.Errorf("said %q, want %q", said[0], want)
	}
}

// One year has no intervals, and what differs by nothing in it is the same.
func TestAnswerOfOneYear(t *testing.T) {
	o := compared(false, [2]float64{0, 0})
	o.Years = 1
	for q := range sim.Quantities {
		i := &o.Differences[0].Annual[q]
		i.Low, i.High = math.NaN(), math.NaN()
	}
	const want = "“b” against that: it costs the same and lets the same run to waste."
	if said := o.heard(); said[1] != want {
		t.Errorf("said %q, want %q", said[1], want)
	}
}

// TestCommandLine takes a command apart and puts it together again as a shell
// would read it.
func TestCommandLine(t *testing.T) {
	var got string
	root := &cobra.Command{Use: "pipelag"}
	run := &cobra.Command{Use: "run", RunE: func(c *cobra.Command, args []string) error {
		got = commandLine(c, args)
		return nil
	}}
	run.Flags().StringArray("layouts", nil, "")
	run.Flags().Int("years", 10, "")
	run.Flags().BoolP("quiet", "q", false, "")
	run.Flags().String("out", "", "")
	root.AddCommand(run)
	root.SetArgs([]string{"run", "my house's.yaml", "--years=3", "-q", "--layouts", "home run, 3/8", "--layouts", "1"})
	if err := root.Execute(); err != nil {
		t.Fatal(err)
	}
	if want := `pipelag run 'my house'\''s.yaml' --layouts 'home run, 3/8' --layouts 1 --quiet --years 3`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
