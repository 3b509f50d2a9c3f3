package sim

import "fmt"

// Caution is a matter of safety or code that a result raises.
type Caution struct {
	Layout string `json:"layout,omitempty"` // empty where it holds for all
	Text   string `json:"text"`
}

const (
	// Delivery above this scalds: 49 °C (120 °F).
	// Source: ASSE 1016 and 1070 and US CPSC, as limits at bathing outlets (read).
	scaldsAbove = 48.9
	// Storage below this can grow Legionella: 60 °C (140 °F).
	// Source: ASHRAE Guideline 12-2000, 4.1.6 (read).
	growsBelow = 60.0
	// A return below this is lukewarm: 51 °C (124 °F). Source: as above.
	lukewarmBelow = 51.0
	// Tube of a smaller bore than 3/8 in nominal is below prescriptive minima.
	// Source: IPC 604.5, by way of a city code built on it (read).
	leastBore = 0.0088
)

// Cautions says what a house and its layouts raise, whatever the draws.
func Cautions(h *House) []Caution {
	var all []Caution
	say := func(layout, format string, args ...any) {
		all = append(all, Caution{layout, fmt.Sprintf(format, args...)})
	}
	set := h.Heater.Setpoint
	if set > scaldsAbove {
		say("", "Scalding: water leaves the heater at %.0f C (%.0f F); above 49 C (120 F) it burns skin within minutes, above 60 C within seconds. A mixing valve at the fixture is the usual protection.", set, fahrenheit(set))
	}
	if set < growsBelow {
		say("", "Legionella: water is stored at %.0f C (%.0f F); below 60 C (140 F) it can grow in the tank and in pipes that stand. Hotter storage with mixing valves is how practice reconciles this with scalding.", set, fahrenheit(set))
	}
	for i := range h.Layouts {
		l := &h.Layouts[i]
		if l.Pump != nil && (l.Pump.Control != Continuous || set-5 < lukewarmBelow) {
			say(l.Network.Name, "Legionella: the loop is lukewarm for part of the day; growth is quickest at 32 to 42 C.")
		}
		for _, p := range l.Network.Pipes {
			if p.Tube.Inside < leastBore {
				say(l.Network.Name, "Size: %s %s is smaller than the 3/8 in that plumbing codes prescribe at the least; an engineer and the local authority must agree to it.", p.Tube.Kind, p.Tube.Size)
				break
			}
		}
	}
	say("", "Flow is what the schedule asks for; whether these pipes pass it at the pressure there is has not been checked.")
	say("", "Local codes and licensed practice decide; these are simulated figures, not a design.")
	return all
}

func fahrenheit(celsius float64) float64 { return celsius*9/5 + 32 }
