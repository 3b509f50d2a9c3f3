package sim

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pipelag/network/tubes"
	"pipelag/schedules"

	"github.com/stretchr/testify/assert"
)

// path is a row of pipes for the engine and the slow solver alike.
type path struct {
	house *House
	rooms []float64 // by pipe
	cell  float64   // of the slow solver [m³]
	slow  float64   // the least time in a plastic pipe over the R C of its wall; +Inf for metals [-]
}

// randomPath draws one to four pipes of any tube in two rooms. The lengths are
// such that every pipe holds a whole number of the slow solver's cells.
func randomPath(t *testing.T, r *rand.Rand, flow float64, cells int) path {
	const fastest = 3.05 // 10 ft/s
	rooms := []schedules.Zone{
		{Name: "cellar", Temperature: steadily(math.Round(5 + 15*r.Float64()))},
		{Name: "room", Temperature: steadily(math.Round(16 + 10*r.Float64()))},
	}
	p := path{slow: math.Inf(1)}
	all := tubes.All()
	var pieces []piece
	volume := 0.0
	for range 1 + r.IntN(4) {
		tube := all[r.IntN(len(all))]
		for tube.Outside > 0.04 || flow/tube.Volume() > fastest || tube.Volume() > 0.7e-3 {
			tube = all[r.IntN(len(all))]
		}
		k := r.IntN(2)
		p.rooms = append(p.rooms, rooms[k].Temperature.At(0))
		piece := piece{tube: tube, length: 1 + 14*r.Float64(), zone: rooms[k].Name}
		if r.IntN(3) == 0 {
			piece.sleeve = tubes.Sleeve{Material: tubes.Sleeves()[r.IntN(len(tubes.Sleeves()))], Thickness: 0.013}
		}
		pieces = append(pieces, piece)
		volume += tube.Volume() * piece.length
	}
	p.cell = volume / float64(cells)
	for i := range pieces {
		tube := pieces[i].tube
		pieces[i].length = math.Max(2, math.Round(tube.Volume()*pieces[i].length/p.cell)) * p.cell / tube.Volume()
		if m := tube.Material; !m.Metal {
			soak := math.Log(tube.Outside/tube.Inside) / (2 * math.Pi * m.Conductivity) * m.Density * m.SpecificHeat * math.Pi / 4 * (tube.Outside*tube.Outside - tube.Inside*tube.Inside)
			p.slow = min(p.slow, volume/flow/soak)
		}
	}
	p.house = row(t, pieces, rooms, math.Round(48+12*r.Float64()))
	return p
}

func (p path) String() string {
	var s []string
	for _, q := range p.house.Layouts[0].Network.Pipes {
		s = append(s, fmt.Sprintf("%.1f m %s %s sleeve %.0f mm", q.Length, q.Tube.Kind, q.Tube.Size, q.Sleeve.Thickness*1e3))
	}
	return fmt.Sprintf("%s, rooms %v, set point %g", strings.Join(s, " | "), p.rooms, p.house.Heater.Setpoint)
}

func TestPurgeAgainstBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	type tally struct {
		cases int
		worst float64
		what  string
	}
	tallies := map[string]*tally{"metal": {}, "slow": {}, "fast": {}}
	for k := range 40 {
		flow := math.Round(20*math.Exp(r.Float64()*math.Log(10))) * 1e-6
		usable := math.Round(35 + 11*r.Float64())
		rest := math.Round(60 * math.Exp(r.Float64()*math.Log(60)))
		p := randomPath(t, r, flow, 250)
		plant := mustPlant(t, p.house, model{grid: DefaultGrid})
		n := p.house.Layouts[0].Network
		volume := n.Volume()

		slow := newBrute(n.Pipes, p.rooms, plant.water, p.cell, 16)
		cold, drawn := slow.run(flow, p.house.Heater.Setpoint, usable, 2*volume, 12*volume)
		if cold < 0 {
			t.Logf("%d never", k)
			continue
		}
		slow.rest(rest)
		warm, _ := slow.run(flow, p.house.Heater.Setpoint, usable, 0, 12*volume)

		got := purge(t, plant, flow, usable)
		y := newYear(plant, 1, 0)
		begin := schedules.Wish{Kind: schedules.Brief, Start: 10, Flow: flow, HotShare: 1, Duration: drawn / flow, Usable: usable}
		again := schedules.Wish{Kind: schedules.Washing, Start: 10 + drawn/flow + rest, Flow: flow, Duration: 1, Mixed: 40, Usable: usable, Patience: 1e4}
		if err := y.day(0, []schedules.Wish{begin, again}); err != nil {
			t.Fatal(err)
		}
		gotWarm := y.ledger.months[0].taps[0].purged.water

		group := "metal"
		if p.slow < 0.4 {
			group = "fast"
		} else if !math.IsInf(p.slow, 1) {
			group = "slow"
		}
		for _, c := range []struct {
			what      string
			want, got float64
		}{{"cold", cold, got}, {fmt.Sprintf("after %g s", rest), warm, gotWarm}} {
			off := (c.got - c.want) / math.Max(c.want, 0.2*volume)
			assert.False(t, math.IsNaN(off))
			what := fmt.Sprintf("%d %s %s: %.3f for %.3f (%+.2f %%), %.0f mL/s until %g, %s, slow %.2f", k, group, c.what, c.got/volume, c.want/volume, off*100, flow*1e6, usable, p, p.slow)
			t.Log(what)
			tl := tallies[group]
			tl.cases++
			if math.Abs(off) > math.Abs(tl.worst) {
				tl.worst, tl.what = off, what
			}
		}
	}
	for g, tl := range tallies {
		t.Logf("WORST %s %d: %+.2f %% %s", g, tl.cases, tl.worst*100, tl.what)
	}
}
