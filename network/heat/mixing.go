package heat

// MixingTime is how long laminar flow takes to build up its dispersion [s].
//
//	τ = r²/(16 κ)
//
// See laminarDispersion. Example: 10 mm bore at 20 °C: 11 s.
func (l *Line) MixingTime(w Water) float64 { return mixingTime(w, l.tube.Inside) }

func mixingTime(w Water, bore float64) float64 {
	r := bore / 2
	return r * r / (16 * w.Diffusivity())
}
