package published

import _ "embed"

//go:embed shares.csv
var sharesCSV []byte

var shares = read(sharesCSV)

// Share is the part of draws or gaps that lie below a limit.
type Share struct {
	Limit float64 // gaps and durations [s]; volumes [m³]
	Share float64
	Source
}

// Gaps is the share of gaps, from the end of a draw to the start of the next
// in the house, that are no longer than each limit. Machines are left out.
func Gaps() []Share { return below("gap", minute) }

// ShortDraws is the share of draws that last no longer than each limit. Machines
// are left out.
func ShortDraws() []Share { return below("duration", 1) }

// SmallDraws is the share of draws that take less than each limit. Machines are
// left out.
func SmallDraws() []Share { return below("volume", 1e-3) }

// Dispersion is the variance over the mean of the number of draws in a day.
func Dispersion() Share { return below("dispersion", 1)[0] }

// Skewness is that of the volumes of days.
func Skewness() Share { return below("skewness", 1)[0] }

func below(quantity string, unit float64) []Share {
	var found []Share
	for _, r := range shares {
		if r[0] == quantity {
			found = append(found, Share{r.number(1) * unit, r.number(3), r.source(4)})
		}
	}
	return found
}
