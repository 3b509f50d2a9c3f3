package sim

import (
	"fmt"
	"math"
	"slices"

	"pipelag/schedules"
	"pipelag/sim/pipework"
)

// WatchOptions say whose pipes to watch, and when.
type WatchOptions struct {
	Layout       int
	Fixture      int
	Seed         uint64
	Replicate    int
	Day          int     // of the year, from 0
	Every        float64 // time between two looks [s]
	Grid         pipework.Grid
	NoDispersion bool
}

// Watch is the water along the way to one fixture through one day of a year
// that is lived through up to then, everybody's draws and the pump included.
type Watch struct {
	Layout    string  `json:"layout"`
	Fixture   string  `json:"fixture"`
	Usable    float64 `json:"usable_C"`
	Setpoint  float64 `json:"setpoint_C"`
	Seed      uint64  `json:"seed"`
	Replicate int     `json:"replicate"`
	Day       int     `json:"day"` // of the year, from 1

	// Draws are when taps on the way were opened: this fixture's, and others
	// whose water comes through a pipe of its way [s since midnight].
	Draws  []float64 `json:"draws_s"`
	Others []float64 `json:"other_draws_s"`

	Distance    []float64   `json:"x_m"` // from the heater, at the middle of each cell
	Time        []float64   `json:"t_s"` // since midnight
	Temperature [][]float64 `json:"water_C"`
}

// NewWatch lives through a year up to a day and looks, at equal steps of that
// day, at the water along the way to a fixture. To look changes nothing.
func NewWatch(h *House, o WatchOptions) (*Watch, error) {
	switch {
	case o.Day < 0 || o.Day >= schedules.DaysPerYear:
		return nil, fmt.Errorf("day %d; a year has days 1 to %d", o.Day+1, schedules.DaysPerYear)
	case !(o.Every >= 1 && o.Every <= hour):
		return nil, fmt.Errorf("a look every %g s; it must be from 1 s to an hour", o.Every)
	case o.Replicate < 0:
		return nil, fmt.Errorf("replicate %d; they are counted from 0", o.Replicate)
	}
	layout := &h.Layouts[o.Layout]
	p, err := newPlant(h, layout, pipework.Model{Grid: o.Grid, NoDispersion: o.NoDispersion})
	if err != nil {
		return nil, err
	}
	y := newYear(p, o.Seed, o.Replicate)
	calendar := h.Schedule.Year(o.Seed, o.Replicate)
	var wishes []schedules.Wish
	for d := range o.Day {
		wishes = calendar.Day(d, wishes[:0])
		if err := y.day(d, wishes); err != nil {
			return nil, err
		}
	}
	w := &Watch{
		Layout: layout.Network.Name, Fixture: h.Fixtures[o.Fixture].Name, Usable: h.Fixtures[o.Fixture].Usable, Setpoint: h.Heater.Setpoint,
		Seed: o.Seed, Replicate: o.Replicate, Day: o.Day + 1, Draws: []float64{}, Others: []float64{},
	}
	w.Distance = y.Middles(p.paths[o.Fixture])
	begin := float64(o.Day) * Day
	wishes = calendar.Day(o.Day, wishes[:0])
	for _, wish := range wishes {
		switch {
		case wish.Fixture == o.Fixture:
			w.Draws = append(w.Draws, wish.Start-begin)
		case slices.ContainsFunc(p.paths[wish.Fixture], func(i int) bool { return slices.Contains(p.paths[o.Fixture], i) }):
			w.Others = append(w.Others, wish.Start-begin)
		}
	}
	return w, w.live(y, o, wishes)
}

// live goes through the day as a year does, stopping at each look.
func (w *Watch) live(y *year, o WatchOptions, wishes []schedules.Wish) error {
	y.plan(o.Day, wishes)
	for t := 0.0; t <= Day; t += o.Every {
		if err := y.live(float64(o.Day)*Day + t); err != nil {
			return fmt.Errorf("day %d: %w", o.Day+1, err)
		}
		w.Time = append(w.Time, t)
		w.Temperature = append(w.Temperature, y.along(o.Fixture))
	}
	return nil
}

// along is the water on the way to a fixture as it is now [°C].
func (y *year) along(fixture int) []float64 {
	var all []float64
	for _, i := range y.paths[fixture] {
		for _, t := range y.Water(i) {
			all = append(all, math.Round(t*100)/100) // as fine as anybody reads it
		}
	}
	return all
}
