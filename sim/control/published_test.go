package control

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pipelag/internal/check"
	"pipelag/internal/reference"
)

// The published pump energies and the hours derived from them agree: a kilowatt
// hour a year and watt is 1000/365 hours a day.
func TestPublishedHours(t *testing.T) {
	energy, compared := map[string]float64{}, 0
	for _, r := range reference.Rows(t, "../verify/published/recirculation.csv") {
		value := r.Number(t, "value")
		switch {
		case r["quantity"] == "pump_energy":
			energy[r["control"]] = value
		case r["quantity"] == "pump_hours" && r["status"] == "derived":
			check.Within(t, energy[r["control"]]*1000/365, value, 0.001)
			compared++
		}
	}
	require.Equal(t, 5, compared)
}
