package scenarios

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawnHouse is a scenario of a plan and two layouts generated from it.
const drawnHouse = `name: A drawnHouse house
people: 3
climate:
  mains: {mean: 58 F, amplitude: 9 F, coldest: Feb 10}
  zones:
    below: {mean: 60 F}
    indoors: {mean: 71 F, conditioned: true}
heater: {kind: storage, energy: gas, volume: 50 gal, setpoint: 125 F, zone: indoors}
plan: {floors: 2, area: 160 m2, bathrooms: 2}
layouts:
  - name: trunk
    arrangement: trunk-and-branch
    trunk: {tube: copper L, size: 3/4, zone: below}
    branch: {tube: copper L, size: 1/2, zone: below}
  - name: home run
    arrangement: home-run
    supply: {tube: PEX, size: 3/4, zone: below}
    runs: {tube: PEX, size: 3/8, zone: below}
`

func drawnFrom(t interface{ Fatal(...any) }, plan string) *Scenario {
	s, err := Parse("p.yaml", []byte(strings.Replace(drawnHouse, "{floors: 2, area: 160 m2, bathrooms: 2}", plan, 1)))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestDrawnFixtures(t *testing.T) {
	var names []string
	for _, f := range drawnFrom(t, "{floors: 2, area: 160 m2, bathrooms: 2}").House().Fixtures {
		names = append(names, f.Name)
	}
	want := "kitchen sink, dishwasher, clothes washer, bath 1 lavatory, bath 1 shower, bath 1 tub, bath 2 lavatory, bath 2 shower"
	if got := strings.Join(names, ", "); got != want {
		t.Errorf("got %s", got)
	}
}

// TestDrawnMissing asks for what a plan lacks at the plan's place.
func TestDrawnMissing(t *testing.T) {
	_, err := Parse("p.yaml", []byte(strings.Replace(drawnHouse, "area: 160 m2, ", "", 1)))
	if err == nil || err.Error() != "p.yaml:9:7: a plan has no area; add area: of all floors together" {
		t.Error(err)
	}
}

// TestDrawnDistances: wet rooms that stand farther apart, and a larger house,
// take more pipe; every plan in range makes a house whose fixtures all stand
// within its walls in plan, but for a room's own width.
func TestDrawnDistances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		floors, baths := rapid.IntRange(1, 4).Draw(t, "floors"), rapid.IntRange(1, 6).Draw(t, "bathrooms")
		area, aspect := rapid.Float64Range(60, 600).Draw(t, "area"), rapid.Float64Range(1, 3).Draw(t, "aspect")
		length := func(spread, heater, area float64) float64 {
			h := drawnFrom(t, fmt.Sprintf("{floors: %d, area: %g m2, bathrooms: %d, aspect: %g, spread: %g %%, heater: %g %%}",
				floors, area, baths, aspect, spread, heater)).House()
			return h.Layouts[1].Network.Length()
		}
		const rounding = 1e-9
		together, apart := length(0, 100, area), length(100, 100, area)
		if !(apart >= together*(1-rounding)) {
			t.Fatalf("%g m apart, %g m together", apart, together)
		}
		if larger := length(100, 100, 2*area); !(larger > apart) {
			t.Fatalf("%g m in a house of %g m2, %g m in one twice as large", apart, area, larger)
		}
		footprint := area / float64(floors)
		perimeter := 2 * (math.Sqrt(footprint*aspect) + math.Sqrt(footprint/aspect))
		if fixtures := 3 + 2*baths + 1; apart > float64(fixtures)*(perimeter+4*2.7+10) {
			t.Fatalf("%g m of pipe to %d fixtures of a house of %g m round", apart, fixtures, perimeter)
		}
	})
}
