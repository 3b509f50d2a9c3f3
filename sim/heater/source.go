package heater

import "fmt"

// Source puts heat into a storage tank: an Element, a Burner or a HeatPump.
type Source interface {
	// output is the heat into the water and the energy that takes [W], with
	// water at one temperature and the air it draws on at another [°C].
	output(water, intake float64) (heat, energy float64)
	// able tells whether it can run at these.
	able(water, intake float64) bool
	carrier() Carrier
	// rated is heat into the water for each unit of energy, where that is stated.
	rated() float64
	check(*refusals)
	// idle is what goes into it all the time by carrier [W], and what it adds
	// to the tank's loss while it is off [W/K].
	idle() (electric, fuel, flue float64)
}

// Element is an electric resistance in the water.
type Element struct {
	Power float64 // above 0 to 100 000 [W]
}

func (e Element) output(float64, float64) (heat, energy float64) { return e.Power, e.Power }
func (e Element) able(float64, float64) bool                     { return true }
func (e Element) carrier() Carrier                               { return Electricity }
func (e Element) rated() float64                                 { return 1 }
func (e Element) check(r *refusals)                              { r.above("element's power", e.Power, 0, 1e5, " W") }
func (e Element) idle() (electric, fuel, flue float64)           { return 0, 0, 0 }

// Burner is a gas burner under the tank.
type Burner struct {
	Input       float64 // gas while it burns, above 0 to 200 000 [W]
	Efficiency  float64 // of it into the water, above 0 to 1 [-]
	Flue        float64 // loss through the flue while it is off, 0 to 20 [W/K]
	Pilot       float64 // gas into the pilot light at all times, 0 to 1000 [W]; see lose
	Electronics float64 // electricity at all times, 0 to 200 [W]
}

func (b Burner) output(float64, float64) (heat, energy float64) {
	return b.Input * b.Efficiency, b.Input
}
func (b Burner) able(float64, float64) bool { return true }
func (b Burner) carrier() Carrier           { return Gas }
func (b Burner) rated() float64             { return b.Efficiency }
func (b Burner) check(r *refusals) {
	r.above("burner's input", b.Input, 0, 2e5, " W")
	r.above("burner's efficiency", b.Efficiency, 0, 1, "")
	r.within("flue loss", b.Flue, 0, 20, " W/K")
	r.within("pilot", b.Pilot, 0, 1000, " W")
	r.within("electronics", b.Electronics, 0, 200, " W")
}
func (b Burner) idle() (electric, fuel, flue float64) { return b.Electronics, b.Pilot, b.Flue }

// HeatPump is a compressor whose condenser lies in or round the tank.
type HeatPump struct {
	Power       float64 // electricity of compressor and fan, above 0 to 20 000 [W]
	COP         COP
	LeastAir    float64 // it stands still with colder air, −40 to 30 [°C]
	MostWater   float64 // and with warmer water at the condenser, 30 to 95 [°C]
	Electronics float64 // electricity at all times, 0 to 200 [W]
}

func (h HeatPump) output(water, intake float64) (heat, energy float64) {
	return h.Power * h.COP.At(water, intake), h.Power
}

func (h HeatPump) able(water, intake float64) bool {
	return intake >= h.LeastAir && water < h.MostWater
}
func (h HeatPump) carrier() Carrier { return Electricity }
func (h HeatPump) rated() float64   { return h.COP.Rated }
func (h HeatPump) check(r *refusals) {
	r.above("compressor's power", h.Power, 0, 2e4, " W")
	r.within("COP as rated", h.COP.Rated, 1, 8, "")
	r.within("COP by air", h.COP.ByAir, 0, 0.2, " per K")
	r.within("COP by water", h.COP.ByWater, -0.2, 0, " per K")
	r.within("air of the rating", h.COP.Air, -20, 50, " °C")
	r.within("water of the rating", h.COP.Water, 10, 80, " °C")
	r.within("least air temperature", h.LeastAir, -40, 30, " °C")
	r.within("highest water temperature", h.MostWater, 30, 95, " °C")
	r.within("electronics", h.Electronics, 0, 200, " W")
}
func (h HeatPump) idle() (electric, fuel, flue float64) { return h.Electronics, 0, 0 }

// COP is a heat pump's coefficient of performance, heat over electricity, as a
// plane through one rated point.
type COP struct {
	Rated      float64 // 1 to 8 [-]
	Air, Water float64 // where it is rated [°C]
	ByAir      float64 // its growth, 0 to 0.2 [1/K]
	ByWater    float64 // −0.2 to 0 [1/K]
}

// UsualCOP is that of an early integrated heat pump water heater: 3.3 with air at 20 °C
// and water at the condenser at 27 °C, 2.2 with water at 53 °C.
//
// Source: laboratory tests of five units, NREL/TP-5500-62121; from memory, and
// middles of ranges: 3.0 to 3.6 at 80 °F of water, 2.0 to 2.3 at 125 to 130 °F,
// 0.015 to 0.02 per °F of the air, here its dry bulb at a steady humidity.
var UsualCOP = COP{Rated: 3.3, Air: 20, Water: 27, ByAir: 0.03, ByWater: -0.042}

// As is a COP of the same shape with another value where it is rated: all of it in proportion,
// as it is where a heat pump reaches the same share of what is possible.
func (c COP) As(rated float64) COP {
	c.ByAir *= rated / c.Rated
	c.ByWater *= rated / c.Rated
	c.Rated = rated
	return c
}

// UsualLeastAir is how cold the air of a usual compressor may be: 37 °F.
//
// Source: product literature, from memory.
const UsualLeastAir = 3.0 // [°C]

// At is the coefficient of performance.
//
//	COP = Rated + ByAir (intake − Air) + ByWater (water − Water), but at least 1
//
// water and intake [°C]. A plane holds within some 20 K of its rated point;
// beyond, it is carried on.
//
// Source: common practice in rating tables, no source. Example: UsualCOP with
// water at 53 °C and air at 20 °C: 2.21.
func (c COP) At(water, intake float64) float64 {
	return max(1, c.Rated+c.ByAir*(intake-c.Air)+c.ByWater*(water-c.Water))
}

// Coil gives heat from the sun or a wood fire whenever there is any, by hour of
// the day in each month.
type Coil struct {
	Carrier Carrier         // Sun or Wood
	Height  float64         // where it gives its heat, 0 the bottom, 1 the top [-]
	Most    float64         // water as warm as this takes no more, 30 to 95 [°C]
	Output  [12][24]float64 // by month and hour, 0 to 100 000 [W]
}

func (c *Coil) check(r *refusals) {
	r.when(c.Carrier != Sun && c.Carrier != Wood, "a coil's heat comes from sun or wood, not from %v", c.Carrier)
	r.within("coil's height", c.Height, 0, 1, "")
	r.within("coil's highest temperature", c.Most, 30, 95, " °C")
	for m := range c.Output {
		for h, w := range c.Output[m] {
			if !(w >= 0 && w <= 1e5) { // saves the text of the others
				r.within(fmt.Sprintf("coil's output in month %d, hour %d", m+1, h), w, 0, 1e5, " W")
			}
		}
	}
}
