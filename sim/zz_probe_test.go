package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"pipelag/schedules"
)

func profiles(y *pipework, b *brute, t *testing.T, what string) {
	for i := range y.pipes {
		p, q := &y.pipes[i], &b.pipes[i]
		for _, x := range []float64{0.1, 0.5, 0.9} {
			k := int(x * float64(p.cells))
			m := int((float64(k)+0.5)/float64(p.cells)*float64(len(q.temp)))
			n := len(q.capacity)
			t.Logf("   %s pipe %d at %.1f: engine water %.3f wall %.3f  brute %.3f first %.3f last %.3f   diff %.3f", what, i, x, p.temp[0][k], p.temp[p.nodes-1][k], q.temp[m][0], q.temp[m][1], q.temp[m][n-1], p.temp[0][k]-q.temp[m][0])
		}
	}
}

func TestZZProbe(t *testing.T) {
	for _, id := range []int{5, 7, 16, 10, 21, 26, 8} {
		for _, constant := range []bool{false, true} {
			r := rand.New(rand.NewPCG(1, 1))
			for k := 0; k <= id; k++ {
				flow := math.Round(20*math.Exp(r.Float64()*math.Log(10))) * 1e-6
				usable := math.Round(35 + 11*r.Float64())
				rest := math.Round(60 * math.Exp(r.Float64()*math.Log(60)))
				p := randomPath(t, r, flow, 250)
				if k < id {
					continue
				}
				plant := mustPlant(t, p.house, model{grid: 0.1, noDispersion: true})
				n := p.house.Layouts[0].Network
				volume := n.Volume()
				slow := newBrute(n.Pipes, p.rooms, plant.water, p.cell, 16)
				slow.still = true
				if constant {
					for i, c := range plant.conduits {
						g := c.loss(25)
						for k := range c.outer {
							c.outer[k] = g
						}
						q := &slow.pipes[i]
						l := q.line
						water := explained(&l, plant.water, flow, 20, 20, "h_i") * math.Pi * n.Pipes[i].Tube.Inside
						behind := explained(&l, plant.water, flow, 20, 20, "R_w") - (1/l.Inner(plant.water, flow) - 1/water)
						if l.Between() > 0 {
							behind -= 1 / l.Between()
						}
						for k := range q.film {
							q.film[k] = 1 / (1/g - behind)
						}
					}
				}
				cold, drawn := slow.run(flow, p.house.Heater.Setpoint, usable, 2*volume, 12*volume)
				got := purge(t, plant, flow, usable)
				t.Logf("%d constant %v: cold %.4f %.4f (%+.2f%%) until %g", id, constant, got/volume, cold/volume, (got/cold-1)*100, usable)
				if !constant {
					y := newYear(plant, 1, 0)
					y.open(schedules.Wish{Kind: schedules.Brief, Flow: flow, HotShare: 1, Duration: drawn / flow, Usable: usable})
					y.runTo(drawn / flow + 1e-6)
					profiles(y.pipework, slow, t, "run")
					slow.rest(rest)
					y.runTo(drawn/flow+rest)
					y.rest()
					profiles(y.pipework, slow, t, "rest")
				}
			}
		}
	}
	_ = schedules.Wish{}
}
