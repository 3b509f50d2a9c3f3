package heat

import (
	"math"
	"testing"

	"pipelag/internal/check"
	"pipelag/internal/reference"
	"pipelag/network/tubes"

	"github.com/stretchr/testify/assert"
)

func celsius(fahrenheit float64) float64 { return (fahrenheit - 32) / 1.8 }

// coolDown is the time in which still water in a line goes from one temperature
// to another [s]: everything at one temperature but for the steady drop from
// water to wall, with the loss at each instant.
//
//	dt = −C dT / ((T − A) / (1/g_i + 1/g_o))
func coolDown(l *Line, w Water, from, to, ambient float64) float64 {
	const steps = 400
	capacity := l.WaterCapacity(w)
	for _, c := range l.WallCapacity() {
		capacity += c
	}
	seconds := 0.0
	for i := range steps {
		excess := from - ambient - (from-to)*(float64(i)+0.5)/steps
		toWall := 1 / l.Inner(w, 0)
		for _, g := range l.Between() {
			toWall += 1 / g
		}
		// The node's own excess, by iteration on the divider.
		node := excess
		for range 30 {
			node = excess / (1 + toWall*l.Outer(node, ambient))
		}
		seconds += capacity * (from - to) / steps / (node * l.Outer(node, ambient))
	}
	return seconds
}

// The times are rounded statements and the air of the room a range, which
// together leave about 15 %. R-3 as thickness of foam is read from the same
// section of the code; half an inch on 3/4 in pipe would cool in 35 minutes.
func TestCoolDownAgainstPublishedTimes(t *testing.T) {
	for _, row := range reference.Rows(t, "testdata/cooldown.csv") {
		l := mustLine(t, row["kind"], row["size"], sleeve(t, "foam", row.Number(t, "foam_in")*inch), 0, Burial{}, false)
		from, to := celsius(row.Number(t, "from_F")), celsius(row.Number(t, "to_F"))
		air := celsius((row.Number(t, "air_low_F") + row.Number(t, "air_high_F")) / 2)
		minutes := coolDown(&l, mustWater(t, (from+to)/2), from, to, air) / 60
		check.Alike(t, row.Number(t, "minutes"), minutes, 0.15, row["size"]+" in, minutes to cool")
		t.Logf("%s %s, %s in foam: %.1f min, published %s", row["kind"], row["size"], row["foam_in"], minutes, row["minutes"])
	}
}

// With a constant conductance, as in the ground, cooling is Newton's.
func TestCoolDownInTheGroundIsExponential(t *testing.T) {
	l := mustLine(t, "copper L", "3/4", tubes.Sleeve{}, 0, Burial{Depth: 0.5, Conductivity: 1}, false)
	w := mustWater(t, 45)
	series := 1 / (1/l.Inner(w, 0) + 1/l.Outer(10, 12))
	want := (l.WaterCapacity(w) + l.WallCapacity()[0]) / series * math.Log((50.0-12)/(40-12))
	check.Alike(t, want, coolDown(&l, w, 50, 40, 12), 1e-5, "seconds")
	assert.Equal(t, l.Outer(10, 12), l.Outer(-30, 40))
	check.Alike(t, 1/(l.wall.outer+math.Acosh(1/0.022225)/(2*math.Pi)), l.Outer(10, 12), 1e-12, "conductance to ground")
}

// The handbook's table has one column for a copper size and the iron pipe of
// like outside diameter and prints two digits. The loss through the sleeve must
// lie where those two diameters, and half a last digit, leave it.
func TestSleeveAgainstHandbook(t *testing.T) {
	const foot, kelvinPerFahrenheit = 0.3048, 1 / 1.8
	for _, row := range reference.Rows(t, "testdata/sleeve_loss.csv") {
		tube, err := tubes.Find(row["kind"], row["size"])
		assert.NoError(t, err)
		s := sleeve(t, "fibreglass", row.Number(t, "thickness_in")*inch)
		scale := row.Number(t, "rise_F") * kelvinPerFahrenheit * foot
		copper := scale / sleeveResistance(s, tube.Outside)
		iron := scale / sleeveResistance(s, row.Number(t, "iron_pipe_outside_in")*inch)
		printed := row.Number(t, "loss_W_per_ft")
		low, high := min(copper, iron)-0.05, max(copper, iron)+0.05
		if !(low <= printed && printed <= high) {
			t.Errorf("%s in: printed %.1f W/ft, computed %.2f on copper and %.2f on iron", row["size"], printed, copper, iron)
		}
		t.Logf("%s in: printed %.1f, copper %.2f, iron %.2f W/ft", row["size"], printed, copper, iron)
	}
}

// Churchill & Chu 1975: the limits of the equation itself, and the laminar
// equation of the same paper, Nu = 0.36 + 0.518 Ra^¼ / (1 + (0.559/Pr)^(9/16))^(4/9).
func TestHorizontalCylinderAgainstItsLimits(t *testing.T) {
	const pr = 0.71
	check.Alike(t, 0.36, horizontalNusselt(0, pr), 1e-12, "Nu of still air")
	factor := 1 + math.Pow(0.559/pr, 9.0/16)
	check.Alike(t, 0.387*0.387*math.Pow(factor, -16.0/27), horizontalNusselt(1e24, pr)/1e8, 1e-3, "Nu Ra^−⅓")
	for rayleigh := 1e3; rayleigh <= 1.1e5; rayleigh *= 2 { // up to 1 in pipe, 50 K above a room
		laminar := 0.36 + 0.518*math.Pow(rayleigh, 0.25)/math.Pow(factor, 4.0/9)
		check.Alike(t, laminar, horizontalNusselt(rayleigh, pr), 0.09, "laminar Nu")
	}
}

