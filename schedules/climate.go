package schedules

// Climate is the temperatures a house lives in.
type Climate struct {
	Mains Temperature
	Zones []Zone
}

// Zone is a space whose air, or ground whose soil, surrounds pipes.
type Zone struct {
	Name        string
	Temperature Temperature
	Conditioned bool
}

// Temperature is a temperature through the year.
type Temperature interface {
	// At is the temperature [°C] t seconds after the year began.
	At(t float64) float64
}
