package scenarios

import (
	"fmt"
	"slices"
)

// Doubts are what factors of the study leave as it is though it may be what they are asked
// about: the volume that a household uses goes by neither people nor the flow of fixtures, and
// by bedrooms in two of its totals only.
func (s *Study) Doubts() []string {
	var doubts []string
	goesBy := s.volumesGoBy()
	varied := false // by any factor, which then states them
	for _, f := range s.Factors {
		varied = varied || f.varies("bedrooms")
	}
	stated := varied || s.base.root.find(path{"bedrooms"}) != nil
	for _, f := range s.Factors {
		say := func(what string) {
			doubts = append(doubts, fmt.Sprintf("Factor %q: %s. That it changes little says nothing of real homes.", f.Name, what))
		}
		switch {
		case f.varies("draws", "*"):
		case f.varies("bedrooms"):
			if goesBy != byBedrooms {
				say("the volume drawn is " + goesBy + ", whatever the bedrooms are")
			}
		case f.varies("people") && goesBy != byBedrooms:
			say("the volume drawn is " + goesBy + ", however many people draw it")
		case f.varies("people") && stated:
			say("the volume drawn goes by bedrooms, which are stated beside people: more of these draw no more; give it the path [people, bedrooms] to vary both")
		case f.varies("fixtures", "*", "flow") && goesBy != asRecorded:
			say("the volume used is the same at any flow of the fixtures, for longer at less; what changes is the wait, and what runs away meanwhile")
		}
	}
	return doubts
}

const (
	byBedrooms = "by bedrooms"
	asRecorded = "that of the record"
)

// volumesGoBy is what the volumes drawn in the base go by.
func (s *Study) volumesGoBy() string {
	draws := func(key string) *node { return s.base.root.find(path{"draws", key}) }
	switch total := draws("total"); {
	case draws("record") != nil:
		return asRecorded
	case draws("pattern") != nil:
		return "that of the pattern"
	case draws("daily") != nil:
		return "stated as draws.daily"
	case total != nil && total.text == "unscaled":
		return "unscaled, as it is published"
	}
	return byBedrooms
}

// varies tells whether a factor varies a place below another, whose steps * stand for any.
func (f *Factor) varies(below ...string) bool {
	return slices.ContainsFunc(f.places, func(p path) bool {
		if len(p) < len(below) {
			return false
		}
		for i, step := range below {
			if step != "*" && step != p[i] {
				return false
			}
		}
		return true
	})
}
