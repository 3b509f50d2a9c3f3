// Package schedules says who wants water, where and when, and how cold the
// mains and the rooms are meanwhile.
//
// A schedule holds wishes, not draws: what people want is the same for every
// layout, and what the plumbing makes of it is the engine's business.
package schedules

// Kind is how a person or machine treats the water.
type Kind uint8

const (
	// Washing runs the tap until the water is usable, then uses it for a time.
	Washing Kind = iota
	// Brief opens the tap for a fixed time and takes whatever comes.
	Brief
	// Filling takes a volume that should end at a mixed temperature.
	Filling
	// Appliance takes a volume through a valve of its own, unmixed.
	Appliance
)

// Use is an end use: what sort of fixture a draw belongs to.
type Use uint8

// The end uses, as published volumes name them.
const (
	Shower Use = iota
	Bath
	Kitchen
	Lavatory
	Dishwasher
	ClothesWasher
	Uses = int(ClothesWasher) + 1
)

// String is the kind's name.
func (k Kind) String() string {
	return [...]string{"washing", "brief", "filling", "appliance"}[k]
}

// String is the end use's name.
func (u Use) String() string {
	return [...]string{"shower", "bath", "kitchen", "lavatory", "dishwasher", "clothes washer"}[u]
}

// Wish is one opening of a tap as somebody wants it.
type Wish struct {
	Fixture  int // index into the house's fixtures
	Use      Use
	Kind     Kind
	Start    float64 // seconds since the year began
	Flow     float64 // at the spout, hot and cold together [m³/s]
	Duration float64 // Washing: of use once usable; Brief: of the opening [s]
	Volume   float64 // Filling: hot and cold together; Appliance: hot [m³]
	Mixed    float64 // temperature wanted at the spout [°C]; not for Appliance
	Usable   float64 // hot-side temperature from which the wait is over [°C]
	Patience float64 // Washing: longest wait before taking what comes [s]
	StepIn   float64 // Washing: from usable until somebody steps in [s]
	HotShare float64 // Brief: share of the flow taken from the hot side [-]
}

// Schedule gives the wishes of any number of replicate years.
type Schedule interface {
	// Year is replicate r of the stream that seed begins. The same arguments
	// give the same wishes, on any machine, in any order of asking.
	Year(seed uint64, r int) Year
}

// Year gives one replicate's wishes a day at a time.
type Year interface {
	// Day appends to into the wishes that start on day d (0 to 364), ordered
	// by Start, and returns the extended slice. Days may be asked for in any
	// order. A year is for one goroutine at a time.
	//
	// Wishes at one fixture leave each other room for their own use and a usual
	// wait. How long the wait is depends on the plumbing, so where it is longer
	// the next in line starts late.
	Day(d int, into []Wish) []Wish
}
