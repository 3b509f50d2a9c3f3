package control

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"

	"pipelag/schedules"
	"pipelag/schedules/random"
)

// Button is pressed before draws that want hot water, unless somebody forgets.
type Button struct {
	Lead       float64 // before the draw, 0 to 3600 [s]
	Likelihood float64 // that it is pressed, 0 to 1 [-]
}

// Check refuses what is no button.
func (b Button) Check() error {
	return errors.Join(
		within("button, lead", b.Lead, 0, hour, " s"),
		within("button, likelihood", b.Likelihood, 0, 1, ""))
}

// Calls appends a day's calls to into, in order: some time before each draw that
// wants hot water, at the day's beginning at the earliest. Whether one is
// forgotten depends on the draw alone, not on the layout.
func (b Button) Calls(seed uint64, replicate, today int, wishes []schedules.Wish, into []float64) []float64 {
	begun := len(into)
	key := random.NewKey(seed, "pump call", uint64(replicate), uint64(today))
	for i := range wishes {
		if w := &wishes[i]; w.Kind != schedules.Brief && chance(key, w) < b.Likelihood {
			into = append(into, max(w.Start-b.Lead, float64(today)*day))
		}
	}
	slices.Sort(into[begun:])
	return into
}

// Motion is a sensor that calls when somebody comes to a tap, and at other times.
type Motion struct {
	Lead       float64 // from coming in to the draw, 0 to 3600 [s]
	Likelihood float64 // that it notices, 0 to 1 [-]
	False      float64 // calls a day of people who want no water, in the mean, 0 to 500
}

// Somebody is about between these hours: common practice, no source.
const (
	awake  = 6 * hour
	asleep = 23 * hour
)

// Check refuses what is no sensor of motion.
func (m Motion) Check() error {
	return errors.Join(
		within("motion, lead", m.Lead, 0, hour, " s"),
		within("motion, likelihood", m.Likelihood, 0, 1, ""),
		within("motion, false calls", m.False, 0, 500, " a day"))
}

// Calls appends a day's calls to into, in order: before draws of any kind by
// people, not by machines, and false ones at random between 6 and 23 o'clock, on
// days on which water is drawn at all.
func (m Motion) Calls(seed uint64, replicate, today int, wishes []schedules.Wish, into []float64) []float64 {
	if len(wishes) == 0 {
		return into
	}
	begun := len(into)
	midnight := float64(today) * day
	key := random.NewKey(seed, "motion", uint64(replicate), uint64(today))
	for i := range wishes {
		if w := &wishes[i]; w.Kind != schedules.Appliance && chance(key, w) < m.Likelihood {
			into = append(into, max(w.Start-m.Lead, midnight))
		}
	}
	if m.False > 0 {
		r := random.Stream(seed, "false motion", uint64(replicate), uint64(today))
		for t := awake + r.ExpFloat64()*(asleep-awake)/m.False; t < asleep; t += r.ExpFloat64() * (asleep - awake) / m.False {
			into = append(into, midnight+t)
		}
	}
	slices.Sort(into[begun:])
	return into
}

// chance is a number from 0 to 1 that is a draw's own.
func chance(key random.Key, w *schedules.Wish) float64 {
	var source rand.PCG
	key.With(uint64(w.Fixture)).With(math.Float64bits(w.Start)).Seed(&source)
	return float64(source.Uint64()>>11) / (1 << 53) // a rand.Rand would be one on the heap for each draw
}
