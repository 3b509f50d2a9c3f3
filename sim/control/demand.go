package control

import "errors"

// Demand runs when it is called, by a button or a sensor of motion, until hot
// water has come to the far end of the loop.
type Demand struct {
	Rise   float64 // of the temperature there since the call, which stops it, above 0 to 50 [K]
	Warm   float64 // temperature there that stops it, or keeps it off, 20 to 90 [°C]
	MaxRun float64 // longest run, above 0 to 3600 [s]
	Dead   float64 // after a run, calls are not heard for so long, 0 to 7200 [s]
}

func (d Demand) check() error {
	return errors.Join(
		unless(d.Rise > 0 && d.Rise <= 50, "demand, rise: %g K; must be above 0, up to 50 K", d.Rise),
		within("demand, warm", d.Warm, 20, 90, " °C"),
		unless(d.MaxRun > 0 && d.MaxRun <= hour, "demand, longest run: %g s; must be above 0, up to 3600 s", d.MaxRun),
		within("demand, dead time", d.Dead, 0, 2*hour, " s"))
}
func (d Demand) begin(c *Control) { c.demand = &d }

// Call is somebody's wish for hot water, with the far end of the loop at a
// temperature. It starts the pump unless that runs, rests, or the far end is
// warm already. Only Demand hears calls.
func (c *Control) Call(now, far float64) {
	d := c.demand
	if d == nil || c.running || now < c.rested || far >= d.Warm {
		return
	}
	c.seen[FarEnd] = sighting{far, now}
	c.start(min(far+d.Rise, d.Warm), now+d.MaxRun)
}
