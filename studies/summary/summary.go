// Package summary tells what the runs of a study come to: means, spreads and
// differences, by factor; which factors matter; and what was gained by letting
// all layouts meet the same random numbers.
//
// Not modelled: a fitted surface between the cases.
package summary

import (
	"math"
	"slices"

	"pipelag/scenarios"
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/estimate"
	"pipelag/studies/store"
)

// Summary is what the runs of a study come to, in SI.
type Summary struct {
	Cases, Replicates int
	Answered          int     // of all cases, those that gave numbers
	Averaged          int     // of these, those that are no mixtures of others, which means are over
	Imprecise         int     // of those answered, those whose differences are not known as well as was asked, where it was
	Runs, Failed      int     // that gave numbers, and that did not
	Causes            []Cause // of those that did not; if there are many different ones, the first
	Layouts           []string
	LeftOut           []studies.LeftOut // in so many of the cases that gave numbers
	Answers           []Answer
	Groups            []Group
	Effects           []Effect
	Paired            []Paired
	Notes             []string // what could not be told, and why
}

// Response is one annual number of one layout, or of one less that of another.
type Response struct {
	Question sim.Quantity
	Layout   string
	Against  string // the layout whose number is taken off; empty for none
}

// Answer is what a response comes to over cases. The interval is that of the
// mean: over cases, where they are a sample of what there could be; over
// replicates in a grid, whose cases are all there are.
type Answer struct {
	Response
	Mean          sim.Interval
	P10, P50, P90 float64 // of the cases' means
}

// Group is the cases in which a factor has one of its values, or one out of a
// stretch of its range.
type Group struct {
	Factor  string
	Level   string
	Cases   int
	Answers []Answer
}

// Paired is what pairing brought: how many times as many replicates it would
// take to know a difference as well if the layouts met different years,
//
//	(s₁² + s₂²) / s_d²
//
// with the variances between replicates of the two and of their difference, all
// cases together.
type Paired struct {
	Response
	Times float64
}

// summing is a summary under way.
type summing struct {
	*Summary
	cases     *studies.Cases
	numbers   *studies.Numbers // for the questions in hand
	responses []response       // to them
}

// response is a response and where its numbers are.
type response struct {
	Response
	number, layout int
	against        int // −1 for none
}

// mostNumbers is how many numbers are held in memory at a time, 64 MB of them, so long as
// those of one question are no more.
const mostNumbers = 8 << 20

// together is how many questions are answered at a time, of so many numbers for each: with
// them is held why a layout is not held against the first, which is a number too.
func together(questions, numbers int) int {
	return min(questions, max(1, mostNumbers/numbers-1))
}

// New sums the runs in a folder up, as many questions at a time as memory is
// planned for. A precision is that at which replicates were to stop; nil for none.
func New(c *studies.Cases, f *store.Folder, p *sim.Precision) (*Summary, error) {
	s := &summing{Summary: &Summary{Layouts: c.Study.Layouts}, cases: c}
	questions := c.Study.Questions
	for len(questions) > 0 {
		n := together(len(questions), len(s.Layouts)*f.Manifest.Cases*f.Manifest.Replicates)
		if err := s.answer(f, questions[:n]); err != nil {
			return nil, err
		}
		questions = questions[n:]
	}
	if p != nil {
		var err error
		if s.Imprecise, err = studies.Imprecise(f, p); err != nil {
			return nil, err
		}
		if s.Imprecise > 0 {
			s.note("In %d of %d cases the differences in %s are still not known as well as asked, after %d replicates each.", s.Imprecise, s.Answered, p.Quantity.Key(), s.Replicates)
		}
	}
	if s.Failed > 0 {
		var err error
		if s.Causes, err = causes(f); err != nil {
			return nil, err
		}
	}
	return s.Summary, nil
}