// A stout cylinder is a plate; the film of a vertical run hardly depends on the
// height assumed.
func TestVerticalCylinder(t *testing.T) {
	check.Alike(t, 0.825*0.825, verticalNusselt(0, 0.71, 0), 1e-12, "Nu of a plate in still air")
	a := airAt(30)
	film := func(height float64) float64 {
		return verticalNusselt(a.rayleigh(20, height), a.prandtl, height/0.022) / height
	}
	check.Alike(t, film(storey), film(storey/2), 0.1, "film of half the height")
	check.Alike(t, film(storey), film(storey*2), 0.1, "film of twice the height")
	horizontal := mustLine(t, "copper L", "3/4", tubes.Sleeve{}, 0, Burial{}, false)
	vertical := mustLine(t, "copper L", "3/4", tubes.Sleeve{}, 0, Burial{}, true)
	assert.Less(t, vertical.Outer(25, 20), horizontal.Outer(25, 20))
}

// Two ways to air's conductivity: the standard atmosphere's, and Eucken's
// relation of kinetic theory between conductivity and viscosity,
// Pr = 4γ/(9γ − 5) = 0.737 for a diatomic gas, a few per cent above what gases
// show.
func TestAirAgainstKineticTheory(t *testing.T) {
	for c := -50.0; c <= 80; c += 10 {
		check.Alike(t, 0.737, airAt(c).prandtl, 0.06, "Prandtl number")
	}
}

func TestOuterGrowsAndIsContinuous(t *testing.T) {
	for name, l := range map[string]Line{
		"bare copper":       mustLine(t, "copper L", "1/2", tubes.Sleeve{}, 0, Burial{}, false),
		"bare PEX":          mustLine(t, "PEX", "3/8", tubes.Sleeve{}, 0, Burial{}, false),
		"large PEX":         mustLine(t, "PEX", "2", tubes.Sleeve{}, 0, Burial{}, false),
		"riser":             mustLine(t, "copper L", "3/4", tubes.Sleeve{}, 0, Burial{}, true),
		"sleeved, bare 5 %": mustLine(t, "copper L", "3/4", sleeve(t, "foam", inch/2), 0.05, Burial{}, false),
		"buried":            mustLine(t, "copper L", "3/4", tubes.Sleeve{}, 0, Burial{Depth: 0.3, Conductivity: 1}, false),
	} {
		for _, ambient := range []float64{-10, 0, 20, 45} {
			for _, sign := range []float64{1, -1} {
				before := l.Outer(0, ambient)
				check.Alike(t, before, l.Outer(sign*1e-12, ambient), 0.02, name+" at no excess")
				for x := 0.05; x <= 70; x += 0.05 {
					if sign < 0 && x > 35 {
						break // colder than ice
					}
					g := l.Outer(sign*x, ambient)
					if !(g >= before && (x < 1 || g < before*1.02)) {
						t.Fatalf("%s: %g W/(m K) after %g at an excess of %g in %g °C", name, g, before, sign*x, ambient)
					}
					before = g
				}
			}
		}
	}
}

func TestSurfaceBalance(t *testing.T) {
	l := mustLine(t, "PP-R", "20x3.4", sleeve(t, "foam", 0.013), 0, Burial{}, false)
	for _, excess := range []float64{-20, 0.3, 30, 60} {
		o := l.sleeved
		theta := o.surface(excess, 20)
		check.Alike(t, (excess-theta)/o.resistance, o.film(theta, 20)*theta, 1e-9, "heat through and off")
		check.Alike(t, o.film(theta, 20)*theta, l.Outer(excess, 20)*excess, 1e-9, "heat lost")
	}
}

func TestBareShareStandsBeside(t *testing.T) {
	foam := sleeve(t, "foam", inch/2)
	none := mustLine(t, "copper L", "3/4", foam, 0, Burial{}, false)
	all := mustLine(t, "copper L", "3/4", foam, 1, Burial{}, false)
	some := mustLine(t, "copper L", "3/4", foam, 0.1, Burial{}, false)
	bare := mustLine(t, "copper L", "3/4", tubes.Sleeve{}, 0.1, Burial{}, false)
	check.Alike(t, bare.Outer(25, 20), all.Outer(25, 20), 1e-12, "all bare")
	check.Alike(t, 0.9*none.Outer(25, 20)+0.1*bare.Outer(25, 20), some.Outer(25, 20), 1e-12, "a tenth bare")
	assert.Less(t, none.Outer(25, 20), 0.5*bare.Outer(25, 20))
}

// A shape factor of a deep cylinder tends to 2π/ln(4z/D), the form of most
// handbooks for z above 3D/2.
func TestShapeFactorDeep(t *testing.T) {
	check.Alike(t, 2*math.Pi/math.Log(4*0.5/0.022), shapeFactor(0.5, 0.022), 1e-3, "shape factor")
}
