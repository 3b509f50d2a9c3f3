// Package limits holds what codes, specifications and practice ask of hot-water
// piping, each figure with its edition and clause, and says whether a value
// meets it.
//
// A verdict is advice. A figure recalled and not read gives no verdict. Not
// held: the exceptions and definitions around a clause, local amendments, and
// whether a code applies at all.
package limits

import (
	"fmt"
	"strings"

	"pipelag/network/tubes"
	"pipelag/units"
)

// Advice goes with every verdict that is shown.
const Advice = "Verdicts are advice: the local code and licensed practice decide."

// Quantity is what a limit is set on.
type Quantity uint8

// The quantities.
const (
	Velocity       Quantity = iota // in a tube at the code's demand, at most [m/s]
	Length                         // developed, from the heater or loop to a fixture, at most [m]
	LengthBySize                   // the same, by the largest nominal size on the way [m]
	StoredVolume                   // from the heater or loop to a fixture, at most [m³]
	LoopVolume                     // from a circulation loop to a fixture, at most [m³]
	DrawnVolume                    // until hot water is delivered, at most [m³]
	SmallestSize                   // nominal, to a fixture, at least [m]
	Pressure                       // at a fixture at the code's demand and the limit's own flow, at least [Pa]
	Resistance                     // of insulation per outside area, at least [m² K/W]
	Thickness                      // of insulation: the tube's nominal size, up to this, at least [m]
	InsulatedStart                 // length from the heater that is insulated, at least [m]
	quantities
)

// about is a quantity's name and how its value is written.
var about = [quantities]struct {
	name      string
	dimension units.Dimension
}{
	Velocity:       {"velocity", units.Velocity},
	Length:         {"length", units.Length},
	LengthBySize:   {"length by size", units.Length},
	StoredVolume:   {"stored volume", units.Volume},
	LoopVolume:     {"stored volume from loop", units.Volume},
	DrawnVolume:    {"drawn volume", units.Volume},
	SmallestSize:   {"smallest size", units.Thickness},
	Pressure:       {"pressure", units.Pressure},
	Resistance:     {"insulation resistance", units.Resistance},
	Thickness:      {"insulation thickness", units.Thickness},
	InsulatedStart: {"insulated length", units.Length},
}

// String is the quantity's name, as a table of limits writes it.
func (q Quantity) String() string { return about[q].name }

// Dimension is how a value of the quantity is written.
func (q Quantity) Dimension() units.Dimension { return about[q].dimension }

// AtLeast tells a floor from a ceiling.
func (q Quantity) AtLeast() bool { return q >= SmallestSize }

// What a tube is that a limit on insulation is asked of, in the place of a use.
const (
	Unconditioned = "outside conditioned space"
	Buried        = "buried"
	ToManifold    = "to a manifold"
	InLoop        = "in a loop" // whose pump runs without being called
)

// Limit is one figure of one clause.
type Limit struct {
	Quantity Quantity
	Material string  // of the tube; empty for any
	Use      string  // of the fixture, or what the tube is; empty for any
	Size     string  // LengthBySize: the nominal size; Resistance: the smallest it is asked of
	Above    float64 // hot-water temperature above which it holds [°C]
	Value    float64 // in SI
	Flow     float64 // Pressure: the flow at which it is asked [m³/s]; 0 where none is stated
	Code     string  // IPC, UPC, IRC, IECC, WaterSense, …
	Clause   string
	Source   string
	Status   string // read, derived, computed, memory, or user
	Note     string // for readers of the table; nothing goes by it
}

// Binds tells whether the figure may pass or fail anything: one recalled and not
// read may not.
func (l Limit) Binds() bool { return l.Status != "memory" }

// OfPump is what a clause asks of a pump that runs without being called, besides its
// figure; empty where none is known. It is recalled and not read, so it judges nothing.
// Source: EPA WaterSense New Home Specification, section 3.3, from memory.
func (l Limit) OfPump() string {
	if l.Code == "WaterSense" && (l.Quantity == StoredVolume || l.Quantity == DrawnVolume) {
		return "the section speaks of the pump's control too, as recalled, not read: it accepts one that demand alone starts, which this is not; check it"
	}
	return ""
}

// HotRise is by how much water at a tap is warmer than it first came where a clause calls
// it hot by that [K].
//
// Source: EPA WaterSense New Home Specification, section 3.3, 10 °F, from memory.
const HotRise = 10 / 1.8