// answer answers some of the questions.
func (s *summing) answer(f *store.Folder, questions []sim.Quantity) (err error) {
	if s.numbers, err = studies.Gather(f, len(s.Layouts), len(questions)+1, func(l *store.Layout, into []float64) {
		for k, q := range questions {
			into[k] = l.Annual[q]
		}
		into[len(questions)] = float64(l.Unlike)
	}); err != nil {
		return err
	}
	s.Cases, s.Replicates, s.Runs, s.Failed = s.numbers.Cases, s.numbers.Replicates, s.numbers.Made, s.numbers.Failed
	s.responses = nil
	for n, q := range questions {
		for k, name := range s.Layouts {
			s.responses = append(s.responses, response{Response{q, name, ""}, n, k, -1})
		}
		for k, name := range s.Layouts[1:] {
			s.responses = append(s.responses, response{Response{q, name, s.Layouts[0]}, n, k + 1, 0})
		}
	}
	var all, every []int
	for i := range s.Cases {
		all = append(all, i)
		if !s.cases.Mixed(i) {
			every = append(every, i)
		}
	}
	s.LeftOut = s.numbers.LeftOut(s.Layouts, len(questions), all)
	if mixed := s.Cases - len(every); mixed > 0 {
		s.note("Means, percentiles and groups are of the %d cases of the two samples; the other %d are mixtures of these, for the shares of the variance alone.", len(every), mixed)
	}
	s.Answered, s.Averaged = len(s.made(all)), len(s.made(every))
	s.Answers = append(s.Answers, s.answers(every)...)
	if s.cases.Study.Sampling == scenarios.Grid && s.yearsAlike() {
		s.note("All replicates of a case give the same numbers, as those of recorded draws and of a pattern do: that the intervals have no width does not say how sure the numbers are.")
	}
	s.group()
	s.effects()
	s.pair()
	return nil
}

// mean is a response in a case; NaN if it was not made.
func (s *summing) mean(r response, i int) float64 {
	x := s.numbers.Mean(r.number, r.layout, i)
	if r.against >= 0 {
		x = sim.Less(x, s.numbers.Mean(r.number, r.against, i))
	}
	return x
}

func (s *summing) answers(cases []int) []Answer {
	var all []Answer
	for _, r := range s.responses {
		var made []int
		var means []float64
		for _, i := range cases {
			if x := s.mean(r, i); !math.IsNaN(x) {
				made, means = append(made, i), append(means, x)
			}
		}
		if len(means) == 0 {
			continue
		}
		a := Answer{Response: r.Response, Mean: estimate.Mean(means)}
		if s.cases.Study.Sampling == scenarios.Grid {
			mean := a.Mean.Mean
			a.Mean = estimate.Mean(s.byReplicate(r, made))
			a.Mean = sim.Interval{Mean: mean, Low: mean - a.Mean.HalfWidth(), High: mean + a.Mean.HalfWidth()}
		}
		q := estimate.Quantiles(means, 0.1, 0.5, 0.9)
		a.P10, a.P50, a.P90 = q[0], q[1], q[2]
		all = append(all, a)
	}
	return all
}

// byReplicate is a response's mean over cases in each replicate that all of them
// have.
func (s *summing) byReplicate(r response, cases []int) []float64 {
	var means []float64
	for replicate := range s.Replicates {
		sum := 0.0
		for _, i := range cases {
			x := s.numbers.Run(r.number, r.layout, i, replicate)
			if r.against >= 0 {
				x = sim.Less(x, s.numbers.Run(r.number, r.against, i, replicate))
			}
			sum += x
		}
		if !math.IsNaN(sum) {
			means = append(means, sum/float64(len(cases)))
		}
	}
	return means
}

// yearsAlike tells whether there are replicates and the same in all cases.
func (s *summing) yearsAlike() bool {
	several := false
	for _, r := range s.responses {
		for i := range s.Cases {
			runs := s.numbers.Runs(r.number, r.layout, i)
			several = several || len(runs) > 1
			if len(slices.Compact(runs)) > 1 {
				return false
			}
		}
	}
	return several
}

// pair tells what pairing brought.
func (s *summing) pair() {
	if s.Replicates < 2 || len(s.Layouts) < 2 {
		return
	}
	for _, r := range s.responses {
		if r.against < 0 {
			continue
		}
		var apart, paired float64
		for i := range s.Cases {
			a, b := s.numbers.Runs(r.number, r.layout, i), s.numbers.Runs(r.number, r.against, i)
			if len(a) < 2 {
				continue
			}
			difference := make([]float64, len(a))
			for k := range a {
				difference[k] = sim.Less(a[k], b[k])
			}
			apart += variance(a) + variance(b)
			paired += variance(difference)
		}
		if paired > 0 {
			s.Paired = append(s.Paired, Paired{r.Response, apart / paired})
		}
	}
}

func variance(x []float64) float64 {
	mean, sum := 0.0, 0.0
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sum += (v - mean) * (v - mean)
	}
	return sum / float64(len(x)-1)
}
