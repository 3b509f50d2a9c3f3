package sim

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pipelag/internal/check"
	"pipelag/network/tubes"
	"pipelag/schedules"
	"pipelag/sim/pipework"
)

// path is a row of pipes for the engine and the slow solver alike.
type path struct {
	house *House
	rooms []float64 // by pipe
	cell  float64   // of the slow solver [m³]
}

// randomPath draws one to four pipes of any tube in two rooms. The lengths are
// such that every pipe holds a whole number of the slow solver's cells.
func randomPath(t *testing.T, r *rand.Rand, flow float64, cells int) path {
	const fastest = 3.05 // 10 ft/s
	rooms := []schedules.Zone{
		{Name: "cellar", Temperature: steadily(math.Round(5 + 15*r.Float64()))},
		{Name: "room", Temperature: steadily(math.Round(16 + 10*r.Float64()))},
	}
	var p path
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
	}
	p.house = rowOf(t, pieces, rooms, math.Round(48+12*r.Float64()))
	return p
}

func (p path) String() string {
	var s []string
	for _, q := range p.house.Layouts[0].Network.Pipes {
		s = append(s, fmt.Sprintf("%.1f m %s %s sleeve %.0f mm", q.Length, q.Tube.Kind, q.Tube.Size, q.Sleeve.Thickness*1e3))
	}
	return fmt.Sprintf("%s, rooms %v, set point %g", strings.Join(s, " | "), p.rooms, p.house.Heater.Setpoint)
}

// The water drawn until usable, by the engine on the grid of openings and by the slow
// solver, over rows of one to four pipes of any tube: from cold, and again after a
// rest. The engine may be off by 2 % of what was drawn, or of what the pipes hold
// if that is more.
func TestPurgeAgainstBruteForce(t *testing.T) {
	t.Parallel()
	const allowed = 0.02
	r := rand.New(rand.NewPCG(1, 1))
	worst := map[string]float64{}
	checked := 0
	for range 40 {
		flow := math.Round(20*math.Exp(r.Float64()*math.Log(10))) * 1e-6
		usable := math.Round(35 + 11*r.Float64())
		rest := math.Round(60 * math.Exp(r.Float64()*math.Log(60)))
		p := randomPath(t, r, flow, 200)
		plant := mustPlant(t, p.house, pipework.Model{Grid: pipework.OpeningGrid})
		n, setpoint := p.house.Layouts[0].Network, p.house.Heater.Setpoint
		volume := n.Volume()

		slow := newBrute(n.Pipes, p.rooms, plant.water, p.cell, 16)
		cold, drawn := slow.run(flow, setpoint, usable, 2*volume, 12*volume)
		if cold < 0 {
			continue // so slow a flow that it never gets that warm
		}
		slow.rest(rest)
		warm, _ := slow.run(flow, setpoint, usable, 0, 12*volume)

		y := newYear(plant, 1, 0)
		running := schedules.Wish{Kind: schedules.Brief, Start: 10, Flow: flow, HotShare: 1, Duration: drawn / flow, Usable: usable}
		again := schedules.Wish{Kind: schedules.Washing, Start: 10 + drawn/flow + rest, Flow: flow, Duration: 1, Mixed: usable, Usable: usable, Patience: 1e4}
		if err := y.day(0, []schedules.Wish{running, again}); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			what      string
			want, got float64
		}{
			{"from cold", cold, purge(t, plant, flow, usable)},
			{"after a rest", warm, y.ledger.months[0].taps[0].purged.water},
		} {
			off := (c.got - c.want) / math.Max(c.want, volume)
			if math.Abs(off) > math.Abs(worst[c.what]) {
				worst[c.what] = off
			}
			check.Within(t, 0, off, allowed, fmt.Sprintf("%s (of %g s) %.4f pipe volumes for %.4f, %.0f mL/s until %g °C, %s", c.what, rest, c.got/volume, c.want/volume, flow*1e6, usable, p))
			checked++
		}
	}
	t.Logf("%d openings; largest deviation %+.2f %% from cold, %+.2f %% after a rest", checked, worst["from cold"]*100, worst["after a rest"]*100)
	if checked < 60 {
		t.Errorf("only %d openings could be compared", checked)
	}
}

// The slow solver itself: cells two thirds as long and half as many shells again
// move the water drawn by less than a tenth of what the engine may be off.
func TestBruteForceIsFineEnough(t *testing.T) {
	t.Parallel()
	rooms := []schedules.Zone{{Name: "room", Temperature: steadily(18)}}
	for _, c := range []struct {
		kind, size string
		flow       float64
	}{{"PP-R", "25x4.2", 0.1e-3}, {"copper L", "3/4", 0.1e-3}, {"PEX", "3/8", 0.03e-3}} {
		tube := mustTube(t, c.kind, c.size)
		h := rowOf(t, []piece{{tube: tube, length: 12, zone: "room"}}, rooms, 52)
		n := h.Layouts[0].Network
		plant := mustPlant(t, h, pipework.Model{})
		drawn := func(cells float64, shells int) float64 {
			b := newBrute(n.Pipes, []float64{18}, plant.water, n.Volume()/cells, shells)
			purged, _ := b.run(c.flow, 52, 43, 0, 1)
			return purged / n.Volume()
		}
		coarse, fine := drawn(200, 16), drawn(300, 24)
		t.Logf("%s %s: %.5f, finer %.5f pipe volumes", c.kind, c.size, coarse, fine)
		check.Alike(t, fine, coarse, 0.002, c.kind+" "+c.size)
	}
}