// HotByRise tells whether a clause calls water hot once it is HotRise warmer, and not
// once it is usable. That is recalled and not read: what it alone decides is not judged.
func (l Limit) HotByRise() bool { return l.Code == "WaterSense" && l.Quantity == DrawnVolume }

// Replaces tells whether meeting one limit, with all others that replace it, is enough where
// another is broken. It is recalled and not read, so it makes nothing met.
//
// Source: IECC C404.5, which asks for the length of C404.5.1 or the volume of C404.5.2;
// from memory.
func (l Limit) Replaces(other Limit) bool {
	volume := func(q Quantity) bool { return q == StoredVolume || q == LoopVolume }
	return l.Code == "IECC" && other.Code == "IECC" &&
		(l.Quantity == LengthBySize && volume(other.Quantity) || volume(l.Quantity) && other.Quantity == LengthBySize)
}

// Outcome is what a verdict says.
type Outcome uint8

// The outcomes.
const (
	Met Outcome = iota
	Broken
	Unjudged // why is said
)

// String is the outcome in a word.
func (o Outcome) String() string { return [...]string{"met", "broken", "not judged"}[o] }

// Verdict is a value held against a limit.
type Verdict struct {
	Limit   Limit
	Asked   float64 // what the limit comes to here, in SI
	Found   float64 // in SI; 0 where there is nothing to hold against the limit
	Outcome Outcome
	Why     string // what kept it from being judged
	Beside  string // what the clause asks besides the figure, which nothing is held against
}

// Holds tells whether what was found meets what is asked, be the figure read or recalled.
func (v Verdict) Holds() bool {
	return v.Outcome == Met || v.Outcome == Unjudged && v.Found > 0 && !v.Limit.breaks(v.Found, v.Asked)
}

// breaks tells whether a value is beyond what is asked.
func (l Limit) breaks(found, asked float64) bool {
	const rounding = 1e-9 // of unit conversion
	if l.Quantity.AtLeast() {
		return !(found >= asked*(1-rounding))
	}
	return !(found <= asked*(1+rounding))
}

// Judge holds a value against a limit. The asked value is the limit's own but
// where it depends on the tube.
func (l Limit) Judge(found, asked float64) Verdict {
	v := Verdict{Limit: l, Asked: asked, Found: found}
	switch {
	case !l.Binds():
		v.Outcome, v.Why = Unjudged, "it is recalled, not read"
	case l.breaks(found, asked):
		v.Outcome = Broken
	}
	return v
}

// Unjudged is a verdict on a limit that there is nothing to hold against.
func (l Limit) Unjudged(why string) Verdict {
	return Verdict{Limit: l, Asked: l.Value, Outcome: Unjudged, Why: why}
}

// Book is a list of limits.
type Book []Limit

// Of lists a quantity's limits for a use; limits for any use are among them.
func (b Book) Of(q Quantity, use string) Book {
	var found Book
	for _, l := range b {
		if l.Quantity == q && (l.Use == "" || l.Use == use) {
			found = append(found, l)
		}
	}
	return found
}

// Codes keeps the limits of the codes named. The error lists those there are.
func (b Book) Codes(codes ...string) (Book, error) {
	var kept Book
	for _, code := range codes {
		before := len(kept)
		for _, l := range b {
			if strings.EqualFold(l.Code, code) {
				kept = append(kept, l)
			}
		}
		if len(kept) == before {
			return nil, fmt.Errorf("no limits of %q; there are those of %s", code, strings.Join(b.Sources(), ", "))
		}
	}
	return kept, nil
}

// Sources lists the codes of a book, in its order.
func (b Book) Sources() []string {
	var codes []string
	seen := make(map[string]bool) // looked up only
	for _, l := range b {
		if !seen[l.Code] {
			seen[l.Code] = true
			codes = append(codes, l.Code)
		}
	}
	return codes
}

// Velocities lists the velocity limits of a tube that carries water of a
// temperature [°C]: from each code the one that names its material, or else the
// one for any, and of two the one for hotter water.
func (b Book) Velocities(t tubes.Tube, hot float64) Book {
	var found Book
	for _, code := range b.Sources() {
		var best *Limit
		for i := range b {
			l := &b[i]
			if l.Code != code || l.Quantity != Velocity || hot <= l.Above && l.Above > 0 || l.Material != "" && l.Material != t.Material.Name {
				continue
			}
			if best == nil || l.Material != "" && best.Material == "" || l.Material == best.Material && l.Above > best.Above {
				best = l
			}
		}
		if best != nil {
			found = append(found, *best)
		}
	}
	return found
}
