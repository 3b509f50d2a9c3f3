package sim

import (
	"context"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"pipelag/internal/check"
	"pipelag/schedules"
	"pipelag/sim/control"
	"pipelag/sim/pipework"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden logs of the pump anew")

// event is a start or stop of the pump, to the second after which it is seen.
type event struct {
	at   float64 // [s]
	on   bool
	back float64 // at the pipe's end, a second before a start and right at a stop [°C]
	past float64 // the other of the two [°C]
}

// pumpEvents lives through days of a loop second by second and notes when the
// pump starts and stops to move water, with the temperature at the end of a pipe.
func pumpEvents(t *testing.T, h *House, end, days int) []event {
	t.Helper()
	y := newYear(mustPlant(t, h, pipework.Model{Grid: 0.05}), 1, 0) // cells that pass within a second
	tip := func() float64 {
		if y.Flows(end) {
			return y.Outlet(end)
		}
		return y.Tip(end, y.Now)
	}
	var events []event
	if y.pump.on {
		events = append(events, event{0, true, tip(), tip()})
	}
	for d := range days {
		draw := schedules.Wish{Kind: schedules.Washing, Start: float64(d)*Day + 7*hour + 600, Flow: 1e-4, Duration: 300, Mixed: 40, Usable: 40, Patience: 200}
		y.plan(d, []schedules.Wish{draw})
		for s := 1.0; s <= Day; s++ {
			was, before := y.pump.on, tip()
			require.NoError(t, y.live(float64(d)*Day+s))
			if y.pump.on != was {
				e := event{y.Now, y.pump.on, tip(), before}
				if e.on {
					e.back, e.past = e.past, e.back
				}
				events = append(events, e)
			}
		}
	}
	require.NoError(t, y.finish())
	return events
}

// golden holds events against those of a file.
func golden(t *testing.T, name string, events []event) {
	t.Helper()
	var text strings.Builder
	for i, e := range events {
		word := "stops"
		if e.on {
			word = "starts"
		}
		d := int(e.at / Day)
		s := int(e.at) - d*86400
		fmt.Fprintf(&text, "day %d %02d:%02d:%02d %-6s %.2f °C\n", d, s/3600, s/60%60, s%60, word, e.back)
		require.Equal(t, i%2 == 0, e.on, "starts and stops take turns")
	}
	path := "testdata/pump " + name + ".log"
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(text.String()), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), text.String())
}

// An aquastat's dead band and a clock's windows hold to the second: the times of
// windows are the clock's, and the return has just come to the temperature of the
// aquastat at each of its starts and stops.
func TestPumpLog(t *testing.T) {
	warm := control.Aquastat{On: 32, Off: 40}
	windows := []control.Window{
		{From: 6 * hour, To: 8*hour + 30*60, Days: control.On(time.Thursday, time.Friday)},
		{From: 22*hour + 15*60, To: 1 * hour, Days: control.On(time.Thursday)},
	}
	opens, shuts := []float64{6 * hour, 22.25 * hour, Day + 6*hour}, []float64{8.5 * hour, Day + 1*hour, Day + 8.5*hour}
	for _, c := range []struct {
		name string
		rule control.Rule
	}{
		{"aquastat", warm},
		{"clock", control.Clock{Windows: windows}},
		{"clock and aquastat", control.Clock{Windows: windows, Aquastat: &warm}},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := teeHouse(t, true)
			h.Layouts[0].Pump.Rule = c.rule
			events := pumpEvents(t, h, h.Layouts[0].Network.Return[0], 2)
			if c.name == "clock" {
				require.Len(t, events, 6)
				for i, e := range events {
					want := opens[i/2]
					if !e.on {
						want = shuts[i/2]
					}
					check.Within(t, want, e.at, 1e-6, "time of the clock")
				}
			} else {
				require.Greater(t, len(events), 6)
			}
			inside := func(at float64, edges bool) bool {
				if c.name == "aquastat" {
					return true
				}
				for i := range opens {
					if at >= opens[i] && at < shuts[i] || edges && (at == opens[i] || at == shuts[i]) {
						return true
					}
				}
				return false
			}
			for _, e := range events {
				require.True(t, inside(e.at, true), "at %g s no window is open", e.at)
				if c.name == "clock" || e.at == 0 {
					continue
				}
				// The return has cooled to a start within the second, by a hundredth of a kelvin
				// or two, or soonEnough before it, and has warmed past a stop, where it rises by
				// up to some kelvins a second.
				edge := false
				for i := range opens {
					edge = edge || c.name != "aquastat" && (e.at == opens[i] || e.at == shuts[i])
				}
				switch {
				case edge:
				case e.on:
					check.Within(t, warm.On+0.01, e.back, 0.01+0.02*soonEnough, "return a second before a start")
				default:
					require.LessOrEqual(t, e.past, warm.Off+0.2, "return a second before a stop")
					require.GreaterOrEqual(t, e.back, warm.Off-0.2, "return at a stop")
				}
			}
			golden(t, c.name, events)
		})
	}
}

// A pump is refused whose control or whose callers cannot be, before a year is begun.
func TestPumpIsRefused(t *testing.T) {
	demand := control.Demand{Rise: 5, Warm: 40, MaxRun: 300}
	for says, spoil := range map[string]func(*Pump){
		"the pump has no control": func(p *Pump) { p.Rule = nil },
		"rise":                    func(p *Pump) { p.Rule = control.Demand{Warm: 40, MaxRun: 300} },
		"button, likelihood: 2; must be from 0 to 1":    func(p *Pump) { p.Rule, p.Button = demand, &control.Button{Likelihood: 2} },
		"motion, false calls: -1 a day; must be from 0": func(p *Pump) { p.Rule, p.Motion = demand, &control.Motion{False: -1} },
	} {
		h := teeHouse(t, true)
		spoil(h.Layouts[0].Pump)
		_, err := Run(context.Background(), h, Options{Years: 1})
		require.ErrorContains(t, err, says)
	}
}
