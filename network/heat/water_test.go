package heat

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"pipelag/internal/check"
	"pipelag/internal/reference"
)

// The formulation against its own table of check values: nine digits cannot
// agree by chance, so this also proves the coefficients.
func TestRegion1AgainstItsCheckValues(t *testing.T) {
	for _, row := range reference.Rows(t, "testdata/iapws_region1.csv") {
		volume, heatCapacity := region1(row.Number(t, "pressure_MPa")*1e6, row.Number(t, "temperature_K"))
		check.Alike(t, row.Number(t, "volume_m3_per_kg"), volume, 1e-8, "volume")
		check.Alike(t, row.Number(t, "heat_capacity_kJ_per_kgK")*1e3, heatCapacity, 1e-8, "heat capacity")
	}
}

// Independent formulations, all from memory: Kell, J. Chem. Eng. Data 20, 1975,
// for density at 0.1 MPa; the Vogel equation with the constants
// 2.414e-5 Pa s, 247.8 K, 140 K, which is stated to hold within 2.5 %, for
// viscosity; Ramires et al., J. Phys. Chem. Ref. Data 24, 1995, for
// conductivity. Two of them agreeing is what is held here, not one being right.
func TestWaterAgainstIndependentFormulations(t *testing.T) {
	for c := 0.0; c <= 100; c += 5 {
		w := mustWater(t, c)
		kell := (999.83952 + c*(16.945176+c*(-7.9870401e-3+c*(-46.170461e-6+c*(105.56302e-9-280.54253e-12*c))))) / (1 + 16.879850e-3*c)
		check.Alike(t, kell, w.Density, 3e-4, "density") // the rest is pressure: 0.4 against 0.1 MPa
		vogel := 2.414e-5 * math.Pow(10, 247.8/(c+zeroCelsius-140))
		check.Alike(t, vogel, w.Viscosity, 0.025, "viscosity")
		star := (c + zeroCelsius) / 298.15
		ramires := 0.6065 * (-1.48445 + 4.12292*star - 1.63866*star*star)
		check.Alike(t, ramires, w.Conductivity, 0.01, "conductivity")
	}
}

// Osborne, Stimson & Ginnings, J. Res. NBS 23, 1939: the 15 °C calorie is 4.1855 J
// (from memory).
func TestHeatCapacityIsTheCalorie(t *testing.T) {
	check.Alike(t, 4185.5, mustWater(t, 15).SpecificHeat, 1e-3, "heat capacity at 15 °C")
}

func TestWaterOutsideItsRange(t *testing.T) {
	for _, c := range []float64{-0.001, 100.001, math.NaN(), math.Inf(1), math.Inf(-1)} {
		w, err := WaterAt(c)
		assert.Error(t, err)
		assert.Equal(t, Water{}, w)
	}
}
