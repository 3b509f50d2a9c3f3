package main

import (
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/summary"
)

// studyDocument is a study's summary for other programs, in the units that keys
// end in.
type studyDocument struct {
	Version    string           `json:"version"`
	Study      documentStudy    `json:"study"`
	Cases      int              `json:"cases"`
	Answered   int              `json:"cases_answered"` // of all cases, those that gave numbers
	Averaged   int              `json:"cases_averaged"` // of these, those that are no mixtures of others, which means are over
	Replicates int              `json:"replicates"`
	Precision  string           `json:"precision,omitempty"`
	Runs       int              `json:"runs"`
	Failed     int              `json:"failed"`
	Causes     []documentCause  `json:"causes"`
	Currency   string           `json:"currency"`
	Layouts    []string         `json:"layouts"`
	LeftOut    []documentOut    `json:"left_out"`
	Answers    []documentAnswer `json:"answers"`
	Factors    []documentGroup  `json:"factors"`
	Effects    []documentEffect `json:"sensitivity"`
	Paired     []documentPaired `json:"pairing"`
	Notes      []string         `json:"warnings"`
}

type documentStudy struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

// documentCause is why some runs failed, and the first case among them, from 1.
type documentCause struct {
	Cause     string `json:"cause"`
	Runs      int    `json:"runs"`
	FirstCase int    `json:"first_case"`
}

// documentOut is a layout that is not held against the first in some cases, and why.
type documentOut struct {
	Layout string `json:"layout"`
	Why    string `json:"unlike"`
	Cases  int    `json:"cases"`
}

func documentLeftOut(out []studies.LeftOut) []documentOut {
	all := []documentOut{}
	for _, o := range out {
		all = append(all, documentOut{o.Layout, o.Why.String(), o.Cases})
	}
	return all
}

// readLeftOut is what documentLeftOut wrote.
func readLeftOut(written []documentOut) ([]studies.LeftOut, error) {
	var all []studies.LeftOut
	for _, o := range written {
		l := studies.LeftOut{Layout: o.Layout, Cases: o.Cases}
		if err := l.Why.UnmarshalText([]byte(o.Why)); err != nil {
			return nil, err
		}
		all = append(all, l)
	}
	return all, nil
}

type documentResponse struct {
	Quantity string `json:"quantity"`
	Layout   string `json:"layout"`
	Against  string `json:"against,omitempty"`
}

// name is whose answer it is.
func (r *documentResponse) name() string {
	if r.Against == "" {
		return r.Layout
	}
	return r.Layout + " less " + r.Against
}

type documentAnswer struct {
	documentResponse
	Mean sim.Interval `json:"mean"`
	P10  float64      `json:"p10"`
	P50  float64      `json:"p50"`
	P90  float64      `json:"p90"`
}

type documentGroup struct {
	Factor  string           `json:"factor"`
	Level   string           `json:"level"`
	Cases   int              `json:"cases"`
	Answers []documentAnswer `json:"answers"`
}

type documentEffect struct {
	documentResponse
	Factors []documentIndex `json:"factors"`
	Pairs   []documentPair  `json:"pairs"`
}

type documentIndex struct {
	Factor string       `json:"factor"`
	First  sim.Interval `json:"first"`
	Total  sim.Interval `json:"total"`
}

type documentPair struct {
	Factors [2]string    `json:"factors"`
	Share   sim.Interval `json:"share"`
}

type documentPaired struct {
	documentResponse
	Times float64 `json:"times_as_many_replicates_unpaired"`
}

func (s *studied) document() studyDocument {
	d := studyDocument{
		Version: s.Version, Study: documentStudy{s.Name, s.Study}, Cases: s.Summary.Cases, Answered: s.Answered, Averaged: s.Averaged, Replicates: s.Summary.Replicates, Precision: s.Precision,
		Runs: s.Runs, Failed: s.Failed, Causes: []documentCause{}, Currency: s.Currency, Layouts: s.Layouts, LeftOut: documentLeftOut(s.LeftOut), Answers: documentAnswers(s.Answers),
		Factors: []documentGroup{}, Effects: []documentEffect{}, Paired: []documentPaired{}, Notes: append([]string{}, s.Notes...),
	}
	for _, c := range s.Causes {
		d.Causes = append(d.Causes, documentCause{c.Text, c.Runs, c.FirstCase + 1})
	}
	for _, g := range s.Groups {
		d.Factors = append(d.Factors, documentGroup{g.Factor, g.Level, g.Cases, documentAnswers(g.Answers)})
	}
	for _, e := range s.Effects {
		shown := documentEffect{documentResponse: responseOf(e.Response), Pairs: []documentPair{}}
		for _, f := range e.Factors {
			shown.Factors = append(shown.Factors, documentIndex{f.Factor, f.First, f.Total})
		}
		for _, p := range e.Pairs {
			shown.Pairs = append(shown.Pairs, documentPair(p))
		}
		d.Effects = append(d.Effects, shown)
	}
	for _, p := range s.Paired {
		d.Paired = append(d.Paired, documentPaired{responseOf(p.Response), p.Times})
	}
	return d
}

func responseOf(r summary.Response) documentResponse {
	return documentResponse{r.Question.Key(), r.Layout, r.Against}
}

func documentAnswers(answers []summary.Answer) []documentAnswer {
	all := []documentAnswer{}
	for _, a := range answers {
		q := quantityShown(a.Question)
		all = append(all, documentAnswer{responseOf(a.Response), q.intervalInKeyUnit(a.Mean), q.inKeyUnit(a.P10), q.inKeyUnit(a.P50), q.inKeyUnit(a.P90)})
	}
	return all
}

func (s shown) intervalInKeyUnit(i sim.Interval) sim.Interval {
	return sim.Interval{Mean: s.inKeyUnit(i.Mean), Low: s.inKeyUnit(i.Low), High: s.inKeyUnit(i.High)}
}
