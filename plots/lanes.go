package plots

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// lane is a straight piece of a tube that has others along it.
type lane struct {
	tube, leg int
	along     int // 0 across, 1 up
	at        vg.Length
	from, to  vg.Length
	shift     vg.Length
}

// lanes are the tubes on the page, with those along one line side by side.
func (d *drawing) lanes(q panel, up int) [][]vg.Point {
	const (
		same   = vg.Length(0.2)  // how near two lines are one
		widest = vg.Length(12.0) // of all that run side by side
	)
	ways, ends := make([][]vg.Point, len(d.Tubes)), make([][2]vg.Point, len(d.Tubes))
	var all []*lane
	for i, t := range d.Tubes {
		for _, at := range t.Route {
			ways[i] = append(ways[i], vg.Point{X: q.x.at(at[0]), Y: q.y.at(at[up])})
		}
		ends[i] = [2]vg.Point{ways[i][0], ways[i][len(ways[i])-1]}
		for k := 1; k < len(ways[i]); k++ {
			a, b := ways[i][k-1], ways[i][k]
			switch {
			case math.Abs(float64(b.X-a.X)) > float64(same):
				all = append(all, &lane{tube: i, leg: k, along: 0, at: a.Y, from: min(a.X, b.X), to: max(a.X, b.X)})
			case math.Abs(float64(b.Y-a.Y)) > float64(same):
				all = append(all, &lane{tube: i, leg: k, along: 1, at: a.X, from: min(a.Y, b.Y), to: max(a.Y, b.Y)})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b *lane) int {
		return cmp.Or(cmp.Compare(a.along, b.along), cmp.Compare(a.at, b.at))
	})
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n].along == all[0].along && all[n].at-all[0].at <= same {
			n++
		}
		slices.SortStableFunc(all[:n], func(a, b *lane) int {
			return cmp.Or(cmp.Compare(d.size(b.tube).width, d.size(a.tube).width), cmp.Compare(a.tube, b.tube))
		})
		d.sideBySide(all[:n], widest)
		for _, l := range all[:n] {
			for _, k := range []int{l.leg - 1, l.leg} {
				if l.along == 0 {
					ways[l.tube][k].Y += l.shift
				} else {
					ways[l.tube][k].X += l.shift
				}
			}
		}
		all = all[n:]
	}
	for i, way := range ways { // what is drawn beside its line still begins and ends on it
		if way[0] != ends[i][0] {
			way = slices.Insert(way, 0, ends[i][0])
		}
		if way[len(way)-1] != ends[i][1] {
			way = append(way, ends[i][1])
		}
		ways[i] = way
	}
	return ways
}

// sideBySide gives each of the pieces along a line, the thickest first, a place of
// its own where they overlap: on the line, to one side, to the other.
func (d *drawing) sideBySide(pieces []*lane, widest vg.Length) {
	rows := make([]int, len(pieces))
	count := 0
	thick := vg.Length(0)
	for i, a := range pieces {
		used := make([]bool, len(pieces))
		for j, b := range pieces[:i] {
			if a.from < b.to-0.5 && b.from < a.to-0.5 {
				used[rows[j]] = true
			}
		}
		rows[i] = slices.Index(used, false)
		count = max(count, rows[i]+1)
		thick = max(thick, d.size(a.tube).width)
	}
	apart := thick + 0.6
	if count > 1 {
		apart = min(apart, widest/vg.Length(count-1))
	}
	for i, a := range pieces {
		a.shift = vg.Length((rows[i]+1)/2) * apart
		if rows[i]%2 == 0 {
			a.shift = -a.shift
		}
	}
}
