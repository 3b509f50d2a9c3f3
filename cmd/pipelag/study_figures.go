package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"pipelag/plots"
	"pipelag/sim"
	"pipelag/studies"
	"pipelag/studies/target"
	"pipelag/units"
)

// set is that of a study's figures, undressed.
func (d *studyDocument) set() plots.Set {
	of := counted(d.Cases, "case")
	if d.Answered < d.Cases {
		of = fmt.Sprintf("%d of %s", d.Answered, of)
	}
	return plots.Set{Layouts: d.Layouts, Currency: d.Currency, Version: d.Version, Scenario: d.Study.Name, Of: of}
}

// sensitivities are the indices of every answer, for figures.
func (d *studyDocument) sensitivities() ([]plots.Sensitivity, error) {
	out, err := readLeftOut(d.LeftOut)
	if err != nil {
		return nil, err
	}
	var all []plots.Sensitivity
	for _, e := range d.Effects {
		q, err := sim.ParseQuantity(e.Quantity)
		if err != nil {
			return nil, err
		}
		place := slices.Index(d.Layouts, e.Layout)
		if place < 0 {
			return nil, fmt.Errorf("there are indices of layout %q, which is not among the layouts", e.Layout)
		}
		s := plots.Sensitivity{Key: fmt.Sprintf("%s-%d", e.Quantity, place+1), Outcome: quantityShown(q).label}
		if e.Against != "" {
			s.Key += "-1"
			apart := slices.DeleteFunc(slices.Clone(out), func(o studies.LeftOut) bool { return o.Layout != e.Layout && o.Layout != e.Against })
			s.Notes = leftOut(d.Layouts[0], apart, d.Answered, "case")
		}
		s.Outcome += " (" + e.name() + ")"
		for _, f := range e.Factors {
			s.Factors = append(s.Factors, plots.Factor{Name: f.Factor, First: f.First, Total: f.Total})
		}
		all = append(all, s)
	}
	return all, nil
}

// errNoScale refuses a curve over what is no number.
var errNoScale = errors.New("a limit on control has no scale to draw along; ask target for --on stored-volume, length, wait or insulation")

// limitsDrawn are the limits that have a scale, and how much in SI one of a file's
// is.
var limitsDrawn = map[target.Measure]struct {
	of units.Dimension
	si float64
}{
	target.StoredVolume: {units.Volume, thousandth},
	target.Length:       {units.Length, 1},
	target.Wait:         {units.Duration, 1},
	target.Insulation:   {units.Thickness, 1e-3},
}

// gainsDrawn are the gains as figures name them, by a quantity of their kind, and
// how much in SI one of a file's is.
var gainsDrawn = [target.Gains]struct {
	quantity sim.Quantity
	called   string
	si       float64
}{
	target.Water:  {sim.Used, "Water", thousandth},
	target.Energy: {sim.HeaterInput, "Energy", kilowattHour},
	target.Money:  {sim.Cost, "Cost", 1},
	target.Carbon: {sim.Carbon, "Carbon dioxide", 1},
}

// set is that of a limit's figures, undressed.
func (d *targetDocument) set() plots.Set {
	return plots.Set{Currency: d.Money, Version: d.Version, Scenario: d.Study.Name}
}

// targets are what a limit saves of each gain, of all homes first and then of each
// group.
func (d *targetDocument) targets() ([]plots.Target, error) {
	m, err := target.ParseMeasure(d.On)
	if err != nil {
		return nil, err
	}
	limit, ok := limitsDrawn[m]
	if !ok {
		return nil, errNoScale
	}
	out, err := d.leftOut()
	if err != nil {
		return nil, err
	}
	about, _, _ := strings.Cut((&targeted{measure: m}).about(), ", at ")
	var all []plots.Target
	for k, c := range d.Curves {
		for g := range target.Gains {
			key, drawn := gainsShown[g].key, gainsDrawn[g]
			t := plots.Target{
				Key: key, Count: c.Homes, LeftOut: out, Limited: about, Over: string(d.Over), Of: limit.of, AtLeast: d.Sense == "least",
				Saved: drawn.quantity, Called: drawn.called, Knee: -1,
			}
			if k > 0 {
				t.Key, t.Homes = fmt.Sprintf("%d-%s", k+1, key), c.Factor+": "+c.Group
			}
			for _, p := range c.Points {
				saved, ok := p.Saved[key]
				if !ok {
					return nil, fmt.Errorf("there is no saved.%s at the limit of %g", key, p.Limit)
				}
				t.Points = append(t.Points, plots.TargetPoint{Limit: p.Limit * limit.si, Complying: p.Comply.Mean, Able: p.Able.Mean, Saving: sim.Interval{
					Mean: saved.Mean * drawn.si, Low: saved.Low * drawn.si, High: saved.High * drawn.si,
				}})
			}
			if knee, ok := c.Knees[key]; ok {
				t.Knee = slices.IndexFunc(c.Points, func(p documentPoint) bool { return p.Limit == knee.Limit.Mean })
			}
			if d.Sense == "most" { // the loosest limit, which is the greatest, is first
				slices.Reverse(t.Points)
				if t.Knee >= 0 {
					t.Knee = len(t.Points) - 1 - t.Knee
				}
			}
			all = append(all, t)
		}
	}
	return all, nil
}

// addLimit adds what a limit does.
func (m *material) addLimit(d *targetDocument) (err error) {
	m.limit = d
	m.Targets, err = d.targets()
	return err
}

// addRuns adds what a limit on stored volume does to the homes of a study, whatever kind
// of figure is asked for, so that it is told what the study gives; and tells why there is
// no such curve, or there are no indices, where these are asked for.
func (m *material) addRuns(kind string, system units.System) error {
	var noIndices, noCurve error
	if (kind == sensitivityKind || kind == everyKind) && len(m.Sensitivities) == 0 {
		noIndices = errors.New("no indices: a study has them that varies the answers over a whole grid, or with sampling: sensitivity")
	}
	if m.limit == nil {
		if err := m.addCurve(system); err != nil && (kind == targetKind || kind == everyKind) {
			noCurve = fmt.Errorf("no curve of a limit: %w", err)
		}
	}
	return errors.Join(noIndices, noCurve)
}

func (m *material) addCurve(system units.System) error {
	if m.runs == "" {
		return errors.New("the study's runs are not beside its summary; give its folder, or what target --out wrote of it")
	}
	cases, f, err := openResults(m.runs)
	if err != nil {
		return err
	}
	t, err := newTargeted(cases, f, target.StoredVolume, system, nil)
	if err := errors.Join(err, faulted(f)); err != nil {
		return err
	}
	d := t.document()
	return m.addLimit(&d)
}
