package scenarios

import (
	"fmt"

	"pipelag/schedules"
	"pipelag/schedules/climate"
	"pipelag/units"
)

func (b *builder) buildClimate() {
	c := b.said.climate
	if c.at == nil {
		return
	}
	if m := c.value.mains; m.at != nil {
		b.buildMains(m.at, m.value)
	}
	for _, z := range c.value.zones {
		b.zones = append(b.zones, z.name)
		b.buildZone(z)
	}
}

// south tells whether winter comes in the middle of the year: whether the mains are
// coldest between May and October.
func (b *builder) south() bool {
	mains := b.made.house.Climate.Mains
	if mains == nil {
		return false
	}
	at := func(d int) float64 { return mains.At((float64(d) + 0.5) * 86400) }
	coldest := 0
	for d := range schedules.DaysPerYear {
		if at(d) < at(coldest) {
			coldest = d
		}
	}
	const may, november = 120, 304 // the first of each
	return coldest >= may && coldest < november
}

func (b *builder) buildZone(z named[zoneSaid]) {
	if z.value.mean.at == nil {
		return
	}
	a := climate.Annual{
		Mean: z.value.mean.value, Amplitude: z.value.amplitude.value, Coldest: z.value.coldest.value,
		DailyAmplitude: z.value.daily.value, DailyMinimum: coldestHour,
	}
	path := "climate.zones." + z.name
	if z.value.amplitude.at == nil {
		b.assume(path+".amplitude", "0 K", "a zone without one is steady through the year")
	}
	if a.Amplitude > 0 && z.value.coldest.at == nil {
		day, why := "Jan 20", "common in the north, no source"
		if a.Coldest = coldestDay; b.south() {
			a.Coldest, day, why = coldestSouth, "Jul 20", "common in the south, where the mains are coldest in the middle of the year; no source"
		}
		b.assume(path+".coldest", day, why)
	}
	if a.DailyAmplitude > 0 {
		b.assume(path+".daily, coldest hour", "5 h", "shortly before sunrise; common practice, no source")
	}
	cycle, err := climate.NewAnnual(a)
	if err != nil {
		b.advise(z.at, fmt.Errorf("zone %q: %w", z.name, err), "give another value")
		return
	}
	b.made.house.Climate.Zones = append(b.made.house.Climate.Zones, schedules.Zone{
		Name: z.name, Temperature: cycle, Conditioned: z.value.conditioned.value,
	})
}

// mainsWays are the keys of each way of saying how cold the mains are.
const mainsWays = "give mean, amplitude and coldest, or outdoor mean and outdoor range, or monthly"

// buildMains takes the one way in which the file says how cold the mains are.
func (b *builder) buildMains(at *node, m mainsSaid) {
	ways, read := 0, 0
	for _, way := range [][]*node{
		{m.mean.at, m.amplitude.at, m.coldest.at},
		{m.outdoorMean.at, m.outdoorRange.at, m.southern.at},
		{m.monthly.at},
	} {
		before := read
		for _, from := range way {
			if from != nil {
				read++
			}
		}
		if read > before {
			ways++
		}
	}
	var mains schedules.Temperature
	var err error
	switch {
	case read < len(at.keys):
		return // a key could not be read, which is noted
	case ways > 1:
		b.fault(at, "the mains are given twice", mainsWays)
		return
	case m.mean.at != nil && m.amplitude.at != nil && m.coldest.at != nil:
		if m.mean.value < m.amplitude.value {
			b.fault(m.amplitude.at, "the mains would freeze", "give an amplitude of at most "+units.Both(m.mean.value, units.Difference))
			return
		}
		mains, err = climate.NewAnnual(climate.Annual{Mean: m.mean.value, Amplitude: m.amplitude.value, Coldest: m.coldest.value})
	case m.outdoorMean.at != nil && m.outdoorRange.at != nil:
		mains, err = climate.NewMains(m.outdoorMean.value, m.outdoorRange.value, m.southern.value)
	case m.monthly.at != nil:
		mains, err = climate.NewMonthly(m.monthly.value)
	default:
		b.fault(at, "the mains are not fully given", mainsWays)
		return
	}
	if err != nil {
		b.advise(at, fmt.Errorf("the mains: %w", err), "give another value")
		return
	}
	b.made.house.Climate.Mains = mains
}
