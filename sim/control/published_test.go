package control

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// The published pump energies and the hours derived from them agree: a kilowatt
// hour a year and watt is 1000/365 hours a day.
func TestPublishedHours(t *testing.T) {
	f, err := os.Open("../verify/published/recirculation.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	energy, compared := map[string]float64{}, 0
	for _, r := range rows[1:] {
		value, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		switch {
		case r[1] == "pump_energy":
			energy[r[0]] = value
		case r[1] == "pump_hours" && r[5] == "derived":
			near(t, energy[r[0]]*1000/365, value, 0.001)
			compared++
		}
	}
	require.Equal(t, 5, compared)
}
